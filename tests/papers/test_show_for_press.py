"""Invitation and press sheet of a show: bleed and marks, the record's words, true pictures."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path

import page as pages_checked
import pikepdf
import pypdfium2
import pytest
from PIL import Image

from provenance.papers.shows.invitation import invitation
from provenance.papers.shows.press_sheet import hundred_words, press_sheet
from provenance.public.border import Border
from tests.papers.letters_on import palest, smallest
from tests.papers.test_show_papers import FILES, SHOW, only, opened

MM = 72 / 25.4
WITH_DAYS = SHOW + "opening: 2027-03-04 18:00\nhours: Wednesday to Saturday, 10 to 5\n"
NAME = "shows/low-water.yaml"
Written = Callable[[Path, dict[str, str]], Path]


@pytest.fixture(scope="module")
def border(write_studio_in: Written, tmp_path_factory: pytest.TempPathFactory) -> Border:
    folder = tmp_path_factory.mktemp("press") / "pieces"
    site = FILES["studio/studio.yaml"] + "public contact: [email]\nabout: Weaves by the water.\n"
    return opened(folder, write_studio_in, **{NAME: WITH_DAYS, "studio/studio.yaml": site})


@pytest.fixture(scope="module")
def made(border: Border) -> Mapping[str, bytes]:
    return only(border, "low-water", invitation, press_sheet)


def words(content: bytes) -> str:
    with pypdfium2.PdfDocument(content) as pdf:
        text = "\n".join(each.get_textpage().get_text_range() for each in pdf)
    return " ".join(text.split())


def test_which_papers(made: Mapping[str, bytes]) -> None:
    assert list(made) == [
        "invitation-a6.pdf", "invitation-to-send.pdf", "invitation-long.pdf", "press-sheet.pdf",
        "press-2026-003.jpg", "press-2026-001.jpg", "press-2026-005.jpg",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "size"), [("a6", (105, 148)), ("long", (99, 210))]
)  # ISO 216; the card of the long envelope
def test_boxes_of_the_cards(made: Mapping[str, bytes], name: str, size: tuple[int, int]) -> None:
    with pikepdf.open(io.BytesIO(made[f"invitation-{name}.pdf"])) as pdf:
        assert len(pdf.pages) == 2
        for each in pdf.pages:
            trim = [float(side) / MM for side in each.trimbox]
            bleed = [float(side) / MM for side in each.bleedbox]
            assert (trim[2] - trim[0], trim[3] - trim[1]) == pytest.approx(size, abs=0.01)
            assert [trim[0] - bleed[0], bleed[3] - trim[3]] == pytest.approx([3, 3], abs=0.01)


def test_the_card_to_send_ends_at_its_trim(made: Mapping[str, bytes]) -> None:
    with pikepdf.open(io.BytesIO(made["invitation-to-send.pdf"])) as pdf:
        box = [float(side) / MM for side in pdf.pages[0].mediabox]
    assert (box[2] - box[0], box[3] - box[1]) == pytest.approx((105, 148), abs=0.01)


@pytest.mark.parametrize("name", ["a6", "long"])
def test_colour_runs_over_the_edge(made: Mapping[str, bytes], name: str) -> None:
    """Edge at the left and picture at top and right are printed to the end of the bleed."""
    with pypdfium2.PdfDocument(made[f"invitation-{name}.pdf"]) as pdf:
        picture = pdf[0].render(scale=300 / 72).to_pil().convert("RGB")
    px = 300 / 25.4
    out, middle = 7 + 0.4, 7 + 3 + 40  # mm to just inside the bleed, and to a point of the side
    for x, y in ((out * px, middle * px), (middle * px, out * px),
                 (picture.width - out * px, middle * px)):  # fmt: skip
        red, green, blue = picture.getpixel((int(x), int(y)))
        assert (red, green, blue) != (255, 255, 255), (x, y)
    assert picture.getpixel((int(5 * px), int(middle * px))) == (255, 255, 255)  # beyond the bleed


def test_words_of_the_card(made: Mapping[str, bytes]) -> None:
    for name in ("a6", "long", "to-send"):
        told = words(made[f"invitation-{name}.pdf"])
        for said in ("Low water", "Isla Wren", "5 March to 11 April 2027", "Quay Rooms, Sandrigg",
                     "4 March 2027, 18:00", "Wednesday to Saturday, 10 to 5",
                     "brackenfold.example/shows/low-water/", "Piece 3, 2026"):  # fmt: skip
            assert said in told, said
        assert "431" not in told and "Holloway" not in told


def test_a_show_that_is_over_invites_nobody(border: Border) -> None:
    show = border.show("low-water")
    late = replace(border.house, today=date(2027, 4, 12))
    pieces = tuple(map(border.piece, show.numbers))
    assert invitation(late, show, pieces, []) == [] == press_sheet(late, show, pieces, [])
    last = replace(border.house, today=date(2027, 4, 11))
    assert invitation(last, show, pieces, []) != []


def test_words_of_the_press_sheet(made: Mapping[str, bytes]) -> None:
    told = words(made["press-sheet.pdf"])
    for said in ("Low water", "Quay Rooms, Sandrigg", "5 March to 11 April 2027", "7 works",
                 "Everything ends up in the harbour", "Weaves by the water.",
                 "hello@brackenfold.example", "press-2026-003.jpg", "Photo: Isla Wren",
                 "800 × 1000 pixels: 68 × 85 mm at 300 an inch"):  # fmt: skip
        assert said in told, said
    assert "01632" not in told  # not public
    with pypdfium2.PdfDocument(made["press-sheet.pdf"]) as pdf:
        assert len(pdf) == 1


def test_the_pictures_carry_their_credit(made: Mapping[str, bytes]) -> None:
    with Image.open(io.BytesIO(made["press-2026-003.jpg"])) as picture:
        assert picture.size == (800, 1000)  # never larger than the photo
        assert picture.info["dpi"] == pytest.approx((300, 300), abs=1)
        told = picture.info["xmp"].decode()
    assert "Isla Wren" in told and "© 2026 Isla Wren" in told and "2026-003" in told


def test_a_large_photo_is_brought_down_to_a5(border: Border) -> None:
    show, folder = border.show("low-water"), border.house.folder / "photos"
    Image.new("RGB", (3000, 4000), "#6f7a38").save(folder / "two.jpg")
    piece = border.piece("2026-003")
    large = replace(piece, photos=(replace(piece.photos[0], file="two.jpg"),))
    papers = press_sheet(border.house, show, (large,), [])
    assert Image.open(io.BytesIO(papers[1].content)).size == (1860, 2480)


def test_a_photo_that_can_not_be_read_is_told_and_another_taken(border: Border) -> None:
    show, slips = border.show("low-water"), []  # type: ignore[var-annotated]
    piece, other = border.piece("2026-003"), border.piece("2026-001")
    lost = replace(piece, photos=(replace(piece.photos[0], file="gone.jpg"),))
    papers = press_sheet(border.house, show, (lost, other), slips)
    assert [each.name for each in papers] == ["press-sheet.pdf", "press-2026-001.jpg"]
    assert [(number, file) for number, file, _ in slips] == [("2026-003", "gone.jpg")]


def test_a_hundred_words_end_with_a_sentence() -> None:
    text = "# Low water\n\n" + " ".join(f"This is *sentence* number {n} of all." for n in range(40))
    told = hundred_words(text)
    assert len(told.split()) <= 100 and told.endswith("of all.")
    assert len(told.split()) > 90
    assert hundred_words("Short. And done.") == "Short. And done."


@pytest.mark.parametrize(
    "name",
    ["invitation-a6.pdf", "invitation-long.pdf", "invitation-to-send.pdf", "press-sheet.pdf"],
)
def test_tagged_and_legible(made: Mapping[str, bytes], name: str, tmp_path: Path) -> None:
    (tmp_path / "a.pdf").write_bytes(made[name])
    told = str(pages_checked.validate_pdf(str(tmp_path / "a.pdf"), profile="ua1"))
    assert "no failures" in told, told
    assert smallest(made[name]) >= 8
    assert palest(made[name]) == 0
