"""Photos in `build`: damaged ones keep their last good picture; the cache decides nothing."""

from __future__ import annotations

import hashlib
import shutil
from concurrent.futures import Future
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from PIL import Image

from provenance.build import pictures
from provenance.build.pictures import Wanted, pictures_of
from provenance.commands.main import main
from provenance.press.file_names import named_by_digest, without_digest
from provenance.press.pictures import photos as press
from provenance.press.pictures.credit import Credit
from provenance.workers import workers

YARNS = 'plain: {fibre: wool, weight: 9 kg, cost: 90, colour: "#6f7a38"}\n'
STUDIO = (
    "studio: Brackenfold\nmaker: Isla Wren\nsite: https://brackenfold.example\npay: {any: 20}\n"
)
PIECE = """\
number: 2026-001
title: Ebb
kind: shawl
size: 190 x 60 cm
finished: 2026-09-14
price: 400
hours: {weaving: 10, finishing: 1}
yarns: [{use: weft, lot: plain, weight: 300 g}]
photos:
"""
WHOLE = '  - {file: whole.jpg, view: whole, alt: "A shawl over a peg & a chair"}\n'
FRINGE = "  - {file: fringe.jpg, view: detail, alt: Its fringe}\n"
CREDIT = Credit("Isla Wren", "© 2026 Isla Wren", alt="A shawl")


def at(home: Path, patch: pytest.MonkeyPatch) -> None:
    patch.setenv("SOURCE_DATE_EPOCH", "1795608000")
    patch.setenv("XDG_CACHE_HOME", str(home / "cache"))
    patch.chdir(home)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory, kept_cache: Path) -> Path:
    """A piece with two photos, and the site of it."""
    home = tmp_path_factory.mktemp("built")
    shutil.copytree(kept_cache, home / "cache", dirs_exist_ok=True)
    for name, text in {"studio/studio.yaml": STUDIO, "studio/yarns.yaml": YARNS}.items():
        (home / "pieces" / name).parent.mkdir(parents=True, exist_ok=True)
        (home / "pieces" / name).write_text(text)
    record(home, WHOLE, FRINGE)
    (home / "pieces" / "photos").mkdir()
    weave("#6f7a38").save(home / "pieces" / "photos" / "whole.jpg", quality=95)
    weave("#22384f").save(home / "pieces" / "photos" / "fringe.jpg", quality=95)
    with pytest.MonkeyPatch.context() as patch:
        at(home, patch)
        assert run().exit_code == 0
    return home


@pytest.fixture
def home(built: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copytree(built, tmp_path, dirs_exist_ok=True)
    at(tmp_path, monkeypatch)
    return tmp_path


def record(home: Path, *photos: str) -> None:
    (home / "pieces" / "2026-001.yaml").write_text(PIECE + "".join(photos))


def weave(colour: str) -> Image.Image:
    grain = Image.radial_gradient("L").resize((700, 500))
    return Image.composite(Image.new("RGB", (700, 500), colour), grain.convert("RGB"), grain)


def damage(home: Path, name: str = "whole.jpg") -> None:
    path = home / "pieces" / "photos" / name
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 3] + whole[len(whole) * 2 // 3 :])


def run(*words: str) -> Result:
    return CliRunner().invoke(main, ["build", *words], catch_exceptions=False)


def shown(home: Path) -> dict[str, str]:
    """The pictures of photos on the site, and digests, which their names tell too."""
    found = {}
    for path in (home / "site" / "pictures").glob("2026-*-[0-9]*-[0-9]*-*.*"):
        digest, name = hashlib.sha256(path.read_bytes()).hexdigest(), f"pictures/{path.name}"
        plain = without_digest(name)
        assert name == named_by_digest(plain, digest) != plain
        found[plain.removeprefix("pictures/")] = digest
    return found


def page(home: Path) -> str:
    return (home / "site" / "2026-001" / "index.html").read_text()


STAYS = (
    "pieces/2026-001.yaml:10:12: the photo 'photos/whole.jpg' is cut short or damaged; the site "
    "keeps the pictures made of it before\n    copy it from the camera again\n"
)


@pytest.mark.parametrize("has_cache", [True, False])
def test_a_damaged_photo_keeps_its_last_good_picture(home, has_cache):
    before, html = shown(home), page(home)
    damage(home)
    if not has_cache:
        shutil.rmtree(home / "cache" / "provenance" / "pictures")
    for _ in range(2):
        answer = run()
        assert answer.exit_code == 1
        assert STAYS in answer.stderr
        assert shown(home) == before
        assert page(home) == html


def test_where_its_yarns_lie_goes_along_while_they_are_the_same(home):
    Image.new("RGB", (700, 500), "#6f7a38").save(home / "pieces/photos/fringe.jpg", quality=95)
    assert run().exit_code == 0
    before, html = shown(home), page(home)
    assert "2026-001-2-256.js" in before and "data-threads" in html
    damage(home, "fringe.jpg")
    for _ in range(2):
        assert run().exit_code == 1
        assert (shown(home), page(home)) == (before, html)
    # of another colour, its numbers would name what is not there
    (home / "pieces/studio/yarns.yaml").write_text(YARNS.replace("#6f7a38", "#22384f"))
    assert run().exit_code == 1
    assert shown(home) == {name: it for name, it in before.items() if not name.endswith(".js")}
    assert "data-threads" not in page(home)


def test_it_is_known_by_its_words_where_its_place_moved(home):
    before = shown(home)
    damage(home)
    record(home, FRINGE, WHOLE)
    assert run().exit_code == 1
    after = shown(home)
    assert after["2026-001-2-700.jpg"] == before["2026-001-1-700.jpg"]
    assert after["2026-001-1-700.jpg"] == before["2026-001-2-700.jpg"]
    assert sorted(after) == sorted(before)
    # nor is the picture of another photo ever taken for it
    record(home, WHOLE.replace("whole.jpg", "other.jpg").replace("A shawl", "Another"), FRINGE)
    shutil.copy(home / "pieces/photos/whole.jpg", home / "pieces/photos/other.jpg")
    assert run("--yes").exit_code == 1
    assert not [name for name in shown(home) if name.startswith("2026-001-1-")]


def test_new_words_in_its_place_are_the_same_photo(home):
    before = shown(home)
    damage(home)
    record(home, WHOLE.replace("over a peg", "over a rail"), FRINGE)
    assert run().exit_code == 1
    assert shown(home) == before
    assert "over a rail" in page(home)


def test_a_photo_that_is_gone_keeps_its_picture_too(home):
    before = shown(home)
    (home / "pieces/photos/whole.jpg").unlink()
    answer = run()
    assert answer.exit_code == 1
    assert "; the site keeps the pictures made of it before\n" in answer.stderr
    assert shown(home) == before


def test_a_photo_that_is_named_no_more_leaves_the_site(home):
    damage(home)
    record(home, FRINGE)
    assert run("--yes").exit_code == 0
    assert {name[:10] for name in shown(home)} == {"2026-001-1"}


def test_a_mended_photo_is_shown_again(home):
    before = shown(home)
    whole = (home / "pieces/photos/whole.jpg").read_bytes()
    damage(home)
    run()
    (home / "pieces/photos/whole.jpg").write_bytes(whole)
    answer = run()
    assert (answer.exit_code, answer.stderr) == (0, "")
    assert shown(home) == before


# The cache saves time and decides nothing


def made(folder: Path, *names: str) -> list[pictures.Made]:
    wanted = [Wanted(folder, name, CREDIT) for name in names]
    return list(pictures_of(wanted).results(lambda *_: None))


@pytest.mark.parametrize("name", ["a:b.jpg", "link.jpg"])
def test_a_name_is_refused_whether_its_bytes_are_known_or_not(home, name):
    folder = home / "pieces" / "photos"
    if name == "link.jpg":
        shutil.copy(folder / "whole.jpg", home / "outside.jpg")
        (folder / name).symlink_to(home / "outside.jpg")
    else:
        shutil.copy(folder / "whole.jpg", folder / name)
    cold = made(folder, name)[0].slip
    assert made(folder, "whole.jpg")[0].renditions
    warm = made(folder, name)[0].slip
    assert cold and warm and cold.what == warm.what


def test_a_jpeg_called_png_is_the_same_cold_and_warm(home):
    folder = home / "pieces" / "photos"
    shutil.copy(folder / "whole.jpg", folder / "a.png")
    record(home, WHOLE.replace("whole.jpg", "a.png"), FRINGE)
    assert [run().exit_code, run().exit_code] == [0, 0]
    damage(home, "a.png")
    assert [run().exit_code, run().exit_code] == [1, 1]


def test_a_program_that_makes_them_otherwise_makes_them_anew(home, monkeypatch):
    folder = home / "pieces" / "photos"
    made(folder, "whole.jpg")
    assert pictures_of([Wanted(folder, "whole.jpg", CREDIT)]).missing == 0
    monkeypatch.setattr(pictures, "_recipe", lambda: b"another")
    assert pictures_of([Wanted(folder, "whole.jpg", CREDIT)]).missing == 1


def test_bytes_are_read_when_they_are_asked_for(home, monkeypatch):
    folder = home / "pieces" / "photos"
    (first,) = made(folder, "whole.jpg")
    kept = [path for path in (home / "cache").rglob("*") if path.is_file()]
    (again,) = made(folder, "whole.jpg")
    assert again == first and not any(each.held for each in again.renditions)
    for each in again.renditions:
        assert hashlib.sha256(each.content).hexdigest() == each.digest
        assert len(each.content) == each.place[2]
    assert [path for path in (home / "cache").rglob("*") if path.is_file()] == kept


@pytest.mark.parametrize("harm", ["gone", "short", "head", "pixels"])
def test_a_doubtful_picture_is_made_anew(home, harm):
    folder = home / "pieces" / "photos"
    (first,) = made(folder, "whole.jpg")
    wanted = {each.digest: each.content for each in first.renditions}
    path = home / "cache" / "provenance" / first.renditions[0].place[0]
    content = bytearray(path.read_bytes())
    if harm == "gone":
        path.unlink()
    else:
        content[{"short": -1, "head": 70, "pixels": 3000}[harm]] ^= 1
        path.write_bytes(content[:4000] if harm == "short" else content)
    (again,) = made(folder, "whole.jpg")
    assert {each.digest: each.content for each in again.renditions} == wanted
    assert {each.digest: each.content for each in first.renditions} == wanted


def test_no_room_in_the_cache(home, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", "/dev/null")
    (one,) = made(home / "pieces" / "photos", "whole.jpg")
    assert one.slip is None
    for each in one.renditions:
        assert hashlib.sha256(each.content).hexdigest() == each.digest


def test_a_photo_touched_while_it_is_made_is_not_kept(home, monkeypatch):
    """Else the pictures of the new bytes would be known under the digest of the old."""
    folder = home / "pieces" / "photos"
    path, old = folder / "new.jpg", (folder / "whole.jpg").read_bytes()
    weave("#883311").save(path, quality=95)
    pending = pictures_of([Wanted(folder, "new.jpg", Credit("Another", "©"))])
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    new = path.read_bytes()
    path.write_bytes(old)
    (one,) = pending.results(lambda *_: None)
    path.write_bytes(new)
    (other,) = pictures_of([Wanted(folder, "new.jpg", Credit("Another", "©"))]).results(
        lambda *_: None
    )
    assert digest == hashlib.sha256(path.read_bytes()).hexdigest()
    assert {e.digest for e in one.renditions}.isdisjoint(e.digest for e in other.renditions)


class Backwards:
    """An executor that does nothing until the last is asked for, and then the last first."""

    def __init__(self) -> None:
        self.work: list = []

    def submit(self, call, job):
        self.work.append((future := Future(), call, job))
        if len(self.work) == 3:
            for each, use, what in reversed(self.work):
                each.set_result(use(what))
        return future


def test_the_heaviest_is_begun_first_and_no_order_changes_a_byte(home, monkeypatch):
    folder = home / "pieces" / "photos"
    for index, quality in enumerate((40, 95, 70)):
        weave("#405060").rotate(90 * index).save(folder / f"{index}.jpg", quality=quality)
    wanted = [Wanted(folder, f"{index}.jpg", CREDIT) for index in range(3)]
    pool, told = Backwards(), []
    one = list(pictures_of(wanted).start(pool).results(lambda *each: told.append(each)))
    assert [job.wanted.name for _, _, job in pool.work] == ["1.jpg", "2.jpg", "0.jpg"]
    assert told == [(0, 3), (1, 3), (2, 3), (3, 3)]
    shutil.rmtree(home / "cache" / "provenance" / "pictures")
    other = list(pictures_of(wanted).results(lambda *_: None))
    shutil.rmtree(home / "cache" / "provenance" / "pictures")
    with workers() as crew:
        third = list(pictures_of(wanted).start(crew).results(lambda *_: None))
    digests = [
        {each.wanted.name: [file.digest for file in each.renditions] for each in found}
        for found in (one, other, third)
    ]
    assert digests[0] == digests[1] == digests[2]


def test_a_build_in_which_nothing_changed_opens_no_photo(home, monkeypatch):
    def refuse(*_: object) -> None:
        raise AssertionError("a photo was opened")

    monkeypatch.setattr(press, "opened", refuse)
    monkeypatch.setattr(pictures, "kept_part", kept := Counted(pictures.kept_part))
    assert run().exit_code == 0
    assert all(start == 0 for _, start, _ in kept.calls)


class Counted:
    """A function that notes what it was called with."""

    def __init__(self, call) -> None:
        self.call, self.calls = call, []

    def __call__(self, *words):
        self.calls.append(words)
        return self.call(*words)
