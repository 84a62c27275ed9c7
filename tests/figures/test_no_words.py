"""Figures have no words: a sentence is a `Said`, and its words are in `provenance/language/`.

No text of two words or more stands in figures/, but docstrings, what is raised for
programmers, patterns that read the maker's own words, and what is listed with its reason.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

FIGURES = Path(__file__).parents[2] / "provenance" / "figures"
MODULES = sorted(FIGURES.rglob("*.py"))
FOR_PROGRAMMERS = ("ValueError", "AssertionError", "KeyError", "TypeError")
SENTENCE = re.compile(r"[^\W\d_]{2,}\W* \W*[^\W\d_]{2,}")
JOINT = re.compile(r"[^\W\d_]{2,}")
ALLOWED = {
    "gallery wall": "name of a row of reference/tables/light.toml",
    "virgin wool": "a fibre name of Reg. (EU) 1007/2011 Art. 8, told like any other",
    "recycled {}": "looks up a fibre by its English name",
    "stray fibres": "looks up a fibre by its English name",
    "sewing thread": "a word of the maker's record",
    "making up": "a word of the maker's record",
    "united states": "a word of the maker's record",
    "united states of america": "a word of the maker's record",
    "vereinigten staaten": "a word of the maker's record",
    "american made": "a word of the maker's record",
    "in progress": "a word of the maker's record, and a class of stock in JSON",
    "design fee": "a word of the maker's record",
    "raw materials": "a class of stock in JSON; [stock] has its words",
    "yarn and dyed lots": "a class of stock in JSON; [stock] has its words",
    "finished here": "a class of stock in JSON; [stock] has its words",
    "finished at an outlet": "a class of stock in JSON; [stock] has its words",
    "in place": "a kind of node of the flow",
    "rounded up": "a step of a working; [working] has its words",
    "an hour": "a unit; [unit] has its words",
    "per cm": "a unit; [unit] has its words",
    "({}) ?([a-z]+)(?:/| per )(?:({}) ?)?([a-z]+)": "reads a yarn count as a maker writes it",
    "({}) ?(?:wpi|wraps?(?: per inch)?)": "reads a yarn count as a maker writes it",
}


def _documented(tree: ast.AST) -> set[int]:
    """Docstrings and bare texts."""
    return {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}


def _for_programmers(tree: ast.AST) -> set[int]:
    raised = (node.exc for node in ast.walk(tree) if isinstance(node, ast.Raise))
    calls = [each for each in raised if isinstance(each, ast.Call)]
    named = [each for each in calls if getattr(each.func, "id", "") in FOR_PROGRAMMERS]
    return {id(inner) for each in named for inner in ast.walk(each)}


def _composed(node: ast.JoinedStr) -> str:
    return "".join(part.value if isinstance(part, ast.Constant) else "{}" for part in node.values)


def sentences(source: str) -> Iterator[str]:
    """Every text in a module that reads like a sentence; in f-strings any word beside a gap."""
    tree = ast.parse(source)
    left_out = _documented(tree) | _for_programmers(tree)
    for node in ast.walk(tree):
        if id(node) in left_out:
            continue
        if isinstance(node, ast.JoinedStr):
            left_out |= {id(inner) for inner in ast.walk(node)}
            said = _composed(node)
            is_said = " " in said and JOINT.search(said)
        else:
            said = node.value if isinstance(node, ast.Constant) else ""
            is_said = isinstance(said, str) and "\\" not in said and SENTENCE.search(said)
        if is_said:
            yield said


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(FIGURES)))
def test_no_module_of_figures_has_words(path: Path) -> None:
    found = sentences(path.read_text(encoding="utf-8"))
    assert [text for text in found if text not in ALLOWED] == []


def test_the_list_of_what_is_allowed_has_no_idle_line() -> None:
    found = {text for path in MODULES for text in sentences(path.read_text(encoding="utf-8"))}
    assert set(ALLOWED) - found == set()


def test_a_sentence_would_be_seen() -> None:
    said = """
x = "more than its yarn"
y = f"{a} weighs {b} g"
z = f"{a}, {b}"
given("lux")
w = Slip("no such lot")
"""
    assert sorted(sentences(said)) == ["more than its yarn", "no such lot", "{} weighs {} g"]
    assert list(sentences('"""What it is for."""\nraise ValueError("no such share")')) == []
    assert list(sentences('x = "harbour"\ny = re.compile(r"\\bnot only\\b")')) == []
