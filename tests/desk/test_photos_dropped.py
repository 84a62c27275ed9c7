"""Photos dropped onto the desk: their bytes stay, their names fit, what is none is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from provenance.desk.dropped import named_as
from provenance.press.pictures.photos import open_photo
from provenance.problems import Slip
from provenance.records.book import read_book
from tests.desk.conftest import all_of, picture, sent, told

HEIC = Path(__file__).parents[1] / "press" / "photos" / "turn-6.heic"  # a phone's, on its side
PHOTO = "photos/2026-001-img-2041.jpg"


def drop(hands, data, name="IMG_2041.JPG", number="2026-001"):
    return hands.do("/photos", {"number": number, "name": name, "data": sent(data)})


def test_a_photo_keeps_its_bytes_and_is_seen_upright(folder, hands):
    data = picture(turn=6)
    found = drop(hands, data)
    assert found == {
        "path": PHOTO, "number": "2026-001", "is_double": False, "told": [],
        "width": 40, "height": 64, "is_named": False, "alt": "",
    }  # fmt: skip
    assert (folder / PHOTO).read_bytes() == data
    seen = open_photo(folder, PHOTO)
    assert (seen.width, seen.height) == (40, 64)


def test_a_place_in_the_file_is_told(hands):
    assert drop(hands, picture(gps=True))["told"] == [
        "The file says where it was taken. No picture made of it for others does; "
        "the file itself keeps it."
    ]


@pytest.mark.parametrize(
    ("kind", "ending"),
    [("PNG", ".png"), ("AVIF", ".avif"), ("WEBP", ".webp"), ("HEIF", ".heic"), ("TIFF", ".tif")],
)
def test_the_ending_is_what_the_bytes_are(hands, kind, ending):
    data = HEIC.read_bytes() if kind == "HEIF" else picture(kind)
    assert drop(hands, data)["path"] == f"photos/2026-001-img-2041{ending}"


def test_a_double_is_known_and_another_of_the_name_gets_its_own(folder, hands):
    first = drop(hands, picture())
    again = drop(hands, picture(), "other.jpg", "2026-002")
    assert (again["path"], again["is_double"]) == (first["path"], True)
    assert again["told"] == [f"This photo lies there already: {PHOTO}"]
    other = drop(hands, picture(colour=200), "../../img_2041.png")
    assert other["path"] == "photos/2026-001-img-2041-2.jpg"
    assert sorted(path.name for path in (folder / "photos").iterdir()) == [
        "2026-001-img-2041-2.jpg", "2026-001-img-2041.jpg",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"no picture at all", "'IMG_2041.JPG' is not a picture that can be read"),
        (picture()[:300], "the photo 'IMG_2041.JPG' is cut short or damaged"),
        (b"", "the photo 'IMG_2041.JPG' is cut short or damaged"),
    ],
)
def test_what_is_no_picture_is_refused_in_words(folder, hands, data, what):
    with pytest.raises(Slip) as refused:
        drop(hands, data)
    assert told(refused.value)[0] == what
    assert not (folder / "photos").exists()


def test_a_number_that_nobody_knows_is_refused(folder, hands):
    with pytest.raises(Slip) as refused:
        drop(hands, picture(), number="2026-099")
    assert "2026-099" in told(refused.value)[0]
    assert not (folder / "photos").exists()


def test_its_words_are_written_into_the_record_and_can_be_taken_back(folder, hands):
    drop(hands, picture())
    before = all_of(folder)
    said = 'Grey scarf, "salt" stripes\n at both ends'
    answer = hands.do("/alt", {"path": PHOTO, "number": "2026-001", "words": said})
    assert answer["told"] == [f"2026-001 Ebb: its record names {PHOTO}"]
    book, problems = read_book(folder)
    assert not problems
    photo = named_as(book.pieces["2026-001"], PHOTO)
    assert (photo.file, photo.alt) == (
        "2026-001-img-2041.jpg", 'Grey scarf, "salt" stripes at both ends',
    )  # fmt: skip
    hands.do("/alt", {"path": PHOTO, "number": "2026-001", "words": "Grey scarf"})
    book, _ = read_book(folder)
    assert [photo.alt for photo in book.pieces["2026-001"].photos] == ["Grey scarf"]
    for _ in range(2):
        hands.do("/deed/do", {"mark": hands.do("/undo", {})["mark"]})
    assert all_of(folder) == before


def test_a_photo_that_does_not_lie_there_is_not_named(folder, hands):
    before = all_of(folder)
    for path in ("photos/other.jpg", "studio/studio.yaml", "photos/../studio/studio.yaml"):
        with pytest.raises(Slip):
            hands.do("/alt", {"path": path, "number": "2026-001", "words": "x"})
    assert all_of(folder) == before


def test_photos_found_for_an_earlier_piece_are_named_with_the_new_one(folder, hands):
    (folder / "2019-004.yaml").write_text(
        "number: 2019-004\ntitle: Old tide\nearlier: yes\nkind: scarf\n"
    )
    drop(hands, picture(), "2019-004 detail.jpg", "2019-004")
    drop(hands, picture(colour=3), "back.jpg", "2019-004")
    hands.do("/alt", {"path": "photos/2019-004-back.jpg", "number": "2019-004", "words": "Back"})
    book, problems = read_book(folder)
    assert not problems
    assert [(str(each.file), each.view, each.alt) for each in book.pieces["2019-004"].photos] == [
        ("2019-004-back.jpg", "back", "Back"), ("2019-004-detail.jpg", "detail", None),
    ]  # fmt: skip
