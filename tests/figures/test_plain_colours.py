"""Colours in plain words: yarns as one would call them, and a word for every colour there is."""

from __future__ import annotations

import itertools

import pytest

from provenance.figures.colour.plain import plain_colour
from provenance.figures.colour.shades import family
from provenance.language.phrases import british, phrases_for
from provenance.reference.colour_names import centroids

GERMAN = phrases_for("de", "EUR", {}, None)
AMERICAN = phrases_for("en-US", "USD", {}, None)


@pytest.mark.parametrize(
    ("colour", "words"),
    [  # yarns of the demo, called as one sees them
        ("#8a2f2a", "dark red"),
        ("#7d8c5c", "olive green"),
        ("#9cb2b8", "light blue-grey"),
        ("#2e4257", "dark blue"),
        ("#46342a", "dark grey-brown"),
        ("#87405e", "wine red"),
        ("#c9949c", "pink"),
        ("#c3a23c", "golden yellow"),
        ("#9a4b2c", "rust"),
        ("#ece3cf", "cream"),
        ("#4b4b4a", "dark grey"),
        ("#000000", "black"),
        ("#ffffff", "white"),
    ],
)
def test_yarns_are_called_as_one_sees_them(colour: str, words: str) -> None:
    assert british().tell(plain_colour(colour)) == words


def test_spelt_as_the_studio_spells() -> None:
    told = [each.tell(plain_colour("#a3a19c")) for each in (british(), AMERICAN, GERMAN)]
    assert told == ["light grey", "light gray", "hellgrau"]


def test_every_colour_has_words_in_both_languages() -> None:
    steps = [f"{each:02x}" for each in range(0, 256, 17)]
    words = {plain_colour("#" + "".join(each)) for each in itertools.product(steps, repeat=3)}
    assert len(words) > 60
    for said in words:
        assert 0 < len(british().tell(said).split()) <= 3
        assert GERMAN.tell(said).islower()
    for group in ("hue.", "tone."):
        used = {part.key for said in words for part in (said, *dict(said.pairs).values())}
        assert {key for key in british().words if key.startswith(group)} <= used


def test_a_plain_word_lies_in_the_family_that_visitors_look_under() -> None:
    """The last word of ours is that of the family, for three standard colours in four or more;
    the rest are gold and rust, beige and cream."""
    own = [
        (british().tell(plain_colour(f"#{code}")), family(f"#{code}")) for _, code in centroids()
    ]
    agree = sum(word.replace("-", " ").split()[-1] == of for word, of in own)
    assert agree / len(own) > 0.75
