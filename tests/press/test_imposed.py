"""Pages for the press: boxes, marks outside the bleed; pages in the order they are folded in."""

import io
import re
from itertools import chain

import pikepdf
import pytest

from provenance.press.pdf.boxes import with_marks
from provenance.press.pdf.imposed import Sheet, booklet, sheet_for, sides_of

A5, MM = (148.0, 210.0), 72 / 25.4
BLEED = 3.0


def pages_of(count, trim=A5, bleed=BLEED):
    """Pages that show their trim and their bleed, each with its number in its content."""
    made, into = pikepdf.new(), io.BytesIO()
    for number in range(1, count + 1):
        made.add_blank_page(page_size=tuple((side + 2 * bleed) * MM for side in trim))
        made.pages[-1].Contents = made.make_stream(b"/Number%d BMC 0 0 9 9 re f EMC" % number)
    made.save(into, deterministic_id=True)
    return into.getvalue()


def box(page, name):
    return [float(side) / MM for side in page[name]]


def placed(page):
    """The pages on a side of a sheet: number, and what moves it, from the left."""
    found = []
    for clip, x, y, name in re.findall(
        r"q ([-0-9. ]+) re W n 1 0 0 1 ([-0-9.]+) ([-0-9.]+) cm (/\w+) Do Q",
        page.Contents.read_bytes().decode(),
    ):
        form = page.Resources.XObject[name]
        number = int(re.search(rb"/Number([0-9]+)", form.read_bytes())[1])
        found.append((number, float(x) / MM, float(y) / MM, [float(n) / MM for n in clip.split()]))
    return found


def opened(content):
    return pikepdf.open(io.BytesIO(content))


# 0 for a page that is not there: five pages are filled up to eight.
@pytest.mark.parametrize(
    ("pages", "sides"),
    [
        (4, [((4, 1), (2, 3))]),
        (8, [((8, 1), (2, 7)), ((6, 3), (4, 5))]),  # the order in which printers fold eight
        (5, [((8, 1), (2, 7)), ((6, 3), (4, 5))]),
    ],
)
def test_order(pages, sides):
    assert sides_of(pages) == sides


@pytest.mark.parametrize("pages", [4, 8, 16, 36, 128])
def test_every_page_once_and_each_folds_onto_its_neighbour(pages):
    made = booklet(pages_of(pages), A5)
    with opened(made.content) as paper:
        sheets = [[number for number, *_ in placed(side)] for side in paper.pages]
    assert len(sheets) == pages // 2 == 2 * made.sheets
    assert sorted(chain(*sheets)) == list(range(1, pages + 1))
    for front, back in zip(sheets[::2], sheets[1::2], strict=True):
        # a leaf holds two pages that follow each other; the two of a side are one more than all
        assert back[0] == front[1] + 1 and front[0] == back[1] + 1
        assert sum(front) == sum(back) == pages + 1


def test_pages_are_filled_up_to_fours():
    made = booklet(pages_of(6), A5)
    with opened(made.content) as paper:
        assert [[n for n, *_ in placed(side)] for side in paper.pages] == [[1], [2], [6, 3], [4, 5]]
    assert made.pages == 8 and made.sheets == 2


def test_creep_moves_pages_to_the_fold():
    """showing, rule of creep: sheet i is pushed out by (i - 1) x t; 8 sheets of 0.12: 0 to 0.84."""
    made = booklet(pages_of(32), A5, thickness=0.12)
    assert made.creep == pytest.approx(0.84)
    with opened(made.content) as paper:
        fold = made.sheet.width / 2
        for turn, side in enumerate(paper.pages):
            (_, left, _, clip), (_, right, _, other) = placed(side)
            out = (turn // 2) * 0.12
            assert left + BLEED + 148 == pytest.approx(fold + out, abs=1e-3)  # its inner edge
            assert right + BLEED == pytest.approx(fold - out, abs=1e-3)
            assert clip[0] + clip[2] == pytest.approx(fold, abs=1e-3) == other[0]  # nor beyond it


def test_pages_lie_in_the_middle_of_the_sheet():
    made = booklet(pages_of(4), A5, sheet=Sheet("SRA3", 450, 320))
    with opened(made.content) as paper:
        for side in paper.pages:
            assert box(side, "/MediaBox") == pytest.approx([0, 0, 450, 320])
            assert [y + BLEED for _, _, y, _ in placed(side)] == pytest.approx([55, 55], abs=1e-3)


@pytest.mark.parametrize(
    ("trim", "american", "name", "turns"),
    [
        ((148, 210), False, "A4", "short"),
        ((210, 297), False, "A3", "short"),
        ((160, 220), False, "SRA4", "short"),
        ((105, 297), False, "A4", "long"),  # two stand upright beside each other
        ((139.7, 215.9), True, "Letter", "short"),
        ((148, 210), True, "Tabloid", "short"),
        ((297, 420), False, "A2", "short"),
        ((500, 500), False, "", "short"),
    ],
)
def test_the_sheet_that_holds_two(trim, american, name, turns):
    sheet = sheet_for(trim, is_american=american)
    assert (sheet.name, sheet.turns) == (name, turns)
    assert sheet.width >= 2 * trim[0] and sheet.height >= trim[1]


def test_the_printer_is_told_which_edge_to_turn():
    for trim, told in ((A5, "/DuplexFlipShortEdge"), ((105, 297), "/DuplexFlipLongEdge")):
        with opened(booklet(pages_of(4, trim), trim).content) as paper:
            assert paper.Root.ViewerPreferences.Duplex == told


def test_thick_booklets():
    assert not booklet(pages_of(64), A5).is_thick
    assert booklet(pages_of(65), A5).is_thick


def test_a_sheet_of_words_in_front():
    made = booklet(pages_of(4), A5, said=["Low water", "Turn on the short edge."])
    with opened(made.content) as paper:
        assert len(paper.pages) == 4
        assert [placed(side) for side in paper.pages[:2]] == [[], []]
        assert "/Font" in paper.pages[0].Resources


def test_the_same_again():
    pages = pages_of(8)
    said = {"said": ["Low water"], "thickness": 0.1}
    assert booklet(pages, A5, **said).content == booklet(pages, A5, **said).content
    assert with_marks(pages, A5, 3, "Low water") == with_marks(pages, A5, 3, "Low water")


@pytest.mark.parametrize(("bleed", "there"), [(3.0, 3.0), (3.0, 10.0), (0.0, 0.0), (5.0, 5.0)])
def test_boxes(bleed, there):
    """BleedBox = trim and bleed; what the paper holds beyond (`there`) is cut away."""
    with opened(with_marks(pages_of(2, A5, there), A5, bleed)) as paper:
        for page in paper.pages:
            media, bled, trim = (box(page, f"/{n}Box") for n in ("Media", "Bleed", "Trim"))
            out = bleed + 7
            assert [trim[2] - trim[0], trim[3] - trim[1]] == pytest.approx(A5, abs=2e-3)
            assert trim[:2] == pytest.approx([there, there], abs=2e-3)
            grown = [trim[0] - bleed, trim[1] - bleed, trim[2] + bleed, trim[3] + bleed]
            assert bled == pytest.approx(grown, abs=2e-3)
            far = [trim[0] - out, trim[1] - out, trim[2] + out, trim[3] + out]
            assert media == pytest.approx(far, abs=2e-3)
            first = page.Contents[0].read_bytes().decode()
            clip = [float(n) / MM for n in first.removeprefix("q ").split()[:4]]
            assert clip == pytest.approx(
                [*bled[:2], bled[2] - bled[0], bled[3] - bled[1]], abs=2e-3
            )


@pytest.mark.parametrize("bleed", [0.0, 3.0, 5.0])
def test_marks_stay_outside_the_bleed_and_on_the_sheet(bleed):
    with opened(with_marks(pages_of(1), A5, bleed)) as paper:
        page = paper.pages[0]
        left, low, right, high = box(page, "/BleedBox")
        media, trim = box(page, "/MediaBox"), box(page, "/TrimBox")
        drawn = page.Resources.XObject["/Marks0"].read_bytes().decode()
    strokes = re.findall(r"([-0-9.]+) ([-0-9.]+) m ([-0-9.]+) ([-0-9.]+) l S", drawn)
    assert len(strokes) == 8 + 4 * 2
    for stroke in strokes:
        xs, ys = (
            sorted(float(n) / MM for n in stroke[::2]),
            sorted(float(n) / MM for n in stroke[1::2]),
        )
        beside = xs[1] < left or xs[0] > right
        assert beside or ys[1] < low or ys[0] > high
        assert media[0] <= xs[0] and xs[1] <= media[2] and media[1] <= ys[0] and ys[1] <= media[3]
    corners = {round(float(n) / MM, 2) for n in chain(*(s[1::2] for s in strokes[:4]))}
    assert corners <= {round(trim[1], 2), round(trim[3], 2)}


def test_marks_are_in_every_ink():
    with opened(with_marks(pages_of(1), A5, 3)) as paper:
        space = paper.pages[0].Resources.XObject["/Marks0"].Resources.ColorSpace.All
        assert [str(part) for part in space][:2] == ["/Separation", "/All"]
