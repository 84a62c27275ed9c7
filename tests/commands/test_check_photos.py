"""`check` looks at photos: what it says where, and that what it keeps decides nothing."""

from __future__ import annotations

import os
import shutil
import threading
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image

from provenance.build import looks
from provenance.commands.main import main
from provenance.press.pictures import photos as press

HEIC = Path(__file__).parents[1] / "press" / "photos"
PIECE = (
    "number: 2026-001\ntitle: Ebb\nphotos:\n"
    '  - {file: whole.jpg, alt: "Grey scarf over a peg"}\n'
    '  - {file: second, alt: "Its fringe"}\n'
)


@pytest.fixture
def photos(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    folder = tmp_path / "pieces"
    (folder / "studio").mkdir(parents=True)
    (folder / "studio" / "studio.yaml").write_text("studio: Brackenfold\nmaker: Isla Wren\n")
    (folder / "2026-001.yaml").write_text(PIECE)
    (folder / "photos").mkdir()
    picture((1600, 1200)).save(folder / "photos" / "whole.jpg")
    return folder / "photos"


def picture(size: tuple[int, int]) -> Image.Image:
    return Image.linear_gradient("L").resize(size)


def second(photos: Path, name: str) -> Path:
    record = photos.parent / "2026-001.yaml"
    record.write_text(PIECE.replace("second", name))
    return photos / name


def check(photos: Path) -> tuple[int, str]:
    run = CliRunner().invoke(
        main, ["--studio", str(photos.parent), "check"], catch_exceptions=False
    )
    return run.exit_code, run.output.partition("\n\n")[0]


PLACE = "pieces/2026-001.yaml:5:12: "


def test_photos_that_are_well_are_not_spoken_of(photos):
    picture((1200, 1600)).save(second(photos, "a.png"))
    assert check(photos)[0] == 0
    assert "a.png" not in check(photos)[1]
    # A PNG under another name, and a phone's HEIC under another, are read all the same.
    picture((1200, 1600)).save(second(photos, "b.jpg"), format="PNG")
    assert "b.jpg" not in check(photos)[1]


def test_a_photo_cut_short(photos):
    path = second(photos, "a.jpg")
    picture((1200, 1600)).save(path)
    path.write_bytes(path.read_bytes()[:-100])
    assert check(photos) == (
        1,
        f"{PLACE}the photo 'a.jpg' is cut short or damaged\n    copy it from the camera again",
    )


def test_a_photo_whose_middle_is_lost(photos):
    """Nothing is cut off: only its pixels tell."""
    path = second(photos, "a.jpg")
    Image.radial_gradient("L").resize((1200, 1600)).save(path, quality=95)
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 3] + whole[len(whole) * 2 // 3 :])
    for _ in range(2):
        assert check(photos) == (
            1,
            f"{PLACE}the photo 'a.jpg' is cut short or damaged\n    copy it from the camera again",
        )


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The photos whose pixels were read, in turn."""
    names: list[str] = []
    look_into = press.look_into
    monkeypatch.setattr(
        press, "look_into", lambda photo: names.append(photo.name) or look_into(photo)
    )
    return names


def test_pixels_are_read_once_though_there_is_something_to_say(photos, read):
    picture((640, 480)).save(second(photos, "a.jpg"))
    for _ in range(3):
        assert "640 x 480" in check(photos)[1]
    assert read == ["whole.jpg", "a.jpg"]


def test_many_are_read_on_every_core(photos, monkeypatch):
    names = [f"{index}.jpg" for index in range(4)]
    lines = [f'  - {{file: {name}, alt: "Its fringe"}}\n' for name in names]
    (photos.parent / "2026-001.yaml").write_text(
        PIECE.partition("  - {file: sec")[0] + "".join(lines)
    )
    for name in names:
        picture((1200, 900)).save(photos / name)
    (photos / "2.jpg").write_bytes((photos / "2.jpg").read_bytes()[:-200] + b"\xff\xd9")
    said = [check(photos)]
    shutil.rmtree(photos.parent.parent / "cache")
    monkeypatch.setattr(looks, "_FEW", 1)
    said.append(check(photos))
    assert said[0] == said[1]
    assert said[0][0] == 1 and said[0][1].count("cut short or damaged") == 1


def test_what_is_no_picture(photos):
    second(photos, "a.jpg").write_text("%PDF-1.7 a letter")
    assert check(photos) == (
        1,
        f"{PLACE}'a.jpg' is not a picture that can be read\n"
        "    export it as a JPEG and name that file",
    )


def test_too_many_pixels(photos):
    Image.new("1", (12_000, 12_000)).save(second(photos, "a.png"))
    assert check(photos) == (
        1,
        f"{PLACE}the photo 'a.png' has 144 million pixels\n    save it with 120 million at most",
    )


def test_a_small_photo_is_a_remark(photos):
    picture((640, 480)).save(second(photos, "a.jpg"))
    code, said = check(photos)
    assert (code, said) == (
        0,
        f"{PLACE}remark: the photo 'a.jpg' has only 640 x 480 pixels: it stays small on the site\n"
        "    use one with 1200 or more on its longer side: the camera's own file, not one sent by "
        "a messenger",
    )
    with (photos.parent / "2026-001.yaml").open("a") as record:
        record.write('known: ["only 640 x 480"]\n')
    assert "640" not in check(photos)[1]


def test_small_photos_are_told_once(photos):
    picture((640, 480)).save(second(photos, "a.jpg"))
    picture((300, 900)).save(photos / "whole.jpg")
    code, said = check(photos)
    assert code == 0
    assert said.splitlines()[0] == (
        "pieces/2026-001.yaml:4:12: remark: 2 photos have less than 1200 pixels on their longer "
        "side and stay small on the site: whole.jpg, a.jpg"
    )
    assert said.count("remark") == 1
    with (photos.parent / "2026-001.yaml").open("a") as record:
        record.write('known: ["stay small on the site"]\n')
    assert "small" not in check(photos)[1]


@pytest.mark.parametrize("name", ["a.webp", "a.png", "a.avif"])
def test_an_animation(photos, name):
    frames = [picture((1200, 900)), picture((1200, 900)).rotate(180)]
    frames[0].convert("RGB").save(second(photos, name), save_all=True, append_images=frames[1:])
    assert check(photos) == (
        0,
        f"{PLACE}remark: the photo '{name}' holds 2 pictures: only the main one is shown\n"
        "    export the one you want as a JPEG and name that file",
    )


def test_a_heic_of_several_pictures(photos):
    shutil.copy(HEIC / "several.heic", second(photos, "a.heic"))
    assert "'a.heic' holds 2 pictures" in check(photos)[1]


def test_a_swatch_may_be_small_but_must_be_a_picture(photos):
    bath = photos.parent / "dyebook" / "weld.yaml"
    bath.parent.mkdir()
    bath.write_text("date: 2026-03-01\nswatch: weld.jpg\n")
    picture((1200, 900)).save(second(photos, "a.jpg"))
    picture((60, 60)).save(photos / "weld.jpg")
    assert "weld.jpg" not in check(photos)[1]
    (photos / "weld.jpg").write_bytes(b"\xff\xd8\xff")
    code, said = check(photos)
    assert code == 1
    assert "pieces/dyebook/weld.yaml:2:9: the photo 'weld.jpg' is cut short" in said or (
        "pieces/dyebook/weld.yaml:2:9: 'weld.jpg' is not a picture" in said
    )


def test_a_missing_photo_is_told_once(photos):
    second(photos, "whole.jpeg")
    assert check(photos)[1].count("whole.jpeg") == 1


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The photos that were opened, in turn."""
    names: list[str] = []
    look = looks._look
    monkeypatch.setattr(
        looks,
        "_look",
        lambda folder, name, **more: names.append(name) or look(folder, name, **more),
    )
    return names


def test_only_new_and_changed_photos_are_opened(photos, opened):
    path = second(photos, "a.jpg")
    picture((1200, 900)).save(path)
    check(photos)
    assert opened == ["whole.jpg", "a.jpg"]
    check(photos)
    assert opened == ["whole.jpg", "a.jpg"]
    os.utime(path, (1, 1))  # the same bytes at another time
    check(photos)
    assert opened[2:] == []
    picture((1200, 900)).rotate(180).save(path)
    os.utime(path, (1, 1))
    check(photos)
    assert opened[2:] == ["a.jpg"]


@pytest.mark.parametrize("content", [b"", b"no list", b"{}", b'["x", 3, null]', b"\xff\xfe"])
def test_a_doubtful_cache_is_a_miss(photos, opened, content):
    second(photos, "a.jpg").write_text("no picture")
    check(photos)
    kept = list((photos.parent.parent / "cache").rglob("*.json"))
    assert len(kept) == 1
    kept[0].write_bytes(content)
    assert check(photos)[0] == 1
    assert opened.count("whole.jpg") == 2


def test_what_is_wrong_is_never_kept(photos, opened):
    second(photos, "a.jpg").write_text("no picture")
    assert [check(photos)[0] for _ in range(3)] == [1, 1, 1]
    assert opened.count("a.jpg") == 3 and opened.count("whole.jpg") == 1


@pytest.mark.parametrize("name", ["a:b.jpg", "link.jpg"])
def test_a_name_is_refused_though_its_bytes_are_known(photos, opened, name):
    path = second(photos, f'"{name}"')
    if name == "link.jpg":
        shutil.copy(photos / "whole.jpg", photos.parent / "outside.jpg")
        (photos / name).symlink_to(photos.parent / "outside.jpg")
    else:
        shutil.copy(photos / "whole.jpg", photos / name)
    assert path and [check(photos)[0] for _ in range(2)] == [1, 1]
    assert opened.count(name) == 2


def test_other_commands_open_no_photo(photos, opened):
    CliRunner().invoke(main, ["--studio", str(photos.parent), "stock"], catch_exceptions=False)
    assert opened == []


def test_photos_that_are_looked_at_beside_us_are_told_the_same(photos, monkeypatch):
    """Small ones, a damaged one, one that is no picture: said alike, and none is opened here."""
    monkeypatch.setattr(threading, "active_count", lambda: 2)  # as the desk has: nothing is forked
    names = [f"{turn}.jpg" for turn in range(20)]
    for turn, name in enumerate(names):
        picture((1000 + turn * 20, 700)).save(second(photos, name))
    whole = (photos / names[3]).read_bytes()
    (photos / names[3]).write_bytes(whole[: len(whole) // 2])
    (photos / names[4]).write_text("no picture")
    lines = "".join(f'  - {{file: {name}, alt: "A scarf"}}\n' for name in names)
    (photos.parent / "2026-001.yaml").write_text(PIECE.replace("second", names[0]) + lines)
    cache = photos.parent.parent / "cache"
    alone = check(photos)
    assert alone[0] == 1 and names[3] in alone[1] and names[4] in alone[1]
    shutil.rmtree(cache)
    monkeypatch.setattr(threading, "active_count", lambda: 1)
    real, here = looks.workers, os.getpid()
    asked_here = []
    monkeypatch.setattr(
        looks,
        "workers",
        lambda most: (os.getpid() == here and asked_here.append(most)) or real(most),
    )
    assert check(photos) == alone
    assert asked_here == [] or os.cpu_count() == 1
