"""What figures are called has words: every sentence of ours, each with the values it asks for.

The sentences are read out of the program's own text, so that one nobody met in a test has words
as well.
"""

from __future__ import annotations

import ast
from pathlib import Path
from string import Formatter

import pytest

from provenance.figures.working import Figure, given, in_turn, product
from provenance.language.phrases import british
from provenance.problems import Said

HERE = Path(__file__).parents[2] / "provenance" / "figures"
ROOMS = ("flow", "money", "stock", "quotation", "estimate", "cloth")


def sentences() -> list[tuple[str, str, tuple[str, ...] | None]]:
    """Where a sentence is made, its key, and the values it is given (None: not told there)."""
    found = []
    for path in sorted(path for room in ROOMS for path in (HERE / room).glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            is_said = isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Said"
            if is_said and isinstance(node.args[0], ast.Constant):
                names = [keyword.arg for keyword in node.keywords]
                values = tuple(map(str, names)) if None not in names else None
                found.append((f"{path.name}:{node.lineno}", node.args[0].value, values))
    return found


@pytest.mark.parametrize(("place", "key", "values"), sentences(), ids=str)
def test_every_sentence_has_words_for_its_values(place, key, values):
    words = british().words
    assert key in words
    if values:
        asked = {name for _, name, _, _ in Formatter().parse(words[key]) if name}
        assert asked == set(values)


def test_the_sentences_are_found():
    assert len(sentences()) > 250


def test_a_figure_is_told_with_the_figures_it_was_reached_from():
    spare = Said("cloth.with_spare", what=Said("cloth.warp"))
    figure: Figure = product(spare, given("grey", 2), given(Said("cloth.spare"), 3))
    tell = british().tell
    assert tell(figure.what) == "warp with spare"
    assert [tell(term.what) for term in figure.terms] == ["grey", "spare"]
    assert tell(in_turn([spare, "grey", "linen"])) == "warp with spare; grey; linen"
