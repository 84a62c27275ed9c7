"""`build` through the command line: what lies in the site, what is told, what is refused.

A small studio is built once and copied for every test; pictures and letters come from one cache.
"""

import hashlib
import json
import os
import shutil

import pytest
from click.testing import CliRunner
from PIL import Image

from provenance.build.early import has_new_records
from provenance.commands.main import main
from provenance.press.file_names import without_digest

DAY = "1795608000"  # 25 November 2026
FILES = {
    "studio/studio.yaml": """\
studio: Brackenfold
maker: Isla Wren
site: https://brackenfold.example
labels for: [UK]
pay: {any: 20}
""",
    "studio/yarns.yaml": 'plain: {fibre: wool, weight: 9 kg, cost: 90, colour: "#6f7a38"}\n',
    "studio/outlets.yaml": "quay: {kind: gallery, title: Quay Rooms}\n",
    "pages/about.md": "# About\n\nI weave by the beck.\n",
    "pages/process.md": "# Making\n\nFirst the fleece.\n",
}
PIECE = """\
number: {number}
title: {title}
kind: shawl
size: 190 x 60 cm
finished: 2026-09-14
price: 400
hours: {{weaving: 10, finishing: 1}}
yarns: [{{use: weft, lot: plain, weight: 300 g}}]
"""
PHOTO = "photos: [{{file: {name}, view: whole, alt: A shawl over a peg}}]\n"
PRINTED = (
    '- {{on: 2026-10-01, paper: "tag", number: "{number}", title: "{title}", '
    'address: "HTTPS://BRACKENFOLD.EXAMPLE/{number}/", price: "£400", digest: "x"}}\n'
)


def record(number, title, photo=""):
    return PIECE.format(number=number, title=title) + (PHOTO.format(name=photo) if photo else "")


def write(home, name, text):
    path = home / "pieces" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def change(home, name, old, new):
    path = home / "pieces" / name
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def run(*words):
    return CliRunner().invoke(main, ["build", *words])


def told(*words):
    """What `--only-tell --json` says: page -> how. Pages are named by folder or by file."""
    answer = run("--only-tell", "--json", *words)
    assert answer.exit_code == 0, answer.output
    found = json.loads(answer.stdout)
    assert list(found) == ["pages"]
    assert all(list(each) == ["page", "how"] for each in found["pages"])
    return {each["page"].removesuffix("index.html"): each["how"] for each in found["pages"]}


def files_of(folder):
    """Every file below, by name, with its digest."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file() and path.name != ".provenance.lock"
    }


def printed_alone(home, text):
    """As though these lines, and no others, had been printed before the first build."""
    for name in ("pieces/.printed", "pieces/papers"):
        shutil.rmtree(home / name, ignore_errors=True)
    (home / "site" / ".printed").unlink(missing_ok=True)
    write(home, "studio/printed.yaml", text)


def page(home, name):
    return (home / "site" / name / "index.html").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def records(tmp_path_factory):
    """Two finished pieces, one of them at a gallery, and a draft; nothing was built yet."""
    home = tmp_path_factory.mktemp("records")
    for name, text in FILES.items():
        write(home, name, text)
    write(home, "2026-001.yaml", record("2026-001", "Ebb", "ebb.png"))
    write(home, "2026-002.yaml", record("2026-002", "Fret", "fret.jpg") + "at: quay\n")
    write(home, "2026-003.yaml", record("2026-003", "Haws"))
    (home / "pieces" / "photos").mkdir()
    Image.new("RGB", (60, 80), "#6f7a38").save(home / "pieces" / "photos" / "ebb.png")
    Image.new("RGB", (60, 80), "#22384f").save(home / "pieces" / "photos" / "fret.jpg")
    return home


@pytest.fixture(scope="module")
def built(records, kept_cache, tmp_path_factory):
    """The same studio built for the first time, and what the command said."""
    home = tmp_path_factory.mktemp("built")
    shutil.copytree(records, home, dirs_exist_ok=True)
    with pytest.MonkeyPatch.context() as patch:
        at_home(patch, home, kept_cache)
        return home, run()


def at_home(patch, home, cache):
    patch.setenv("SOURCE_DATE_EPOCH", DAY)
    patch.setenv("XDG_CACHE_HOME", str(cache))
    patch.chdir(home)


@pytest.fixture
def fresh(records, kept_cache, tmp_path, monkeypatch):
    """A copy of the records alone."""
    shutil.copytree(records, tmp_path, dirs_exist_ok=True)
    at_home(monkeypatch, tmp_path, kept_cache)
    return tmp_path


@pytest.fixture
def home(built, kept_cache, tmp_path, monkeypatch):
    """A copy of the studio as its first build left it."""
    shutil.copytree(built[0], tmp_path, dirs_exist_ok=True)
    at_home(monkeypatch, tmp_path, kept_cache)
    return tmp_path


# The first build


def test_the_first_build_tells_what_is_new_and_what_was_made(built):
    home, answer = built
    assert answer.exit_code == 0, answer.stderr
    assert answer.stderr == ""
    lines = answer.stdout.splitlines()
    assert "  2026-001/ new: Ebb" in lines and "  2026-002/ new: Fret" in lines
    count = len(list((home / "site").rglob("*.html")))
    site, tags, how, certificates = lines[-4:]
    assert site == f"2 pieces on {count} pages: {home / 'site' / 'index.html'}"
    assert tags == f"3 hang-tags due: {home / 'pieces' / 'papers' / 'tags-due.pdf'}"
    assert how == "    'provenance tags --changed' prints them and notes that they are printed"
    assert certificates == f"1 certificate made in {home / 'pieces' / 'papers'}/: 2026-002"


def test_every_piece_and_page_of_words_has_its_page(built):
    names = files_of(built[0] / "site")
    for name in ("2026-001", "2026-002", "about", "making", "work", "work/shawl", "."):
        assert f"{name}/index.html".removeprefix("./") in names, name
    for name in ("2026-001-1-60.avif", "2026-001-1-60.jpg", "2026-002-1-60.jpg"):
        assert f"pictures/{name}" in {without_digest(each) for each in names}
    assert "I weave by the beck." in page(built[0], "about")


def test_tags_that_are_due_are_not_noted_as_printed(built):
    assert (built[0] / "pieces/papers/tags-due.pdf").read_bytes().startswith(b"%PDF-")
    printed = (built[0] / "pieces/studio/printed.yaml").read_text(encoding="utf-8")
    assert printed.count('paper: "certificate", number: "2026-002"') == 1
    assert '"tag"' not in printed


def test_drafts_stay_off_the_site(built):
    home, _ = built
    assert not (home / "site" / "2026-003").exists()
    for path in (home / "site").rglob("*"):
        assert not path.is_file() or b"2026-003" not in path.read_bytes(), path


# Built again


def test_nothing_changed_and_not_a_byte_is_written(home):
    before = files_of(home)
    dates = {path: path.stat().st_mtime_ns for path in (home / "site").rglob("*.html")}
    answer = run()
    assert answer.exit_code == 0
    assert answer.stdout.splitlines()[0] == "What the public will see differently: nothing."
    assert files_of(home) == before
    assert dates == {path: path.stat().st_mtime_ns for path in dates}
    assert "certificate" not in answer.stdout


def test_one_edit_is_told_with_old_and_new(home):
    change(home, "2026-001.yaml", "price: 400", "price: 410")
    lines = run().stdout.splitlines()
    at = lines.index("  2026-001/ changed")
    assert lines[at + 1] == "    price: £400 -> £410"
    assert "£410" in page(home, "2026-001")
    assert not any("2026-002/" in line for line in lines)


def test_what_loads_early_is_guessed_from_records_and_builds_alone(home, monkeypatch):
    folder = home / "pieces"
    assert has_new_records(folder)  # this copy was never built
    run()
    assert not has_new_records(folder)
    path = folder / "2026-001.yaml"
    os.utime(path, (path.stat().st_mtime + 60,) * 2)
    assert CliRunner().invoke(main, []).exit_code == 0  # it keeps facts as well, and builds nothing
    assert has_new_records(folder)


def test_a_draft_that_got_its_photo_is_new(home):
    shutil.copy(home / "pieces/photos/ebb.png", home / "pieces/photos/haws.png")
    write(home, "2026-003.yaml", record("2026-003", "Haws", "haws.png"))
    answer = run()
    assert "  2026-003/ new: Haws" in answer.stdout.splitlines()
    assert "\n3 pieces on " in answer.stdout
    assert "2026-003" in page(home, "work")


def test_into_a_folder_of_ones_own_choice(home):
    before = files_of(home / "site")
    answer = run("--to", "elsewhere/web")
    assert answer.exit_code == 0
    assert str(home / "elsewhere" / "web" / "index.html") in answer.stdout
    assert files_of(home / "elsewhere" / "web") == before == files_of(home / "site")


def test_papers_without_room_stop_no_site(fresh):
    (fresh / "pieces" / "papers").write_text("in the way")
    answer = run()
    assert answer.exit_code == 1
    assert "The papers could not be written; the site is in its place." in answer.stdout
    assert (fresh / "site" / "2026-001" / "index.html").is_file()
    assert "papers/tags-due.pdf cannot be written" in answer.stderr


def test_a_photo_that_is_none_is_named_and_the_rest_is_built(home):
    (home / "pieces" / "photos" / "ebb.png").write_bytes(b"no picture")
    answer = run("--yes")
    assert answer.exit_code == 1
    assert "pieces/2026-001.yaml:9:17: " in answer.stderr
    assert "2026-002" in page(home, "work") and (home / "site" / "2026-001").is_dir()


# Only telling


def test_only_telling_changes_nothing(home):
    before = files_of(home)
    assert "What the public would see differently: nothing." in run("--only-tell").stdout
    change(home, "2026-001.yaml", "price: 400", "price: 410")
    before = files_of(home)
    answer = run("--only-tell")
    assert answer.exit_code == 0
    lines = answer.stdout.splitlines()
    assert lines[lines.index("  2026-001/ changed") + 1] == "    price: £400 -> £410"
    assert lines[-1] == "Nothing was changed."
    assert files_of(home) == before


def test_only_telling_of_a_first_build_leaves_no_site(fresh):
    answer = run("--only-tell")
    assert answer.exit_code == 0
    assert "  2026-001/ new: Ebb" in answer.stdout.splitlines()
    assert not (fresh / "site").exists() and not (fresh / "pieces" / "papers").exists()
    assert [path.name for path in fresh.iterdir()] == ["pieces"]


def test_only_telling_as_data(home):
    assert told() == {}
    change(home, "2026-001.yaml", "price: 400", "price: 410")
    before = files_of(home)
    found = told()
    assert found["2026-001/"] == "changed"
    assert "about/" not in found and "2026-002/" not in found
    assert files_of(home) == before


def test_a_new_sentence_on_a_page_of_words_is_told(home):
    change(home, "pages/about.md", "by the beck", "by the beck, and dye in the yard")
    found = told()
    assert found["about/"] == "changed"
    assert "2026-001/" not in found and "making/" not in found
    said = run("--only-tell").stdout
    assert "about/" in said and "differently: nothing" not in said


def test_every_public_file_is_compared_not_only_pages_of_pieces(home):
    """The studio's name stands on every page and in the feed."""
    change(home, "studio/studio.yaml", "studio: Brackenfold", "studio: Bracken Fold")
    found = told()
    assert set(found.values()) == {"changed"}
    pages = {path.parent.relative_to(home / "site") for path in (home / "site").rglob("index.html")}
    wanted = {f"{name.as_posix()}/".removeprefix("./") for name in pages} | {"404.html", "feed.xml"}
    assert wanted <= found.keys()


def test_pages_that_come_and_go_are_told(home):
    write(home, "pages/loom.md", "# The loom\n\nTwo shafts of ash.\n")
    assert told()["loom/"] == "new"
    change(home, "2026-001.yaml", "photos:", "status: withdrawn\nphotos:")
    found = told()
    assert found["2026-001/"] == "changed"  # its page says that the piece is no more
    assert found["2026-001/piece.json"] == "gone"
    plain = {without_digest(name): how for name, how in found.items()}
    assert plain["pictures/2026-001-1-60.jpg"] == "gone"
    assert not (home / "site" / "loom").exists()


def test_a_first_build_is_all_new(fresh):
    found = told()
    assert set(found.values()) == {"new"}
    run()
    names = {name.removesuffix("index.html") for name in files_of(fresh / "site")}
    hidden = {name for name in names if name.startswith(".")}
    assert found.keys() - hidden == names - hidden


# Addresses stay


@pytest.mark.parametrize("name", ["about", "loom"])
def test_a_page_of_words_that_goes_leads_on(home, name):
    write(home, "pages/loom.md", "# The loom\n\nTwo shafts of ash.\n")
    run()
    assert "http-equiv" not in page(home, name)
    (home / "pieces" / "pages" / f"{name}.md").unlink()
    assert run("--yes").exit_code == 0
    left = page(home, name)
    assert '<meta http-equiv="refresh" content="0; url=../index.html">' in left
    assert '<meta name="robots" content="noindex">' in left
    assert "This page has moved" in left
    assert f"/{name}/" not in (home / "site" / "sitemap.xml").read_text(encoding="utf-8")
    run()
    assert page(home, name) == left, "it still leads on after the next build"


def test_a_list_that_is_empty_now_leads_to_the_list_above(home):
    for number in ("1", "2"):
        change(home, f"2026-00{number}.yaml", "kind: shawl", "kind: blanket")
    run()
    assert 'url=../../work/index.html"' in page(home, "work/shawl")


def test_a_withdrawn_piece_keeps_its_page_and_leaves_the_lists(home):
    change(home, "2026-001.yaml", "photos:", "status: withdrawn\nphotos:")
    answer = run()
    assert answer.exit_code == 0
    assert "  2026-001/ changed" in answer.stdout.splitlines()
    left = page(home, "2026-001")
    assert "2026-001" in left and "£400" not in left and "<img" not in left
    assert "2026-001" not in page(home, "work")
    assert not (home / "site" / "2026-001" / "piece.json").exists()
    run()
    assert page(home, "2026-001") == left


def test_a_draft_whose_address_was_printed_has_a_page_and_no_place_in_lists(home):
    printed_alone(home, PRINTED.format(number="2026-003", title="Haws"))
    assert run().exit_code == 0
    assert "Haws" in page(home, "2026-003")
    assert "2026-003" not in page(home, "work")


def test_a_printed_number_without_a_record_swaps_nothing(home):
    printed = PRINTED.format(number="2026-009", title="Spate")
    printed_alone(home, printed)
    change(home, "2026-001.yaml", "price: 400", "price: 410")
    before = files_of(home)
    answer = run()
    assert (answer.exit_code, answer.stdout) == (1, "")
    assert answer.stderr == (
        "pieces/studio/printed.yaml:1:42: 2026-009 'Spate' was printed and its record is gone\n"
        "    bring the record back; if the piece is no more, write 'status: withdrawn'\n"
        "\nNothing was built: the records above need mending first.\n"
    )
    assert files_of(home) == before


def test_a_site_that_would_lose_a_printed_address_is_never_swapped_in(home, monkeypatch):
    """Whatever the pages' makers forget: here they are made to forget a piece."""
    from provenance.build import site

    made = site.site_pages

    def forgetful(*arguments):
        return (page for page in made(*arguments) if not page.name.startswith("2026-001"))

    monkeypatch.setattr(site, "site_pages", forgetful)
    monkeypatch.setattr(site, "moved_pages", lambda *_: ())
    printed_alone(home, PRINTED.format(number="2026-001", title="Ebb"))
    before = files_of(home)
    answer = run()
    assert (answer.exit_code, answer.stdout) == (1, "")
    assert answer.stderr == (
        "Nothing was built: 2026-001 'Ebb' was printed on 2026-10-01 and would have no page\n"
        "    bring its record back; if the piece is no more, write 'status: withdrawn'\n"
    )
    assert files_of(home) == before
    printed_alone(home, "")
    assert run("--yes").exit_code == 0, "what was never printed may go"


# Refused


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("price: [", "pieces/2026-001.yaml:2:1: a value is missing here\n"),
        ("prise: 4\n", "pieces/2026-001.yaml:2:1: unknown word 'prise'\n"),
    ],
)
@pytest.mark.parametrize("words", [(), ("--only-tell",)])
def test_a_record_that_cannot_be_read_stops_the_build(home, text, said, words):
    write(home, "2026-001.yaml", f"number: 2026-001\n{text}")
    before = files_of(home)
    answer = run(*words)
    assert (answer.exit_code, answer.stdout) == (1, "")
    assert said in answer.stderr
    assert answer.stderr.endswith("\nNothing was built: the records above need mending first.\n")
    assert files_of(home) == before


@pytest.mark.parametrize("target", ["pieces", "pieces/site", "."])
def test_the_records_are_never_a_site(home, target):
    before = files_of(home)
    answer = run("--to", target)
    folder = (home / target).resolve()
    assert (answer.exit_code, answer.stdout) == (2, "")
    assert answer.stderr == (
        f"{folder} holds the records or lies in them: name a folder beside them\n"
    )
    assert files_of(home) == before


def test_a_file_is_no_site(home):
    (home / "web").write_text("mine")
    answer = run("--to", "web")
    assert (answer.exit_code, answer.stdout) == (2, "")
    assert answer.stderr == f"{home / 'web'} is a file: the site needs a folder of its own\n"
    assert (home / "web").read_text() == "mine"


def test_another_studios_site_is_left_alone(home):
    before = files_of(home / "site")
    change(home, "studio/studio.yaml", "studio: Brackenfold", "studio: Sandrigg Looms")
    change(home, "studio/studio.yaml", "brackenfold.example", "sandrigg.example")
    answer = run()
    assert (answer.exit_code, answer.stdout) == (1, "")
    assert answer.stderr == (
        f"Nothing was built: {home / 'site'} holds the site of Brackenfold, not of Sandrigg Looms\n"
        "    name another folder: build --to FOLDER; or clear that one away first\n"
    )
    assert files_of(home / "site") == before


@pytest.mark.parametrize("word", ["studio: Brackenfold", "https://brackenfold.example"])
def test_a_studio_that_changes_its_name_or_address_keeps_its_site(home, word):
    change(home, "studio/studio.yaml", word, word.replace("racken", "row"))
    assert run().exit_code == 0
    assert "Browfold" in page(home, "about") or "browfold.example" in page(home, "about")


def test_a_folder_with_files_of_ones_own_is_left_alone(home):
    write(home, "../web/holiday.txt", "mine")
    answer = run("--to", "web")
    assert (answer.exit_code, answer.stdout) == (1, "")
    assert answer.stderr == (
        "Nothing was built: web/ holds files that were not written here: holiday.txt\n"
        "    move them elsewhere, or name another folder\n"
    )
    assert list(files_of(home / "web")) == ["holiday.txt"]
