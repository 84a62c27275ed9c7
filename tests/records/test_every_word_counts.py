"""Every word that a record knows is read by something, or is marked as kept for the maker.

Found statically: mypy knows of what kind each value in the program is, so that `piece.weight` is
told from `fleece.weight` and from any other `weight` (`record_reads`). A word counts as read where
code outside the kinds of record (the checks of the records, figures, pages, papers, reports,
commands) takes it from a value of its kind. What a property or method of a record reads counts once
that is called from outside. `getattr` with a name that is worked out counts for every word of that
kind that stands as a text in the same module.

Its limits: it sees that a word is read, not that anything the maker sees depends on it; and where
a value may be of several kinds, the word counts for each of them. Reading through a value that
mypy can't tell the kind of is not seen, so that a word may be called unread although it is read.
"""

from __future__ import annotations

import ast
import inspect
import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from mypy import api

from provenance.records import (
    baths,
    commissions,
    light_tests,
    lots,
    pay,
    photos,
    pieces,
    publishing,
    sales,
    shows,
    studio,
    terms,
    woven,
)
from provenance.records.reading import Record

ROOT = Path(__file__).parents[2]
KINDS_OF_RECORD = (
    baths,
    commissions,
    light_tests,
    lots,
    pay,
    photos,
    pieces,
    publishing,
    sales,
    shows,
    studio,
    terms,
    woven,
)
OWN_FILES = {Path(module.__file__).name for module in KINDS_OF_RECORD} | {"reading.py"}
CONFIG = """\
[mypy]
plugins = {plugin}
incremental = False
cache_dir = /dev/null
ignore_missing_imports = True
no_site_packages = True
follow_imports = silent
"""
SAMPLE = """\
from provenance.records.lots import Fleece
def told(lot: Fleece, other: object) -> object:
    return lot.staple
"""

FOR_THE_MAKER = "a note to oneself: private, printed nowhere"
WAITS = "waits for the next round: records know it, papers do not yet say it"
KEPT = {
    FOR_THE_MAKER: """
        Bath: kept
        Fleece: notes, address, animal
        Dyestuff: notes, from, made in
        Mordant: notes, from, made in
        Yarn: notes
        Sundry: notes, from
        Outlet: notes, kept, made in
        Step: notes
        YarnUse: notes
        Piece: notes, kept
        Sale: notes, buyer
        Buyer: email, phone, notes
        Commission: notes
        LightTest: notes
        Show: notes
    """,
    WAITS: """
        Bath: public
        Dyestuff: public
        Mordant: public
        Yarn: public, breed
        Sundry: public
        DyedYarn: length
    """,
}


# What only carries words out into a table and back in (the register, rows held against records),
# and what looks for private words on pages before they go out.
CARRIED = ("reports/register.py", "records/bring/same.py", "publish/private_words.py")


# Records inside others are told with the record they stand in; a light test by its first word.
TOLD_WITH = {"Step": "Bath", "YarnUse": "Piece", "Buyer": "Sale", "LightTest": "Light"}


def kept() -> dict[str, str]:
    """`Fleece.staple` and why it is kept."""
    found = {}
    for why, lines in KEPT.items():
        for line in filter(None, map(str.strip, lines.split("\n"))):
            kind, _, words = line.partition(": ")
            found |= {f"{kind}.{word}": why for word in words.split(", ")}
    return found


def kinds(kind: type[Record]) -> Iterator[type[Record]]:
    """Every kind of record that a maker writes: those that no other kind is made from."""
    for below in kind.__subclasses__():
        if below.__module__ in {module.__name__ for module in KINDS_OF_RECORD}:
            yield from kinds(below) if below.__subclasses__() else [below]
        else:
            yield from kinds(below)


def read_by_methods(kind: type[Record]) -> dict[str, set[str]]:
    """What each property and method of a record takes from the record itself."""
    found = {}
    for node in ast.walk(ast.parse(inspect.getsource(sys.modules[kind.__module__]))):
        if isinstance(node, ast.ClassDef) and node.name == kind.__name__:
            for method in (each for each in node.body if isinstance(each, ast.FunctionDef)):
                found[method.name] = {
                    each.attr
                    for each in ast.walk(method)
                    if isinstance(each, ast.Attribute) and ast.unparse(each.value) == "self"
                }
    return found


def texts(file: str) -> set[str]:
    """Every text that stands by itself in a file of the program."""
    tree = ast.parse((ROOT / file).read_text(encoding="utf-8"))
    return {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant)}


def names_read(kind: type[Record], reads: set[tuple[str, str, str]]) -> set[str]:
    """The fields of a kind of record that something outside the kinds of record reads."""
    above = [each for each in kind.__mro__ if issubclass(each, Record) and each is not Record]
    full = {f"{each.__module__}.{each.__qualname__}" for each in above}
    found = {name for _, of, name in reads if of in full and name != "*"}
    for file in {file for file, of, name in reads if of in full and name == "*"}:
        found |= texts(file) & set(kind.model_fields)
    methods = {name: inner for each in above for name, inner in read_by_methods(each).items()}
    while more := set().union(*(methods[name] for name in found & methods.keys())) - found:
        found |= more
    return found


@pytest.fixture(scope="module")
def reads(tmp_path_factory: pytest.TempPathFactory) -> set[tuple[str, str, str]]:
    """(file, kind, name) of everything that is read of a record, as mypy sees it."""
    folder = tmp_path_factory.mktemp("reads")
    plugin = Path(__file__).with_name("record_reads.py")
    (folder / "mypy.ini").write_text(CONFIG.format(plugin=plugin), encoding="utf-8")
    (folder / "sample.py").write_text(SAMPLE, encoding="utf-8")
    asked = [str(ROOT / "provenance"), str(folder / "sample.py")]
    said = api.run(["--config-file", str(folder / "mypy.ini"), *asked])
    assert said[1] == "", said[1]
    return sys.modules["record_reads"].READ


def test_the_guide_says_what_is_kept_for_the_maker():
    guide = (ROOT / "README.md").read_text(encoding="utf-8")
    section = guide.partition("### Kept for the maker")[2].partition("\n### ")[0]
    told = {
        name: set(re.findall(r"`([a-z ]+)`", row))
        for row in re.findall(r"^\| an? .*", section, re.MULTILINE)
        for name in re.findall(r"\ban? ([a-z]+)", row.partition("`")[0])
    }
    lines = (line.strip().partition(": ") for line in KEPT[FOR_THE_MAKER].strip().split("\n"))
    words: dict[str, set[str]] = {}
    for kind, _, names in lines:
        words.setdefault(TOLD_WITH.get(kind, kind).lower(), set()).update(names.split(", "))
    assert told == words


def test_every_word_is_read_or_kept(reads):
    sample = {read for read in reads if read[0].endswith("sample.py")}
    assert {read[1:] for read in sample} == {("provenance.records.lots.Fleece", "staple")}
    outside = {
        read
        for read in reads - sample
        if not read[0].endswith(CARRIED)
        and not (read[0].split("/")[-2] == "records" and read[0].split("/")[-1] in OWN_FILES)
    }
    unread = {
        f"{kind.__name__}.{kind.model_fields[name].alias}"
        for kind in kinds(Record)
        for name in kind.model_fields.keys() - names_read(kind, outside)
        if not kind.model_fields[name].alias.startswith("\0")
    }
    assert sorted(unread - kept().keys()) == [], "read by nothing: wire it up, or say why it waits"
    assert sorted(kept().keys() - unread) == [], "is read now, or is no word: take it out of KEPT"
