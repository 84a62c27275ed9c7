"""`build` asks before the public loses anything; `build --back` puts a former site back."""

import json
import re
import shutil

import pytest
from click.testing import CliRunner
from PIL import Image

from provenance.commands import consent
from provenance.commands.main import main

DAY = "1795608000"  # 25 November 2026
STUDIO = """\
studio: Brackenfold
maker: Isla Wren
site: https://brackenfold.example
labels for: [UK]
pay: {any: 20}
"""
PIECE = """\
number: {number}
title: {title}
kind: shawl
size: 190 x 60 cm
finished: 2026-09-14
price: 400
hours: {{weaving: 10, finishing: 1}}
yarns: [{{use: weft, lot: plain, weight: 300 g}}]
photos:
  - {{file: {title}.png, view: whole, alt: A shawl over a peg}}
  - {{file: edge.png, view: detail, alt: Its edge}}
"""
PRINTED = (
    '- {on: 2026-10-01, paper: "tag", number: "2026-002", title: "Fret", '
    'address: "HTTPS://BRACKENFOLD.EXAMPLE/2026-002/", price: "£400", digest: "x"}\n'
)


def run(*words, **given):
    return CliRunner().invoke(main, ["build", *words], **given)


def records(home, name):
    return home / "pieces" / name


@pytest.fixture(scope="module")
def built(kept_cache, tmp_path_factory):
    home = tmp_path_factory.mktemp("built")
    (home / "pieces" / "studio").mkdir(parents=True)
    (home / "pieces" / "pages").mkdir()
    (home / "pieces" / "photos").mkdir()
    records(home, "studio/studio.yaml").write_text(STUDIO)
    yarns = "plain: {fibre: wool, weight: 9 kg, cost: 90}\n"
    records(home, "studio/yarns.yaml").write_text(yarns)
    records(home, "pages/about.md").write_text("# About\n\nI weave by the beck.\n")
    for number, title in (("2026-001", "Ebb"), ("2026-002", "Fret")):
        text = PIECE.format(number=number, title=title)
        records(home, f"{number}.yaml").write_text(text)
        Image.new("RGB", (60, 80), "#6f7a38").save(records(home, f"photos/{title}.png"))
    Image.new("RGB", (60, 80), "#22384f").save(records(home, "photos/edge.png"))
    with pytest.MonkeyPatch.context() as patch:
        at_home(patch, home, kept_cache)
        answer = run()
    assert answer.exit_code == 0, answer.output
    return home


def at_home(patch, home, cache):
    patch.setenv("SOURCE_DATE_EPOCH", DAY)
    patch.setenv("XDG_CACHE_HOME", str(cache))
    patch.chdir(home)


@pytest.fixture
def home(built, kept_cache, tmp_path, monkeypatch):
    shutil.copytree(built, tmp_path, dirs_exist_ok=True)
    at_home(monkeypatch, tmp_path, kept_cache)
    return tmp_path


def change(home, name, old, new):
    path = records(home, name)
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def price(home, number="2026-001"):
    return json.loads((home / "site" / number / "piece.json").read_text())["price"]


# What the public would lose


def test_a_piece_and_a_page_that_go_are_named_and_nothing_is_built(home):
    records(home, "2026-001.yaml").unlink()
    records(home, "pages/about.md").unlink()
    answer = run()
    assert (answer.exit_code, answer.stdout) == (1, "")
    assert answer.stderr == (
        "Nothing was built: the public would lose 2026-001/, about/\n"
        "    bring them back in the records; or, if it is meant, say --yes\n"
    )
    assert price(home) == "£400"
    assert run("--yes").exit_code == 0
    assert "http-equiv" in (home / "site" / "2026-001" / "index.html").read_text()
    change(home, "studio/studio.yaml", "studio: Brackenfold", "studio: Bowfold")
    assert run().exit_code == 0, "what leads on already is lost to nobody"


def test_only_the_first_few_are_named(home):
    for number in range(4):
        records(home, f"pages/p{number}.md").write_text(f"# Page {number}\n\nWords.\n")
    run()
    for path in (*home.glob("pieces/pages/*.md"), *home.glob("pieces/2026-*.yaml")):
        path.unlink()
    assert "2026-001/, 2026-002/, about/, p0/, p1/ and 2 more\n" in run().stderr


def test_a_photo_that_goes_is_a_loss_and_another_in_its_place_is_none(home):
    change(home, "2026-001.yaml", "file: edge.png", "file: Fret.png")
    assert run().exit_code == 0
    detail = "  - {file: Fret.png, view: detail, alt: Its edge}\n"
    change(home, "2026-001.yaml", detail, "")
    assert "the public would lose 1 picture of 2026-001\n" in run().stderr
    assert run("--yes").exit_code == 0


def test_a_withdrawn_piece_keeps_its_page_and_asks_nothing(home):
    change(home, "2026-001.yaml", "price: 400", "price: 400\nstatus: withdrawn")
    assert run().exit_code == 0
    assert not list((home / "site" / "pictures").glob("2026-001-*"))


def test_a_list_that_is_empty_now_is_no_loss(home):
    change(home, "2026-002.yaml", "kind: shawl", "kind: scarf")
    assert run().exit_code == 0
    change(home, "2026-002.yaml", "kind: scarf", "kind: shawl")
    assert run().exit_code == 0


@pytest.mark.parametrize(("said", "exit_code"), [("y", 0), ("n", 1), ("", 1)])
def test_at_a_terminal_it_is_asked(home, monkeypatch, said, exit_code):
    monkeypatch.setattr(consent, "is_terminal", lambda: True)
    records(home, "2026-001.yaml").unlink()
    answer = run(input=f"{said}\n")
    assert answer.exit_code == exit_code
    assert answer.stdout.startswith(
        f"the public would lose 2026-001/\nTake that away? y or n: {said}\n"
    )
    assert (home / "site" / "2026-001" / "piece.json").exists() == (exit_code == 1)
    assert [path.name for path in home.glob(".site.*")] == [".site.kept"] * (exit_code == 0)


def test_only_telling_asks_nothing(home):
    records(home, "2026-001.yaml").unlink()
    answer = run("--only-tell")
    assert answer.exit_code == 0
    assert "  2026-001/ changed\n" in answer.stdout


# Back


def test_the_last_site_is_put_back(home):
    change(home, "2026-001.yaml", "price: 400", "price: 4")
    run()
    assert price(home) == "£4"
    answer = run("--back")
    assert answer.exit_code == 0, answer.output
    assert price(home) == "£400"
    said = re.sub(r"The site of .* is back: ", "The site of DAY is back: ", answer.stdout)
    assert said.startswith("What the public will see differently: ")
    assert "  2026-001/ changed\n    price: £4 -> £400\n" in said
    assert said.endswith(
        f"\n\nThe site of DAY is back: {home.resolve()}/site/index.html\n"
        "'provenance build --back' puts the other one back again; 'provenance build' makes the "
        "site of the records.\n"
    )
    run("--back")
    assert price(home) == "£4"
    run()
    assert price(home) == "£4"


def test_two_sites_back(home):
    for pounds in (41, 42):
        change(home, "2026-001.yaml", "price: 4", f"price: {pounds} #")
        run()
    assert run("--back", "2").exit_code == 0
    assert price(home) == "£400"
    assert run("--back", "4").exit_code == 2


def test_going_back_is_told_and_not_done(home):
    change(home, "2026-001.yaml", "price: 400", "price: 4")
    run()
    answer = run("--back", "--only-tell")
    assert "    price: £4 -> £400\n" in answer.stdout
    assert answer.stdout.endswith("\nNothing was changed.\n")
    pages = json.loads(run("--back", "--only-tell", "--json").stdout)["pages"]
    assert {"page": "2026-001/index.html", "how": "changed"} in pages
    assert price(home) == "£4"


def test_there_is_none_before_the_first(home):
    answer = run("--back")
    assert (answer.exit_code, answer.stdout) == (1, "")
    assert answer.stderr == (
        "no site before that of site/ is kept\n"
        "    mend the records, and 'provenance build' makes the site anew\n"
    )


def test_a_printed_address_keeps_its_page(home):
    fret = records(home, "2026-002.yaml").read_text()
    records(home, "2026-002.yaml").unlink()
    shutil.rmtree(home / "site")
    run()
    records(home, "2026-002.yaml").write_text(fret)
    run()
    records(home, "studio/printed.yaml").write_text(PRINTED)
    answer = run("--back")
    assert (answer.exit_code, answer.stdout) == (1, "")
    said = re.sub(r"the site of .* has", "the site of DAY has", answer.stderr)
    assert said.startswith(
        "the site of DAY has no page for what was printed since: 2026-002\n    mend the records"
    )
    assert price(home, "2026-002") == "£400"
    records(home, "studio/printed.yaml").unlink()
    assert run("--back").exit_code == 0


def test_going_back_needs_no_sound_records(home):
    change(home, "2026-001.yaml", "price: 400", "price: 4")
    run()
    change(home, "2026-001.yaml", "price: 4", "price: [")
    assert run("--back").exit_code == 0
    assert price(home) == "£400"


def test_nothing_goes_back_while_the_list_of_what_was_printed_is_broken(home):
    change(home, "2026-001.yaml", "price: 400", "price: 4")
    run()
    records(home, "studio/printed.yaml").write_text("nothing: here\n")
    answer = run("--back")
    assert (answer.exit_code, price(home)) == (1, "£4")
    assert answer.stderr.startswith("printed.yaml wants a list\n")
