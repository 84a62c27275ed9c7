"""`recover` as a maker meets it: what refuses until then, what goes on, what it shows and asks.

Real tags and a real certificate: what they carry is what comes back.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image

from provenance.commands.main import main

TODAY = {"SOURCE_DATE_EPOCH": "1795608000"}  # 2026-11-25
FILES = {
    "studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\n"
    "site: https://brackenfold.example\npay: {weaving: 10.00}\n",
    "studio/outlets.yaml": "quay:\n  kind: gallery\n  title: Quay Gallery\n  commission: 40 %\n",
    "studio/yarns.yaml": "shop: {fibre: wool, weight: 1 kg, cost: 40.00}\n",
    "2026-001.yaml": "number: 2026-001\ntitle: Åkern\nkind: shawl\nfinished: 2026-06-20\n"
    "size: 180 x 60 cm\nweight: 400 g\nyarns:\n  - {use: weft, lot: shop, weight: 400 g}\n"
    "hours: {weaving: 10, finishing: 1}\nprice: 640\nat: quay\n"
    "photos:\n  - {file: ebb.png, view: whole, alt: The shawl on a wall}\n",
}
SHOWS = (
    "'provenance recover' shows what it can put back, and asks; until then nothing is printed "
    "and no number given\n"
)
GONE = (
    "pieces/studio/printed.yaml: no printed number stands here any more; "
    ".printed/2026-11-25.yaml has 2 lines\n    " + SHOWS
)


@pytest.fixture(scope="module")
def printed(tmp_path_factory, kept_cache):
    """A studio that has printed a tag and a certificate, each as the command does it."""
    home = tmp_path_factory.mktemp("printed")
    for name, text in FILES.items():
        path = home / "pieces" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    (home / "pieces" / "photos").mkdir()
    Image.new("RGB", (60, 80), "#6f7a38").save(home / "pieces" / "photos" / "ebb.png")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(home)
        for words in (["tags"], ["certificate", "2026-001"]):
            said = CliRunner().invoke(main, words, env=TODAY, catch_exceptions=False)
            assert said.exit_code == 0, said.output
    return home


@pytest.fixture
def run(printed, tmp_path, monkeypatch, kept_cache):
    shutil.copytree(printed, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)
    return lambda *words: CliRunner().invoke(main, words, env=TODAY, catch_exceptions=False)


def the_list() -> Path:
    return Path("pieces/studio/printed.yaml")


@pytest.mark.parametrize("words", [
    "tags", "certificate 2026-001", "papers quay", "start piece", "start commission", "build",
])  # fmt: skip
def test_what_prints_or_numbers_refuses(run, words):
    the_list().unlink()
    before = sorted(path for path in Path().rglob("*") if path.name != ".provenance.lock")
    said = run(*words.split())
    assert said.exit_code == 1
    assert GONE in said.stderr
    assert sorted(path for path in Path().rglob("*") if path.name != ".provenance.lock") == before


@pytest.mark.parametrize("words", ["cost", "stock", "start bath"])
def test_what_only_tells_goes_on(run, words):
    the_list().unlink()
    assert run(*words.split()).exit_code == 0


def test_check_tells_it(run):
    assert run("check").exit_code == 0
    the_list().unlink()
    said = run("check")
    assert said.exit_code == 1 and GONE in said.stdout


def test_check_tells_a_line_that_cannot_be_read_with_the_same_remedy(run):
    the_list().write_bytes(the_list().read_bytes()[:-40])
    said = run("check")
    assert said.exit_code == 1
    assert "pieces/studio/printed.yaml:" in said.stdout and f"    {SHOWS}" in said.stdout


def test_it_shows_asks_and_writes(run, monkeypatch):
    whole = the_list().read_bytes()
    the_list().write_bytes(b"")
    said = run("recover")
    assert said.exit_code == 2
    assert said.stdout.startswith("2 lines are missing that .printed/2026-11-25.yaml tells of:\n")
    assert [line[:4] for line in said.stdout.splitlines()[1:]] == ["  + ", "  + "]
    assert said.stderr.startswith("there is no terminal to ask at; nothing was changed\n")
    assert the_list().read_bytes() == b""
    said = run("recover", "--yes")
    assert said.exit_code == 0
    assert said.stdout.endswith(
        "Written: studio/printed.yaml with 2 lines more, and its copy in .printed/.\n"
    )
    assert the_list().read_bytes() == whole
    said = run("recover")
    assert (said.exit_code, said.stdout) == (
        0, "Nothing is missing: studio/printed.yaml is whole.\n",
    )  # fmt: skip


def test_papers_alone_give_every_word_back(run):
    """Written anew from the lines that the papers carry: the same tag is no longer due."""
    whole = sorted(line.rpartition(", chain")[0] for line in the_list().read_text().splitlines())
    the_list().unlink()
    shutil.rmtree("pieces/.printed")
    assert run("recover", "--yes").exit_code == 0
    again = sorted(line.rpartition(", chain")[0] for line in the_list().read_text().splitlines())
    assert again == whole
    assert "unchanged" in run("certificate", "2026-001").stdout
    assert "unchanged" in run("tags", "--changed").stdout


def test_tags_that_carry_nothing_tell_by_their_codes(run, monkeypatch):
    """As those of earlier versions are: here nothing is put into the page."""
    change = Path("pieces/2026-001.yaml")
    change.write_text(change.read_text().replace("at: quay\n", ""))
    monkeypatch.setattr("provenance.papers.tags.sheets.carrying", lambda html, _: html)
    assert run("tags").exit_code == 0
    the_list().unlink()
    shutil.rmtree("pieces/.printed")
    Path("pieces/papers/certificate-2026-001.pdf").unlink()
    assert run("recover", "--yes").exit_code == 0
    lines = [line.rpartition(", chain")[0] for line in the_list().read_text().splitlines()]
    assert lines == [
        '- {paper: "tag", number: "2026-001", address: "HTTPS://BRACKENFOLD.EXAMPLE/2026-001/"'
    ]
