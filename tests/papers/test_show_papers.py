"""Papers of a show beside its plan: order, words, letters, sums, what must stay inside.

Sums: 24 x 30 at 2,600 three times and 24 x 24 at 1,700 are 9,500, of which 4,750 at 50 %
(pauldorrell.com/blog/2007/06/08; the sum is our own); 1,200 at 40 % is 720 (glasstips.blogspot.com
2008-10). Letters: 18 points is the floor of object labels (museum list, 2005), large print is 16 to
18 and up, lines have 55 characters at most, labels hang at 137 cm (Gaylord; Smithsonian, Accessible
Exhibition Design).
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path

import page as pages_checked
import pypdfium2
import pytest
from PIL import Image

from provenance.build.exhibition import OPEN, PRIVATE, Maker
from provenance.build.told import private_name
from provenance.figures.flow.gather import studio_flow
from provenance.figures.hanging_checks import check_hanging
from provenance.language.phrases import british
from provenance.papers.sheets.frame import Paper
from provenance.papers.shows.invitation import invitation
from provenance.papers.shows.labels import wall_labels
from provenance.papers.shows.lists import checklist, price_list
from provenance.papers.shows.plan import hanging_plan
from provenance.papers.shows.press_sheet import press_sheet
from provenance.papers.shows.texts import large_print, letters_for, room_text
from provenance.press.codes.qr import code_for
from provenance.public.border import Border
from provenance.records.book import read_book
from provenance.reports.show_private import insured_checklist
from provenance.studio import Studio
from tests.papers.kept_papers import keep, kept
from tests.papers.letters_on import palest, sizes_on, smallest

DAY = date(2026, 11, 20)
Papers = Mapping[str, bytes]
Written = Callable[[Path, dict[str, str]], Path]
STUDIO = """
studio: Brackenfold
maker: Isla Wren
place: Eskrigg Dale
site: https://brackenfold.example
contact: {email: hello@brackenfold.example, phone: 01632 960001}
labels for: [UK]
pay: {any: 18.00}
"""
OUTLETS = """
quay: {kind: gallery, title: Quay Rooms, place: "The Quay, Sandrigg", commission: 50 %}
hafen: {kind: gallery, title: Galerie am Hafen, place: Hamburg, commission: 40 %, language: de}
silent: {kind: gallery, commission: 10 %, tag fields: [number, title]}
hall: {kind: show, title: Hall, commission: 30 %, tag: own, rules: {insurance: price}}
"""
TEXT = """# At the tide

Everything ends up in the harbour: the beck, the snow, *once* a gate.

The light is low on purpose. Give your eyes a minute.
"""
SHOW = """
title: Low water
place: Quay Rooms, Sandrigg
outlet: quay
dates: 2027-03-05 to 2027-04-11
words: tide.md
walls:
  - {name: north, width: 620 cm, works: [2026-003, 2026-001, 2026-005]}
  - {name: alcove, width: 400 cm, works: [2026-002, 2026-004]}
works: [2019-001, 2026-006]
"""
ORDER = ["2026-003", "2026-001", "2026-005", "2026-002", "2026-004", "2019-001", "2026-006"]
PRICES = {"2026-001": 2600, "2026-002": 2600, "2026-003": 2600, "2026-004": 1700}


def piece(number: str, price: object, more: str = "", photo: str = "one.jpg") -> str:
    shown = f'photos: [{{file: {photo}, view: whole, alt: "A striped cloth"}}]' if photo else ""
    return f"""
number: {number}
title: Piece {number[-1]}
kind: hanging
structure: weft-faced plain weave
size: 76 x 61 cm
weight: 500 g
yarns: [{{use: weft, lot: plain, weight: 100 g}}]
hours: {{weaving: 10}}
{shown}
price: {price}
{more}
"""


SALE = 'sale: {on: 2026-06-01, price: 431.10, to: "Marit Holloway, Leeds"}'
FILES = {
    "studio/studio.yaml": STUDIO,
    "studio/yarns.yaml": "plain: {fibre: wool, weight: 9 kg, cost: 0, colour: '#6f7a38'}\n",
    "studio/outlets.yaml": OUTLETS,
    "pages/tide.md": TEXT,
    "shows/low-water.yaml": SHOW,
    **{f"{number}.yaml": piece(number, price) for number, price in PRICES.items()},
    "2026-004.yaml": piece("2026-004", 1700, photo=""),
    "2026-005.yaml": piece("2026-005", 450, f"status: sold\n{SALE}"),
    "2026-006.yaml": piece("2026-006", 777, "status: not for sale"),
    "2019-001.yaml": "number: 2019-001\ntitle: First warp\nearlier: yes\n",
}


def opened(folder: Path, write: Written, **changes: str) -> Border:
    write(folder, {**FILES, **changes})
    (folder / "photos").mkdir(exist_ok=True)
    Image.new("RGB", (800, 1000), "#6f7a38").save(folder / "photos" / "one.jpg")
    book, problems = read_book(folder)
    assert [str(each) for each in problems] == []
    return Border(Studio(book, studio_flow(book), {}, DAY))


def only(border: Border, name: str, *makers: Maker) -> dict[str, bytes]:
    """Some papers of a show."""
    record = border.studio.show(name)
    there = border.speaking(border.book.outlets.get(str(record.outlet or "")))
    show = there.show(name)
    pieces = tuple(map(there.piece, show.numbers))
    papers = [each for make in makers for each in make(there.house, show, pieces, [])]
    return {each.name: each.content for each in papers}


def insured(border: Border, name: str) -> list[dict[str, str]]:
    found = {each.name: each.content for each in insured_checklist(border, border.show(name))}
    return rows_of(found["private-checklist.csv"])


@pytest.fixture(scope="module")
def usual(write_studio_in: Written, once: Callable[[str, Callable[[Path], None]], Path]) -> Papers:
    """The papers of the show as it stands above, made once for all workers."""

    def make(into: Path) -> None:
        border = opened(into / "pieces", write_studio_in)
        private = insured_checklist(border, border.show("low-water"))
        made = {**only(border, "low-water", *OURS), **{each.name: each.content for each in private}}
        keep(made, into)

    return kept(once("papers of a show", make))


@pytest.fixture
def shown(write_studio_in: Written, tmp_path: Path) -> Callable[..., Border]:
    return lambda **changes: opened(tmp_path / "pieces", write_studio_in, **changes)


def words_of(content: bytes) -> str:
    with pypdfium2.PdfDocument(content) as pdf:
        return " ".join(" ".join(p.get_textpage().get_text_range().split()) for p in pdf)


def rows_of(content: bytes) -> list[dict[str, str]]:
    text = content.decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text), delimiter=";" if ";" in text[:60] else ","))


def in_order(text: str, signs: list[str]) -> bool:
    places = [text.find(sign) for sign in signs]
    return -1 not in places and places == sorted(places)


OURS = tuple(make for make in OPEN if make is not hanging_plan)
PDFS = (
    "wall-labels.pdf", "room-text.pdf", "large-print.pdf", "checklist.pdf",
    "private-checklist.pdf", "price-list.pdf", "hand-over.pdf", "condition.pdf",
)  # fmt: skip
LISTED = tuple(name for name in PDFS if name != "room-text.pdf")


@pytest.mark.parametrize("name", LISTED)
def test_works_stand_in_the_order_they_hang_in(usual: Papers, name: str) -> None:
    assert in_order(words_of(usual[name]), ORDER)


@pytest.mark.parametrize("name", ["checklist.csv", "private-checklist.csv", "price-list.csv"])
def test_spreadsheets_have_the_same_order_and_walls(usual: Papers, name: str) -> None:
    rows = rows_of(usual[name])
    assert [row["number"] for row in rows] == ORDER
    assert [row["wall"] for row in rows] == ["North"] * 3 + ["Alcove"] * 2 + [""] * 2


def test_no_paper_of_a_show_is_left_out_of_what_follows(usual: Papers) -> None:
    """Those for press and post are looked at in test_show_for_press, the plan in its own test."""
    for_press = {name for name in usual if name.startswith(("invitation-", "press-"))}
    assert {name for name in usual if name.endswith(".pdf")} - for_press == {*PDFS}


@pytest.mark.parametrize("name", PDFS)
def test_everyone_can_have_it_read_aloud(usual: Papers, tmp_path: Path, name: str) -> None:
    """PDF/UA-1 (ISO 14289-1), by page-validation, which had no part in making it."""
    path = tmp_path / name
    path.write_bytes(usual[name])
    report = pages_checked.validate_pdf(path, profile="ua1")
    assert [str(failure) for failure in report.failures] == []


@pytest.mark.parametrize("name", PDFS)
def test_letters_are_solid_black_and_large_enough(usual: Papers, name: str) -> None:
    least = {"large-print.pdf": 20, "room-text.pdf": 18}.get(name, 8)
    assert smallest(usual[name]) >= least
    assert palest(usual[name]) == 0


def test_labels_have_letters_of_eighteen_points_and_titles_of_twenty(usual: Papers) -> None:
    with pypdfium2.PdfDocument(usual["wall-labels.pdf"]) as pdf:
        sizes: dict[float, str] = {}
        for each in pdf:
            for size, signs in sizes_on(each).items():
                sizes[size] = sizes.get(size, "") + signs
    on_cards = {size: signs for size, signs in sizes.items() if size > 12}
    assert min(on_cards) == 18
    assert "Piece1" in sizes[23] and "IslaWren" in sizes[18] and "£2,600" in sizes[18]
    beside = "".join(signs for size, signs in sizes.items() if size <= 12)
    assert "137cm" in beside and "North,1of3" in beside and "£" not in beside


@pytest.mark.parametrize("name", ["wall-labels.pdf", "room-text.pdf", "large-print.pdf"])
def test_lines_before_the_public_have_fifty_five_characters_at_most(
    usual: Papers, name: str
) -> None:
    with pypdfium2.PdfDocument(usual[name]) as pdf:
        lines = [line for p in pdf for line in p.get_textpage().get_text_range().splitlines()]
    beside = british().say("exhibition.cut")  # outside the cut
    told = [line.strip() for line in lines if line.strip() not in beside]
    told = [line for line in told if not line.startswith("Brackenfold. ")]  # the foot of the sheet
    assert max(map(len, told)) <= 55 and not any(line.endswith(("-", "\u00ad")) for line in told)


def test_what_is_sold_or_lent_says_so_and_tells_no_price(usual: Papers) -> None:
    for name in ("wall-labels.pdf", "large-print.pdf", "checklist.pdf", "price-list.pdf"):
        text = words_of(usual[name])
        assert "Sold" in text and "Not for sale" in text, name
        assert "£450" not in text and "£777" not in text and "431" not in text, name
    assert "2026-006. Lent by the maker" in words_of(usual["wall-labels.pdf"])


def test_large_print_has_the_words_of_the_labels_and_of_the_room(usual: Papers) -> None:
    label, large = words_of(usual["wall-labels.pdf"]), words_of(usual["large-print.pdf"])
    for said in ("100 % wool; weft-faced plain weave", "H 76 × W 61 cm (29 7/8 × 24 in)",
                 "First warp, 2019", "Hanging", "Lent by the maker", "£1,700"):  # fmt: skip
        assert said in label or said == "Hanging", said
        assert said in large or said == "Hanging", said
    for said in ("At the tide", "Everything ends up in the harbour", "Give your eyes a minute."):
        assert said in large and said in words_of(usual["room-text.pdf"])
    assert "7 works, in the order they hang" in large
    assert "Also as a file that can be read aloud" in large
    assert "Also in large print" in words_of(usual["room-text.pdf"])


def test_a_checklist_adds_up(usual: Papers) -> None:
    """Three at 2,600 and one at 1,700 are 9,500; six of 500 g are 3 kg, one was never weighed."""
    text = words_of(usual["checklist.pdf"])
    assert "7 works 3 kg 6 weighed £9,500 4 for sale" in text
    rows = rows_of(usual["checklist.csv"])
    assert sum(int(row["price"].split(".")[0]) for row in rows if row["price"]) == 9500
    assert [row["state"] for row in rows][2] == "sold"
    assert "insurance" not in rows[0]


def test_insurance_values_and_their_sum(usual: Papers) -> None:
    """Half of 9,500 is 4,750 by the gallery's terms; 431.10 was paid; 777 stands on the lent one;
    the earlier one is to be agreed: 5,958.10."""
    rows = {row["number"]: row for row in rows_of(usual["private-checklist.csv"])}
    values = {number: row["insurance"] for number, row in rows.items()}
    assert values == {
        "2026-001": "1300.00", "2026-002": "1300.00", "2026-003": "1300.00", "2026-004": "850.00",
        "2026-005": "431.10", "2026-006": "777.00", "2019-001": "",
    }  # fmt: skip
    assert rows["2026-001"]["insured for"] == "what Quay Rooms pays for a loss"
    assert rows["2026-005"]["insured for"] == "what its buyer paid"
    assert rows["2026-006"]["insured for"] == "its price"
    assert rows["2019-001"]["insured for"] == "no price is known: agree on a sum"
    text = words_of(usual["private-checklist.pdf"])
    assert "£5,958.10 6 valued" in text and "to be agreed" in text


@pytest.mark.parametrize(
    ("outlet", "value", "why"),
    [
        ("outlet: hafen", "720.00", "what Galerie am Hafen pays for a loss"),  # 1,200 less 40 %
        ("outlet: hall", "1200.00", "its price"),  # its rules say so
        ("", "1200.00", "its price"),  # nobody keeps anything
    ],
)
def test_what_a_work_is_insured_for_depends_on_where(
    shown: Callable[..., Border], outlet: str, value: str, why: str
) -> None:
    show = f"title: One\nplace: Somewhere\n{outlet}\nworks: [2026-001]\n"
    border = shown(**{"2026-001.yaml": piece("2026-001", 1200), "shows/one.yaml": show})
    (row,) = insured(border, "one")
    assert (row["insurance"], row["insured for"]) == (value, why)


def test_values_lie_where_nothing_is_handed_out(usual: Papers) -> None:
    private = [name for name in usual if name.startswith("private-")]
    assert private == ["private-checklist.pdf", "private-checklist.csv"]
    assert (insured_checklist,) == PRIVATE
    paper = Paper(private[0], b"")
    assert private_name("low-water", paper) == "private/checklist-low-water.pdf"
    for name, content in usual.items():
        if name.startswith("private-"):
            continue
        if name.endswith(".jpg"):  # figures by chance among its bytes say nothing
            assert not any(secret in content for secret in (b"Holloway", b"01632", b"hello@"))
            continue
        text = words_of(content) if name.endswith(".pdf") else content.decode("utf-8-sig")
        for secret in ("1,300", "1300", "431", "5,958", "50 %", "Holloway", "01632", "hello@"):
            assert secret not in text, (name, secret)


def test_an_earlier_work_has_a_whole_line_everywhere(usual: Papers) -> None:
    text = words_of(usual["checklist.pdf"])
    assert "2019-001 First warp, 2019 Piece not measured not weighed Price on request" in text
    label = words_of(usual["wall-labels.pdf"])
    assert "Isla Wren First warp, 2019 Piece 2019-001 Price on request" in label


def test_a_work_without_a_photo_is_drawn_to_its_proportions(usual: Papers) -> None:
    with pypdfium2.PdfDocument(usual["condition.pdf"]) as pdf:
        drawn = next(p for p in pdf if "2026-004" in p.get_textpage().get_text_range())
        picture = drawn.render(scale=1).to_pil().convert("L")
    darkest, palest_ = picture.crop((picture.width // 2, 60, picture.width, 400)).getextrema()
    assert darkest < 120 and palest_ == 255  # an outline, its edge, white between them


def test_the_price_list_ticks_what_is_gone(usual: Papers) -> None:
    text = words_of(usual["price-list.pdf"])
    assert text.count("reserved") >= 5 and text.count(" sold") >= 5
    assert in_order(text, ["North", "2026-003", "Alcove", "2026-002", "2019-001"])


def test_a_condition_report_defines_its_words(usual: Papers) -> None:
    with pypdfium2.PdfDocument(usual["condition.pdf"]) as pdf:
        leaves = [" ".join(p.get_textpage().get_text_range().split()) for p in pdf]
    assert len(leaves) == 2 * len(ORDER)  # a leaf each, both sides
    front = (
        "good sound and stable", "fair something is worn", "poor would get worse", "On arrival",
        "Leaving the studio", "On return", "A1 is upper left", "12 at the top", "Handed over by",
        "Received by",
    )  # fmt: skip
    back = (
        "Crocking colour comes off", "Hole warp and weft are both gone", "Weak seam",
        "rubbed ten times", "no skipped picks", "beside places that were covered",
    )  # fmt: skip
    assert [said for said in front if said not in leaves[0]] == []
    assert [said for said in back if said not in leaves[1]] == []


def test_a_hand_over_is_signed_for_all_works(usual: Papers) -> None:
    text = words_of(usual["hand-over.pdf"])
    assert text.count("is there") == 3 * len(ORDER) + 1 and text.count("Handed over by") == 1
    assert "£" not in text and "good sound and stable" in text


def test_a_show_without_words_has_no_panel_and_still_large_print(
    shown: Callable[..., Border],
) -> None:
    border = shown(**{"shows/one.yaml": "title: One\nworks: [2019-001]\n"})
    found = only(border, "one", room_text, large_print)
    assert list(found) == ["large-print.pdf"]
    assert "One work. The words are those of its label." in words_of(found["large-print.pdf"])


def test_a_german_gallery_gets_german_papers(shown: Callable[..., Border]) -> None:
    hung = "works: [2026-001, 2026-005, 2026-006, 2019-001]\n"
    show = f"{SHOW.partition('walls')[0].replace('quay', 'hafen')}{hung}"
    border = shown(**{"shows/low-water.yaml": show})
    found = only(border, "low-water", *OURS)
    said = {
        "wall-labels.pdf": ("100 % Wolle", "Verkauft", "Unverkäuflich", "137 cm über dem Boden"),
        "large-print.pdf": ("In großer Schrift", "4 Arbeiten"),
        "room-text.pdf": ("Auch in großer Schrift",),
        "checklist.pdf": ("Werkliste", "nicht gemessen", "1 zu verkaufen"),
        "price-list.pdf": ("reserviert", "verkauft"),
        "hand-over.pdf": ("Übergabeprotokoll", "ist da", "gut gesund und stabil"),
        "condition.pdf": ("Abfärben", "Zustand im Ganzen"),
    }
    for name, words in said.items():
        text = words_of(found[name])
        assert [word for word in words if word not in text] == [], name
    private = insured_checklist(border, border.show("low-water"))[0].content
    assert "Checklist with insurance values" in words_of(private)  # the maker's own language


def test_an_outlet_whose_tags_have_no_price_has_labels_without_one(
    shown: Callable[..., Border],
) -> None:
    show = SHOW.replace("quay", "silent")
    found = only(shown(**{"shows/low-water.yaml": show}), "low-water", wall_labels, price_list)
    text = words_of(found["wall-labels.pdf"])
    assert "£" not in text and "Sold" not in text and "2026-001" in text
    assert "£2,600" in words_of(found["price-list.pdf"])


def test_where_tags_have_a_code_labels_have_one_to_be_read_from_half_a_metre(
    shown: Callable[..., Border],
) -> None:
    """50 mm of code for 50 to 60 cm (a tenth of the distance); it is read before it is let go."""
    border = shown(**{"shows/one.yaml": "title: One\noutlet: hall\nworks: [2026-001]\n"})
    found = only(border, "one", wall_labels)["wall-labels.pdf"]
    with pypdfium2.PdfDocument(found) as pdf:
        sides = [
            obj.get_bounds()[2] - obj.get_bounds()[0]
            for obj in pdf[0].get_objects()
            if obj.type == 3
        ]
    mm = [round(side * 25.4 / 72) for side in sides]
    with pypdfium2.PdfDocument(found) as pdf:
        (code,) = (each for each in pdf[0].get_objects() if each.type == 3)
        text, left = pdf[0].get_textpage(), code.get_bounds()[0]
        at = text.search("£2,600").get_next()
        assert text.get_charbox(at[0] + at[1] - 1)[2] < left  # the price stands beside it
    modules = code_for("https://brackenfold.example", "2026-001").modules
    assert round(50 * (modules + 8) / modules) in mm  # with its four clear modules all round


def test_a_set_counts_as_often_as_it_is_left(shown: Callable[..., Border]) -> None:
    napkins = piece("2026-001", 20, "makes: 6")
    show = "title: One\noutlet: quay\nworks: [2026-001]\n"
    border = shown(**{"2026-001.yaml": napkins, "shows/one.yaml": show})
    found = only(border, "one", checklist)
    assert "£20 each" in words_of(found["checklist.pdf"])
    assert "1 work 3 kg £120" in words_of(found["checklist.pdf"])
    assert [row["insurance"] for row in insured(border, "one")] == ["60.00"]


def test_letter_paper_black_only(shown: Callable[..., Border]) -> None:
    letter = STUDIO + "tags: {sheet: Letter, black only: yes}\n"
    show = f"{SHOW.partition('walls')[0]}works: [2026-001, 2019-001]\n"
    border = shown(**{"studio/studio.yaml": letter, "shows/low-water.yaml": show})
    found = only(border, "low-water", *OURS)
    for name in found:
        if not name.endswith(".pdf") or name.startswith(("invitation", "press")):
            continue  # a card has its own size, what is for the press its colours
        with pypdfium2.PdfDocument(found[name]) as pdf:
            inches = (792, 1224) if name == "room-text.pdf" else (612, 792)
            assert pdf[0].get_size() == pytest.approx(inches, abs=0.2), name
            picture = pdf[0].render(scale=0.5).to_pil().convert("RGB")
            spread = max(max(c) - min(c) for _, c in picture.getcolors(1 << 20))
            assert spread <= 20, name
    with pypdfium2.PdfDocument(found["condition.pdf"]) as pdf:
        assert len(pdf) == 2 * 2


def test_letters_of_the_panel_grow_with_fewer_words() -> None:
    few, many = "A word or two. " * 10, "A word or two. " * 60
    assert letters_for(few, 205) == 40 and letters_for(many, 205) < 28


def test_a_long_room_text_is_a_remark_with_its_place(shown: Callable[..., Border]) -> None:
    border = shown(**{"pages/tide.md": "# At the tide\n\n" + "word " * 101})
    (remark,) = [each for each in check_hanging(border.book) if "tide.md" in str(each)]
    assert remark.is_remark and str(remark.place) == "pieces/shows/low-water.yaml:6:8"
    assert british().tell(remark.what) == (
        "the room text tide.md has 101 words: few who stand before a wall read so many"
    )
    assert british().tell(remark.remedy) == (
        "75 to 100 are read to the end; the rest could go into the catalogue's essay"
    )
    assert len(only(border, "low-water", room_text)) == 1


def test_labels_know_nothing_but_public_facts(shown: Callable[..., Border]) -> None:
    """A show handed over with nothing on its walls still gives a card for each work."""
    border = shown()
    show = replace(border.show("low-water"), walls=(), centre_line=Fraction(152))
    pieces = tuple(map(border.piece, show.numbers))
    (paper,) = wall_labels(border.house, show, pieces, [])
    assert in_order(words_of(paper.content), ORDER)


def test_nobody_says_how_much_light_an_unknown_work_bears(shown: Callable[..., Border]) -> None:
    """Of earlier work no yarn is recorded: it never makes a wall safer than the safest class."""
    early = "number: 2019-001\ntitle: First warp\nearlier: yes\nsize: 76 x 61 cm\n"
    wall = "walls: [{name: north, width: 620 cm, works: [2019-001, 2026-001]}]\n"
    border = shown(**{"2019-001.yaml": early, "shows/one.yaml": f"title: One\n{wall}"})
    (north,) = border.show("one").walls
    assert (north.lux, north.most_sensitive, north.sensitivity) == (50, "2019-001", "")
    text = words_of(only(border, "one", hanging_plan)["hanging-plan.pdf"])
    said = "50 lux at most until it is known what 2019-001 First warp is made of and dyed with"
    assert said in text and "200 lux" not in text
    assert text.count("2019-001") >= 4  # in its outline, below it, in the line of light, the list


SETS = """title: One
outlet: quay
walls:
  - {name: west, width: 300 cm, works: [2026-001, 2026-002]}
  - {name: east, width: 300 cm, works: [2026-001]}
"""


def test_a_set_on_two_walls_stands_under_both_and_counts_as_often_as_it_hangs(
    shown: Callable[..., Border],
) -> None:
    """Two of six hang, at 20 each, of which the gallery pays half; beside one of 2,600."""
    napkins = piece("2026-001", 20, "makes: 6")
    border = shown(**{"2026-001.yaml": napkins, "shows/one.yaml": SETS})
    found = only(border, "one", wall_labels, checklist)
    labels = words_of(found["wall-labels.pdf"])
    for told in ("West, 1 of 2 from the left", "West, 2 of 2 from the left",
                 "East, 1 of 1 from the left"):  # fmt: skip
        assert labels.count(told) == 1, told
    assert "£2,640" in words_of(found["checklist.pdf"])
    rows = [(row["wall"], row["number"], row["insurance"]) for row in insured(border, "one")]
    assert rows == [
        ("West", "2026-001", "10.00"), ("West", "2026-002", "1300.00"),
        ("East", "2026-001", "10.00"),
    ]  # fmt: skip


def test_papers_name_the_house_where_the_record_has_only_its_outlet(
    shown: Callable[..., Border],
) -> None:
    show = SHOW.replace("place: Quay Rooms, Sandrigg\n", "")
    border = shown(**{"shows/low-water.yaml": show})
    found = only(border, "low-water", checklist, hanging_plan, invitation, press_sheet)
    for name in ("checklist.pdf", "hanging-plan.pdf", "invitation-a6.pdf", "press-sheet.pdf"):
        assert "Quay Rooms, The Quay, Sandrigg" in words_of(found[name]), (name, list(found))
