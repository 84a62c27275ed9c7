"""Hang-tags measured on the finished sheet by readers that had no part in making it.

pikepdf's content streams give lines, boxes and pictures in millimetres; PDFium gives letters and
pixels; zxing-cpp reads the codes. The expected places are sums done by hand in the tests. Decoding
settings are those of tests/truth/qr-decode.json.
"""

import io
import math
import random
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pikepdf
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
import zxingcpp
from PIL import Image, ImageDraw, ImageFilter

from provenance.build.tags import Wishes, print_tags
from provenance.build.tags_due import tags_due
from provenance.figures.flow.gather import studio_flow
from provenance.language.phrases import british
from provenance.language.telling import told as told_of
from provenance.papers.tags.imposition import lay_out, places
from provenance.papers.tags.typesetting import levelled
from provenance.press.codes.qr import code_for
from provenance.press.pdf.codes import check_codes
from provenance.problems import Slip
from provenance.public.border import Border
from provenance.records.book import read_book
from provenance.records.printing import sheet_of, shift_of, size_of
from provenance.studio import Studio

MM = 25.4 / 72
NEAR = 0.1  # millimetres
tell = british().tell
SITE = "https://brackenfold.example"
LONG = "The Long Evening Above the Intake Wall When the Hay Came Home"
STUDIO = """studio: Brackenfold
maker: Isla Wren
place: Eskrigg Dale
site: https://brackenfold.example
contact: {email: hello@brackenfold.example, phone: 01632 960001, post: "1 Wren Lane"}
public contact: [email]
labels for: [UK]
origin: Made in England
pay: {any: 20}
"""
OUTLETS = """dale-fair: {kind: fair, tag: own}
quay: {kind: gallery}
guild-shop: {kind: guild, tag fields: [price, title, number, fibre, care, maker]}
bare-wall: {kind: show, tag: none}
"""
COLOURS = [
    *("22384f", "527089", "9cb2b8", "c3a23c", "8b8a50", "6f7a38"),
    *("a4523a", "7b4026", "4b4b4a", "87405e", "d5cbb5", "efe7d6"),
]
DYES = ["weld", "indigo", "madder", "walnut", "cochineal", "chamomile"]


def piece(number, title="Saltmarsh", yarns=3, **more):
    lines = [f"number: {number}", f'title: "{title}"']
    words = {"kind": "hanging", "size": "124 x 86 cm", "price": "1450", "hours": "{weaving: 40}"}
    lines += [f"{word}: {value}" for word, value in (words | more).items() if value]
    lines.append("yarns:")
    for yarn in range(yarns):
        dye = f"mordants: {{alum: 10 %}}, dyes: {{{DYES[yarn % 6]}: 20 %}}, " if yarn % 4 else ""
        fleece = "gotland" if yarn % 2 else "shetland"
        more = f'{dye}colour: "#{COLOURS[yarn]}"'
        lines.append(f"  - {{use: weft, fleece: {fleece}, weight: {10 + yarn} g, {more}}}")
    return "\n".join(lines) + "\n"


@pytest.fixture
def studio(tmp_path):
    """Writes records and gives the setting; call it with the texts of pieces."""

    def make(*pieces, studio=STUDIO, outlets=OUTLETS, printed=""):
        folder = tmp_path / "pieces"
        (folder / "studio").mkdir(parents=True, exist_ok=True)
        shelf = "".join(f"{dye}: {{weight: 2 kg, cost: 20}}\n" for dye in DYES)
        fleece = "{weight: 40 kg, cost: 90, breed: "
        texts = {
            "studio": studio,
            "outlets": outlets,
            "fleece": f"gotland: {fleece}Gotland}}\nshetland: {fleece}Shetland}}\n",
            "dyestuffs": shelf,
            "mordants": "alum: {weight: 2 kg, cost: 9}\n",
            "printed": printed,
        }
        for name, text in texts.items():
            (folder / "studio" / f"{name}.yaml").write_text(text, encoding="utf-8")
        for number, text in enumerate(pieces):
            (folder / f"2026-{number + 1:03d}.yaml").write_text(text, encoding="utf-8")
        book, problems = read_book(folder)
        assert not [str(each) for each in problems if not each.is_remark]
        return Border(Studio(book, studio_flow(book), {}, date(2026, 11, 25)))

    return make


def numbered(count, **more):
    return [piece(f"2026-{number:03d}", **more) for number in range(1, count + 1)]


def drawn(content, page=0):
    """Lines, boxes and pictures of a page in millimetres from its top left corner."""
    file = pikepdf.open(io.BytesIO(content))
    sheet = file.pages[page]
    high = float(sheet.MediaBox[3])
    found = {"lines": [], "boxes": [], "pictures": []}
    _walk(sheet, pikepdf.Matrix(), found)

    def out(points):
        return tuple(round(v * MM, 3) for x, y in points for v in (x, high - y))

    return {kind: [out(points) for points in some] for kind, some in found.items()}


def _walk(holder, start, found):
    matrix, stack, at = start, [], None
    for operands, operator in pikepdf.parse_content_stream(holder):
        word = str(operator)
        numbers = [float(v) for v in operands if isinstance(v, (int, float, Decimal))]
        if word == "q":
            stack.append(matrix)
        elif word == "Q":
            matrix = stack.pop()
        elif word == "cm":
            matrix = pikepdf.Matrix(*numbers) @ matrix
        elif word in "ml" and len(numbers) == 2:
            point = matrix.transform(tuple(numbers))
            if word == "l":
                found["lines"].append((at, point))
            at = point
        elif word == "re":
            x, y, w, h = numbers
            found["boxes"].append((matrix.transform((x, y)), matrix.transform((x + w, y + h))))
        elif word == "Do":
            thing = (holder.Resources if "Resources" in holder else holder.obj.Resources).XObject[
                operands[0]
            ]
            if thing.Subtype == "/Form":
                own = pikepdf.Matrix(thing.Matrix) if "Matrix" in thing else pikepdf.Matrix()
                _walk(thing, own @ matrix, found)
            else:
                found["pictures"].append((matrix.transform((0, 0)), matrix.transform((1, 1))))


def lengths(lines):
    return [round(math.dist(line[:2], line[2:]), 2) for line in lines]


def texts(content, page=0):
    """Each run of text with its inked box: left, top, right, bottom in millimetres."""
    sheet = pypdfium2.PdfDocument(content)[page]
    high, words = sheet.get_height(), sheet.get_textpage()
    found = []
    for thing in sheet.get_objects(filter=[pdfium.FPDF_PAGEOBJ_TEXT], max_depth=5):
        left, bottom, right, top = thing.get_bounds()
        said = words.get_text_bounded(left - 0.5, bottom - 0.5, right + 0.5, top + 0.5).strip()
        box = tuple(v * MM for v in (left, high - top, right, high - bottom))
        found.append((said, box))
    return found


def words_of(content):
    return "\n".join(
        page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(content)
    )


def pixels(content, dpi, page=0):
    return pypdfium2.PdfDocument(content)[page].render(scale=dpi / 72).to_pil().convert("L")


def read(picture):
    return sorted(code.text for code in zxingcpp.read_barcodes(picture))


def addresses(numbers):
    return sorted(code_for(SITE, number).address for number in numbers)


# Places


def test_a_sheet_of_a4_is_turned_and_holds_eight(studio):
    """4 x 55 + 3 x 3 = 229 and (297 - 229) / 2 = 34; 2 x 90 + 6 = 186 and (210 - 186) / 2 = 12."""
    run = print_tags(studio(*numbered(8)), Wishes())
    page = drawn(run.content)
    assert (run.sheets, len(run.tags)) == (1, 8)
    marks = [line for line in page["lines"] if lengths([line]) == [4.0]]
    across = sorted({line[0] for line in marks if line[0] == line[2]})
    down = sorted({line[1] for line in marks if line[1] == line[3]})
    assert across == pytest.approx([34, 89, 92, 147, 150, 205, 208, 263], abs=0.01)
    assert down == pytest.approx([12, 102, 108, 198], abs=0.01)
    assert len(marks) == 2 * 8 + 2 * 4
    ends = {line[1] for line in marks if line[0] == line[2]} | {
        line[3] for line in marks if line[0] == line[2]
    }
    assert sorted(ends) == pytest.approx([5, 9, 201, 205], abs=0.01)  # 3 mm off, 4 mm long


def test_the_selvedge_bleeds_three_millimetres_and_ends_five_inside(studio):
    """Yarns of 10, 11, 12 g: 10/33 and 21/33 of 90 mm below the cut at 12 mm."""
    page = drawn(print_tags(studio(piece("2026-001")), Wishes()).content)
    stripes = sorted(
        {box for box in page["boxes"] if box[2] - box[0] == pytest.approx(8, abs=0.01)}
    )
    spans = sorted((min(box[1], box[3]), max(box[1], box[3])) for box in stripes)
    expected = [(9, 105), (12 + 90 * 10 / 33, 105), (12 + 90 * 21 / 33, 105)]
    assert [pytest.approx(span, abs=0.02) for span in expected] == spans
    assert all((box[0], box[2]) == pytest.approx((31, 39), abs=0.01) for box in stripes)


def test_the_hole_is_four_millimetres_six_from_the_edge(studio):
    content = print_tags(studio(piece("2026-001")), Wishes()).content
    sheet = pypdfium2.PdfDocument(content)[0]
    high = sheet.get_height()
    holes = []
    for thing in sheet.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH], max_depth=5):
        left, bottom, right, top = (v * MM for v in thing.get_bounds())
        if right - left == pytest.approx(4.3, abs=0.2) and top - bottom == pytest.approx(
            4.3, abs=0.2
        ):
            holes.append(((left + right) / 2, high * MM - (top + bottom) / 2))
    assert holes == [(pytest.approx(34 + 27.5, abs=0.05), pytest.approx(12 + 6, abs=0.05))]
    clear = (61.5 - 5, 18 - 5, 61.5 + 5, 18 + 5)
    assert not [said for said, box in texts(content) if crosses(box, clear)]


@pytest.mark.parametrize("sheet", ["A4", "Letter", "A3", "210 x 297 mm", "8.5 x 11 in", "A6"])
def test_the_ruler_is_a_hundred_millimetres(studio, sheet):
    page = drawn(print_tags(studio(piece("2026-001")), Wishes(sheet=sheet_of(sheet))).content)
    assert lengths(page["lines"]).count(100.0) == 1
    rule = next(line for line in page["lines"] if lengths([line]) == [100.0])
    along = 1 if rule[0] == rule[2] else 0
    ticks = sorted(
        line[along] for line in page["lines"]
        if lengths([line])[0] in (2.4, 1.6, 0.8) and line[along] == line[along + 2]
    )  # fmt: skip
    assert ticks == pytest.approx([rule[along] + at for at in range(101)], abs=0.02)


def test_a_shift_moves_every_box(studio):
    setting = studio(*numbered(3))
    before = drawn(print_tags(setting, Wishes()).content)
    after = drawn(print_tags(setting, Wishes(shift=shift_of("1.5 mm right, 1/16 in up"))).content)
    moved = (1.5, -1.5875, 1.5, -1.5875)
    sheet = (0, 210, 297, 0)
    for kind in ("lines", "boxes", "pictures"):
        pairs = [p for p in zip(before[kind], after[kind], strict=True) if not near(p[0], sheet)]
        assert pairs
        for old, new in pairs:
            assert [b - a for a, b in zip(old, new, strict=True)] == pytest.approx(
                moved, abs=0.01
            ) or old == new == pytest.approx(whole_sheet(old), abs=0.01)
    apart = [
        [b - a for a, b in zip(x[1], y[1], strict=True)]
        for x, y in zip(
            texts(print_tags(setting, Wishes()).content),
            texts(print_tags(setting, Wishes(shift=shift_of("1.5 mm right, 1/16 in up"))).content),
            strict=True,
        )
    ]
    assert all(each == pytest.approx(moved, abs=0.02) for each in apart)
    own = studio(*numbered(3), studio=STUDIO + "tags: {shift right: 1.5 mm, shift up: 1/16 in}\n")
    assert drawn(print_tags(own, Wishes()).content) == after


def near(box, other):
    return all(abs(a - b) < 1 for a, b in zip(box, other, strict=True))


def whole_sheet(box):
    """The page's own clip, which no printer moves."""
    return (0, 0, 297, 210) if box[1] < box[3] else (0, 210, 297, 0)


@pytest.mark.parametrize(
    ("sheet", "size", "grid", "corner"),
    [
        ("A4", (55, 90), (4, 2), (34, 12)),
        ("Letter", ("50.8", "88.9"), (4, 2), ("33.6", "16.05")),
        ("A3", (55, 90), (4, 4), (34, 21)),
        ("210 x 297 mm", (55, 90), (3, 2), ("19.5", "55.5")),
        ("A5", (55, 90), (2, 2), ("17.5", 12)),
        ("55 x 90 mm", (55, 90), (1, 1), (0, 0)),
    ],
)
def test_grids_worked_out_by_hand(sheet, size, grid, corner):
    layout = lay_out(sheet_of(sheet), *(Fraction(side) for side in size))
    assert (layout.columns, layout.rows) == grid
    assert (layout.left, layout.top) == tuple(Fraction(side) for side in corner)


def test_a_tag_larger_than_its_sheet_is_refused():
    with pytest.raises(Slip) as caught:
        lay_out(sheet_of("A6"), Fraction(100), Fraction(150))
    assert tell(caught.value.what) == "a tag of 100 x 150 mm does not fit on A6"
    assert tell(caught.value.remedy) == "with its cut marks it needs 114 x 164 mm"


# Order


def piles(placed):
    """The tags in the order of a stack cut at once: cell by cell, each from the top sheet down."""
    return [
        tag for _, tag in sorted(((cell, sheet), tag) for tag, (sheet, cell) in enumerate(placed))
    ]


@pytest.mark.parametrize("count", [1, 7, 8, 9, 16, 23, 61])
@pytest.mark.parametrize("first", [0, 1, 5, 7])
def test_a_cut_stack_is_in_table_order(count, first):
    placed = places(count, 8, first, stack=True)
    assert piles(placed) == list(range(count))
    assert len(set(placed)) == count
    assert sorted(placed) == sorted(places(count, 8, first, stack=False))
    assert min(cell for sheet, cell in placed if sheet == 0) == first


def test_full_sheets_hold_every_so_manieth_tag(studio):
    """Two full sheets: cell c of sheet k holds tag 2 c + k."""
    content = print_tags(studio(*numbered(16)), Wishes()).content
    for sheet in range(2):
        numbers = [said for said, _ in texts(content, sheet) if said.startswith("2026-")]
        assert numbers == [f"2026-{2 * cell + sheet + 1:03d}" for cell in range(8)]


def test_a_part_used_sheet_is_begun_at_any_cell(studio):
    run = print_tags(studio(*numbered(4)), Wishes(from_cell=6))
    assert run.sheets == 2
    first, second = (
        [said for said, _ in texts(run.content, n) if said.startswith("2026-")] for n in (0, 1)
    )
    # Cells 6, 7, 8 of the first sheet, cell 1 of the second, which comes first from the stack.
    assert (first, second) == (["2026-002", "2026-003", "2026-004"], ["2026-001"])
    boxes = [box for said, box in texts(run.content, 0) if said.startswith("2026-")]
    assert all(box[1] > 108 for box in boxes) and min(box[0] for box in boxes) > 92
    with pytest.raises(Slip) as caught:
        print_tags(studio(*numbered(4)), Wishes(from_cell=9))
    assert (tell(caught.value.what), tell(caught.value.remedy)) == (
        "there is no cell 9 on this sheet", "it has cells 1 to 8",
    )  # fmt: skip


# Words


def crosses(one, other, gap=0.0):
    return (
        one[0] < other[2] - gap and other[0] < one[2] - gap
        and one[1] < other[3] - gap and other[1] < one[3] - gap
    )  # fmt: skip


WORD = "Donaudampfschifffahrtsgesellschaftskapitänsmützenabzeichen"
HARD = [
    piece("2026-001", LONG[:60], yarns=12, care="Vacuum through a net. Never wash. Keep from sun."),
    piece("2026-002", "W" * 60, yarns=12, kind="garment", structure="weft-faced plain weave"),
    piece("2026-003", WORD, yarns=12, price="12450.50"),
    piece("2026-004", "Fret", yarns=1, size="190.5 x 160.5 x 120.5 cm", price="9"),
    piece("20260000000000000005", "Ebb", yarns=5, at="quay"),
    piece("2026-006", LONG[:60], yarns=12, at="guild-shop"),
    piece("2026-007", LONG[:60], yarns=12, at="quay"),
]  # fmt: skip
SIZES = [
    "55 x 90 mm",
    "2 x 3.5 in",
    "50 x 90 mm",
    "70 x 100 mm",
    "3 x 5 in",
    "90 x 50 mm",
    "85 x 55 mm",
]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("stub", [False, True])
def test_no_words_leave_the_safe_area_or_meet_each_other(studio, size, stub):
    run = print_tags(studio(*HARD), Wishes(size=size_of(size), stub=stub, sheet=sheet_of("A3")))
    assert not run.problems and len(run.tags) == len(HARD)
    check_words(run)


def check_words(run, page=0):
    form = run.tags[0].form
    width, height = float(form.width), float(form.height)
    selvedge = float(form.selvedge)
    page = drawn(run.content)
    marks = [line for line in page["lines"] if lengths([line]) == [4.0]]
    lefts = sorted({line[0] for line in marks if line[0] == line[2]})[::2]
    tops = sorted({line[1] for line in marks if line[1] == line[3]})[::2]
    safe = []
    for left in lefts:
        for top in tops:
            safe.append((left + selvedge + 2, top + 2, left + width - 2, top + height - 2))
            if form.has_stub:
                cut = top + float(form.cell_height)
                safe.append((left + selvedge + 2, top + height + 2, left + width - 2, cut - 2))
    said = [
        (words, box) for words, box in texts(run.content) if box[0] > lefts[0] and box[1] > tops[0]
    ]
    assert len(said) >= 5 * len(run.tags)
    for words, box in said:
        assert any(inside(box, each) for each in safe), words
    for number, (words, box) in enumerate(said):
        for others, other in said[number + 1 :]:
            assert not crosses(box, other, 0.01), (words, others)
        for code in page["pictures"]:
            if abs(code[2] - code[0]) < 30:
                x, y = sorted((code[0], code[2])), sorted((code[1], code[3]))
                assert not crosses(box, (x[0], y[0], x[1], y[1]), 0.05), words


def inside(box, room):
    return box[0] >= room[0] and box[1] >= room[1] and box[2] <= room[2] and box[3] <= room[3]


def test_every_word_of_a_long_tag_is_there(studio):
    run = print_tags(studio(HARD[0]), Wishes())
    said = " ".join(words_of(run.content).split())
    assert run.left_off == ()
    care = "Vacuum through a net. Never wash. Keep from sun."
    for words in (LONG[:60].strip(), "100 % wool", care,
                  "Gotland and Shetland fleece, spun by hand",
                  "Dyed with indigo, madder, walnut, chamomile, weld, cochineal",
                  "Hanging, H 124 × W 86 cm", "£1,450", "Isla Wren",
                  "Brackenfold, Eskrigg Dale", "Made in England",
                  "How it was made: brackenfold.example"):  # fmt: skip
        assert words in said


def test_what_is_left_off_goes_in_order_and_is_told(studio):
    care = "Vacuum through a net twice a year. Never wash. Keep from sun."
    care += " Store it rolled. Watch for moth."
    setting = studio(piece("2026-001", LONG[:60], yarns=12, care=care))
    told = {}
    for size in ("55 x 90 mm", "50 x 72 mm", "50 x 66 mm", "50 x 62 mm", "50 x 56 mm"):
        run = print_tags(setting, Wishes(size=size_of(size)))
        left_off = tell(dict(run.left_off).get("2026-001", ""))
        told[size] = left_off or "".join(tell(p.what) for p in run.problems)
        assert all(block.size >= 7 for tag in run.tags for block in tag.blocks)
    assert told == {
        "55 x 90 mm": "",
        "50 x 72 mm": "the fleece and the dyes",
        "50 x 66 mm": "the fleece, the dyes, the origin and part of the care",
        "50 x 62 mm": "the fleece, the dyes, the origin and part of the care",
        "50 x 56 mm": "the words for the tag of 2026-001 do not fit on 50 x 56 mm",
    }


def test_letters_beyond_the_usual_are_printed(studio):
    titles = [
        "Café à l’été",
        "Straße",
        "Łąka o świcie",
        "Te Ārai ō Māui",
        "Ἀθήνη γλαῦξ Ωμέγα",
        "ğüşİçö ők",
    ]
    setting = studio(*(piece(f"2026-00{n}", title) for n, title in enumerate(titles, 1)))
    run = print_tags(setting, Wishes())
    said = " ".join(words_of(run.content).split())
    assert not run.problems
    for title in titles:
        assert title in said
    check_words(run)


def test_a_character_without_letters_is_named_with_its_place(studio):
    setting = studio(
        piece("2026-001", "Ebb \U0001f411"),
        piece("2026-002"),
        piece("2026-003", care="Don't 洗 it."),
    )
    run = print_tags(setting, Wishes())
    assert [tag.words.number for tag in run.tags] == ["2026-002"]
    assert [told_of(problem, british()) for problem in run.problems] == [
        "pieces/2026-001.yaml:2:8: our letters have no '\U0001f411' (U+1F411)"
        "\n    write it in words",
        "pieces/2026-003.yaml:7:7: our letters have no '洗' (U+6D17)\n    write it in words",
    ]


def test_measured_widths_are_those_on_paper(studio):
    """Words were measured before they were printed: on paper they are never wider."""
    run = print_tags(studio(*HARD[:4]), Wishes(sheet=sheet_of("A3")))
    from provenance.papers.tags.style import FACES
    from provenance.press.letters.measure import width_mm

    printed = {}
    for said, box in texts(run.content):
        printed.setdefault(said, []).append(box[2] - box[0])
    measured = {}
    for tag in levelled(dict(enumerate(run.tags))).values():
        for block in tag.blocks:
            for line in block.lines:
                width = float(width_mm(line, FACES[block.role], block.size))
                measured.setdefault(line, []).append(width)
    both = [line for line in measured if len(measured[line]) == len(printed.get(line, []))]
    assert len(both) > 30
    for line in both:
        for wide, room in zip(sorted(printed[line]), sorted(measured[line]), strict=True):
            assert 0.85 * room <= wide <= room + 0.05, line


# Kinds of tag


def test_a_gallery_tag_tells_no_way_round_the_gallery(studio):
    run = print_tags(studio(piece("2026-001", at="quay")), Wishes())
    content, said = run.content, words_of(run.content).lower()
    assert "isla wren" in said and "£1,450" in said
    heading, said = said.split("\n", 2)[1], said.split("\n", 2)[2]
    assert heading.startswith("brackenfold, hang-tags, sheet 1 of 1")  # in the margin, cut off
    for secret in ("brackenfold", "eskrigg", "example", "hello", "01632", "wren lane", "http"):
        assert secret not in said
    assert not read(pixels(content, 300))
    assert [p for p in drawn(content)["pictures"] if abs(p[2] - p[0]) < 30] == []
    assert run.notes[0].address == ""


def test_a_guild_tag_has_its_fields_in_its_order(studio):
    run = print_tags(studio(piece("2026-001", at="guild-shop")), Wishes())
    said = [
        words
        for words, box in sorted(texts(run.content), key=lambda each: each[1][1])
        if box[0] > 30
    ]
    fields = [
        each
        for each in said
        if not each.startswith(("Brackenfold, hang", "Do not", "dust", "May", "rub"))
    ]
    assert fields[:4] == ["£1,450", "Saltmarsh", "2026-001", "100 % wool"]
    assert fields[-1] == "Isla Wren"
    assert "H 124" not in " ".join(said) and not read(pixels(run.content, 300))


def test_the_outlet_decides_unless_another_is_asked_for(studio):
    setting = studio(
        piece("2026-001", at="quay"), piece("2026-002", at="dale-fair"), piece("2026-003")
    )
    assert [tag.words.variant for tag in print_tags(setting, Wishes()).tags] == [
        "gallery",
        "own",
        "own",
    ]
    run = print_tags(setting, Wishes(outlet="quay"))
    assert [(tag.words.number, tag.words.variant) for tag in run.tags] == [("2026-001", "gallery")]
    run = print_tags(setting, Wishes(outlet="quay", numbers=("2026-003", "2026-002")))
    assert [(tag.words.number, tag.words.variant) for tag in run.tags] == [
        ("2026-003", "gallery"), ("2026-002", "gallery"),
    ]  # fmt: skip


def test_what_is_not_for_sale_has_no_tag(studio):
    setting = studio(
        piece("2026-001", status="sold"),
        piece("2026-002", status="not for sale"),
        piece("2026-003", status="in progress"),
        piece("2026-004", status="withdrawn"),
        piece("2026-005", at="bare-wall"),
        piece("2026-006", size=""),
        piece("2026-007", status="reserved until 2026-12-24"),
    )
    run = print_tags(setting, Wishes())
    assert [tag.words.number for tag in run.tags] == ["2026-007"]
    assert tuple((number, tell(why)) for number, why in run.left_out) == (
        ("2026-001", "sold"),
        ("2026-002", "not for sale; name its number to print one"),
        ("2026-003", "still being made"),
        ("2026-004", "withdrawn"),
        ("2026-005", "bare-wall wants no tags"),
        ("2026-006", "the record does not say its size"),
    )
    asked = print_tags(setting, Wishes(numbers=("2026-001", "2026-002")))
    assert [(number, tell(why)) for number, why in asked.left_out] == [("2026-001", "sold")]
    said = words_of(asked.content)
    assert "Not for sale" in said and "£" not in said


def test_sizes_of_outlets_go_on_sheets_of_their_own(studio):
    outlets = OUTLETS.replace(
        "quay: {kind: gallery}", "quay: {kind: gallery, tag size: 90 x 50 mm}"
    )
    setting = studio(piece("2026-001", at="quay"), piece("2026-002"), outlets=outlets)
    run = print_tags(setting, Wishes())
    assert run.sheets == 2
    assert "sheet 2 of 2" in words_of(run.content)


def test_in_black_only_each_yarn_has_a_form_of_its_own(studio):
    """Six yarns at the left edge: no two of the six textures are alike, whatever their grey."""
    run = print_tags(studio(piece("2026-001", yarns=6)), Wishes(black=True, stub=True))
    sheet = pypdfium2.PdfDocument(run.content)[0]
    dots = 300 / 25.4
    picture = sheet.render(scale=300 / 72).to_pil().convert("RGB")
    colours = {colour for _, colour in picture.getcolors(2**24)}
    assert all(max(colour) - min(colour) <= 2 for colour in colours)
    left, top, _, _ = selvedge_of(run)
    grey = picture.convert("L")
    textures = []
    for stripe in run.tags[0].words.stripes:
        middle = (top + float(stripe.start + stripe.end) / 2 * 90) * dots
        box = (left * dots, middle - 30, left * dots + 60, middle + 30)
        textures.append(grey.crop(tuple(map(round, box))))
    assert len(textures) == 6
    for number, one in enumerate(textures):
        for other in textures[number + 1 :]:
            apart = zip(rows_and_columns(one), rows_and_columns(other), strict=True)
            assert any(sum(abs(a - b) for a, b in zip(*each, strict=True)) > 60 * 255
                       for each in apart)  # fmt: skip


def rows_and_columns(picture):
    """How dark each row and each column of a picture is."""
    dark = list(picture.tobytes())
    wide, high = picture.size
    rows = [sum(dark[row * wide : (row + 1) * wide]) for row in range(high)]
    return rows, [sum(dark[column::wide]) for column in range(wide)]


def selvedge_of(run):
    """Where the first tag is cut, in millimetres: left, top, right, bottom."""
    marks = [line for line in drawn(run.content)["lines"] if lengths([line]) == [4.0]]
    across = sorted({line[0] for line in marks if line[0] == line[2]})
    down = sorted({line[1] for line in marks if line[1] == line[3]})
    return across[0], down[0], across[1], down[1]


def test_the_stub_repeats_number_and_price_below_the_perforation(studio):
    run = print_tags(studio(piece("2026-001")), Wishes(stub=True))
    said = words_of(run.content)
    assert said.count("2026-001") == 2 and said.count("£1,450") == 2
    page = drawn(run.content)
    tops = sorted(
        {line[1] for line in page["lines"] if line[1] == line[3] and lengths([line]) == [4.0]}
    )
    assert tops[1] - tops[0] == pytest.approx(90 + 16, abs=0.01)
    perforation = [line for line in page["lines"] if lengths([line]) == [55.0]]
    assert [line[1] - tops[0] for line in perforation] == [pytest.approx(90, abs=0.01)]


# Codes


@pytest.fixture
def full_sheet(studio):
    return print_tags(studio(*numbered(8)), Wishes()).content, [
        f"2026-{n:03d}" for n in range(1, 9)
    ]


def test_every_code_is_read_at_any_printing(full_sheet):
    content, numbers = full_sheet
    wanted = addresses(numbers)
    chance = random.Random(11)
    assert read(pixels(content, 150)) == wanted
    sharp = pixels(content, 300)
    assert read(sharp) == wanted
    assert read(sharp.filter(ImageFilter.GaussianBlur(1))) == wanted
    assert read(sharp.filter(ImageFilter.GaussianBlur(2))) == wanted
    noise = Image.frombytes("L", sharp.size, chance.randbytes(sharp.width * sharp.height))
    assert read(Image.blend(sharp, noise, 0.15)) == wanted
    tilted = sharp.rotate(17, fillcolor=255, expand=True, resample=Image.Resampling.BICUBIC)
    assert read(tilted.filter(ImageFilter.GaussianBlur(1))) == wanted


def test_codes_are_read_under_a_blot(full_sheet):
    """A round blot over 5 % of the symbol, anywhere but on its three corners.

    Level M corrects 15 % of the codewords, each of eight modules; the trials in the truth file read
    97 % of codes under a blot of 4 % and 95 % under one of 6 %.
    """
    content, numbers = full_sheet
    picture, scale, chance = pixels(content, 300), 300 / 25.4, random.Random(5)
    codes = [code for code in drawn(content)["pictures"] if abs(code[2] - code[0]) < 30]
    assert len(codes) == 8
    tried = []
    for code in codes * 6:
        side = abs(code[2] - code[0]) * scale
        left, top = min(code[0], code[2]) * scale, min(code[1], code[3]) * scale
        crop = picture.crop((int(left), int(top), int(left + side) + 1, int(top + side) + 1))
        module = side / 33
        radius = math.sqrt(0.05 * 25**2 / math.pi) * module
        x, y = blot_place(chance, radius / module)
        x, y = (x + 4) * module, (y + 4) * module
        ImageDraw.Draw(crop).ellipse((x - radius, y - radius, x + radius, y + radius), fill=60)
        tried.append(len(read(crop)) == 1 and read(crop)[0] in addresses(numbers))
    assert sum(tried) >= 0.95 * len(tried)


def blot_place(chance, radius, side=25):
    """Somewhere in the symbol, clear of the three finder patterns of eight modules."""
    corners = ((3.5, 3.5), (side - 3.5, 3.5), (3.5, side - 3.5))
    while True:
        x, y = (chance.uniform(radius, side - radius) for _ in range(2))
        apart = (math.hypot(max(0, abs(x - a) - 4), max(0, abs(y - b) - 4)) for a, b in corners)
        if all(each > radius for each in apart):
            return x, y


@pytest.mark.parametrize("size", SIZES)
def test_modules_are_large_enough_and_clear(studio, size):
    """A code of 25 modules has a side of 33 with its clear edge; 0.45 mm each at the least."""
    content = print_tags(studio(piece("2026-001")), Wishes(size=size_of(size))).content
    code = next(p for p in drawn(content)["pictures"] if abs(p[2] - p[0]) < 30)
    assert abs(code[2] - code[0]) / 33 >= 0.45 - 0.001
    assert read(pixels(content, 150)) == addresses(["2026-001"])


def test_many_sheets_are_joined_into_one_file(studio, monkeypatch):
    setting = studio(*numbered(20))
    one = print_tags(setting, Wishes())
    monkeypatch.setattr("provenance.papers.tags.sheets.SHEETS_A_PAPER", 1)
    many = print_tags(setting, Wishes())
    for room in ("sheets", "finishing"):
        monkeypatch.setattr(f"provenance.papers.tags.{room}.MANY", 2)
    monkeypatch.setattr("provenance.papers.tags.sheets.SHEETS_OF_MANY", 1)
    on_all_cores = print_tags(setting, Wishes())
    assert many.content == on_all_cores.content
    assert many.sheets == one.sheets == 3 == len(pypdfium2.PdfDocument(many.content))
    assert words_of(many.content) == words_of(one.content)
    for page in range(3):
        assert drawn(many.content, page) == drawn(one.content, page)
    file = pikepdf.open(io.BytesIO(many.content))
    assert not file.check_pdf_syntax() if hasattr(file, "check_pdf_syntax") else not file.check()
    assert str(file.docinfo.Title) == "Brackenfold, hang-tags" and str(file.Root.Lang) == "en-GB"
    assert check_codes(many.content, many.codes.values()) == 20
    assert len(many.codes) == 20


# What is due


def printed(run, day=date(2026, 11, 25)):
    return "".join(note.line(day) for note in run.notes)


def test_a_changed_price_makes_that_tag_due_and_no_other(studio):
    run = print_tags(studio(*numbered(3)), Wishes())
    lines = printed(run)
    assert list(tags_due(studio(*numbered(3), printed=lines))) == []
    changed = [*numbered(1), piece("2026-002", price="1400"), piece("2026-003")]
    setting = studio(*changed, printed=lines)
    due = tags_due(setting)
    assert [(number, tell(why)) for number, why in due] == [
        ("2026-002", "price was £1,450, is £1,400")
    ]
    again = print_tags(setting, Wishes(changed=True))
    assert [tag.words.number for tag in again.tags] == ["2026-002"]
    assert "£1,400" in words_of(again.content)
    later = studio(*changed, printed=lines + printed(again))
    assert list(tags_due(later)) == []
    assert print_tags(later, Wishes(changed=True)).content == b""


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"title": "Ebb Tide"}, "title was Saltmarsh, is Ebb Tide"),
        ({"size": "125 x 86 cm"}, "its words have changed"),
        ({"at": "quay"}, f"address was {SITE.upper()}/2026-001/, is left off"),
        ({"status": "not for sale"}, None),
        ({"story": "Another story."}, None),
    ],
)
def test_why_a_tag_is_due(studio, more, why):
    lines = printed(print_tags(studio(piece("2026-001")), Wishes()))
    due = tags_due(studio(piece("2026-001", **more), printed=lines))
    assert [tell(reason) for _, reason in due] == ([why] if why else [])


def test_a_tag_never_printed_is_due(studio):
    ((_, why),) = tags_due(studio(piece("2026-001")))
    assert tell(why) == "not printed yet"


def test_the_same_records_give_the_same_bytes(studio):
    setting = studio(*HARD[:4])
    assert print_tags(setting, Wishes()).content == print_tags(setting, Wishes()).content
