"""pages/: every page gets an address of its own, or is told; nothing is lost without a word."""

from __future__ import annotations

from pathlib import Path

import pytest

from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.problems import Problems
from provenance.records.pages import OF_THE_SITE, read_pages
from provenance.reference.marks import MOST_IN_PARAGRAPH, too_deep


def read(folder: Path, files: dict[str, str | bytes]) -> tuple[dict[str, str], list[str]]:
    """The pages that were read, and what was said."""
    pages = folder / "pieces" / "pages"
    pages.mkdir(parents=True)
    for name, text in files.items():
        (pages / name).write_bytes(text.encode() if isinstance(text, str) else text)
    problems = Problems()
    found = read_pages(folder / "pieces", problems)
    said = [told(each, british()).replace("\n    ", " | ") for each in problems]
    return {name: words.text for name, words in found.items()}, said


def test_hidden_files_and_what_other_systems_drop_are_no_pages(tmp_path):
    files = {".hidden.md": "# Mine", "._about.md": b"\0\5\x16\7\0\2", "about.md": "# Us\n\nHere."}
    assert read(tmp_path, files) == ({"about": "Here."}, [])


def test_two_pages_of_one_address_are_told_with_both_names(tmp_path):
    assert read(tmp_path, {"About.md": "One.", "about.md": "Two."}) == (
        {"about": "One."},
        [
            "pieces/pages/about.md: 'About.md' has the same address, about/ | "
            "give one of the two another name"
        ],
    )


@pytest.mark.parametrize("name", sorted(OF_THE_SITE))
def test_a_page_where_the_site_has_one_is_told(tmp_path, name):
    assert read(tmp_path, {f"{name}.md": "Words."}) == (
        {},
        [
            f"pieces/pages/{name}.md: the site has a page of its own at {name}/ | "
            f"call it otherwise, such as our-{name}.md"
        ],
    )


def test_the_sites_own_addresses_are_all_known(demo_site):
    of_pages = {"about", "care"}
    folders = {path.name for path in demo_site.iterdir() if path.is_dir()}
    own = {name for name in folders if name[0].isalpha()} - of_pages
    assert own == OF_THE_SITE


def test_a_page_called_like_a_piece_is_told(tmp_path):
    assert read(tmp_path, {"2026-001.md": "Words."}) == (
        {},
        [
            "pieces/pages/2026-001.md: 2026-001/ is the address of a piece of that number | "
            "call it otherwise, such as about-2026-001.md"
        ],
    )


@pytest.mark.parametrize("name", ["con.md", "a?b.md", "loom .md", "\u202eegap.md", "a\x1bb.md"])
def test_a_name_that_is_no_address_everywhere_is_told(tmp_path, name):
    found, (said,) = read(tmp_path, {name: "Words."})
    assert not found
    assert "a name that does not work as an address on every system" in said
    assert said.isprintable()


def test_a_page_that_an_editor_named_otherwise_is_remarked(tmp_path):
    found, said = read(
        tmp_path, {"about.md.txt": "Words.", "care.markdown": "W.", "README.md": "R"}
    )
    assert found == {"readme": "R"}
    assert said == [
        f"pieces/pages/{name}: remark: this page is not read: its name does not end in .md | "
        "rename it, if it is a page"
        for name in ("about.md.txt", "care.markdown")
    ]


def test_a_page_is_read_whole_or_told_and_never_cut(tmp_path):
    honest, long = "A thread of words. " * 10_700, "A thread of words. " * 31_600
    found, said = read(tmp_path, {"honest.md": honest, "long.md": long})
    assert found == {"honest": honest.strip()}
    assert said == [
        "pieces/pages/long.md: this page has 601 kB: too long for one page | "
        "250 kB of words at most: cut it into several pages"
    ]


def test_signs_that_nobody_sees_are_told_where_they_stand(tmp_path):
    found, said = read(tmp_path, {"a.md": "# Us\n\nWoven \u202eby the sea.", "b.md": "a\x1b[2J"})
    assert not found
    assert said == [
        "pieces/pages/a.md:3:7: an invisible sign, ‹U+202E› | delete it and type the text again",
        "pieces/pages/b.md:1:2: an invisible control character | delete it and type the text again",
    ]


def test_tabs_are_a_pages_own(tmp_path):
    assert read(tmp_path, {"a.md": "- a\n\t- b"}) == ({"a": "- a\n\t- b"}, [])


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("> " * 31 + "x", (1, 1)),
        ("words\n\n" + ">" * 100_000, (3, 1)),
        ("- " * 50_000 + "x", (1, 1)),
        ("1. " * 40 + "x", (1, 1)),
        (" " * 62 + "- x", (1, 1)),
        ("- " * 60, None),
        ("* " * 50_000, None),
        ("-" * 200, None),
        (" " * 90 + "set far in", None),
        ("> " * 12 + "an old quarrel", None),
        ("  " * 9 + "- x", None),
    ],
)
def test_only_what_no_page_can_show_is_too_deep(text, where):
    assert too_deep(text) == where


def test_a_page_with_too_many_marks_is_told_at_the_first_beyond(tmp_path):
    most = "Words.\n" + "*a* " * ((MOST_IN_PARAGRAPH - 2) // 2)
    found, said = read(tmp_path, {"a.md": most + "*a* ", "b.md": most + "*a*"[:1]})
    assert set(found) == {"b"}
    assert said == [
        f"pieces/pages/a.md:2:{2 * MOST_IN_PARAGRAPH - 1}: too many marks and lines to be read "
        "in a short time | at most 30,000 signs such as * _ [ < # and lines, 15,000 without a "
        "blank line: cut the text into several"
    ]


def test_a_page_too_deep_is_told_at_its_line(tmp_path):
    assert read(tmp_path, {"a.md": "Words.\n\n" + "> " * 99 + "x"}) == (
        {},
        [
            "pieces/pages/a.md:3:1: the text is nested too deeply | "
            "use fewer '>' and list levels inside each other"
        ],
    )
