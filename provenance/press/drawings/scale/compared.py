"""What a drawing to scale shows, in words: how the work compares with the thing beside it.

In: works, their scene, the phrases. Out: sentences, computed from the same numbers as the drawing.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Protocol

from provenance.language.measures import inches
from provenance.language.phrases import Phrases
from provenance.press.drawings.scale.placing import Scene

# A share and the word for what lies within a twentieth of it.
_WORDS = (
    ("quarter", Fraction(1, 4)), ("third", Fraction(1, 3)), ("half", Fraction(1, 2)),
    ("two_thirds", Fraction(2, 3)), ("three_quarters", Fraction(3, 4)),
    ("once_and_half", Fraction(3, 2)), ("twice", Fraction(2)), ("thrice", Fraction(3)),
)  # fmt: skip
_NEAR, _SAME, _LITTLE = Fraction(1, 20), Fraction(1, 50), Fraction(15, 100)
# The side of a thing that a side of the work is held against, and its word; a person's width and
# the height of a sofa under a work measure nothing.
_AGAINST = {
    "door": {"down": ("height", "height"), "across": ("width", "width")},
    "sheet": {"down": ("height", "height"), "across": ("width", "width")},
    "hand": {"down": ("height", "length"), "across": ("height", "length")},
    "figure": {"down": ("height", "height")},
    "sofa": {"across": ("width", "length")},
    "sofa_from_above": {"across": ("width", "length"), "down": ("height", "depth")},
    "table_from_above": {"across": ("width", "length"), "down": ("height", "breadth")},
}
_LIES = ("before", "on", "lying")


class Sized(Protocol):
    """A work with sides in cm."""

    @property
    def height(self) -> Fraction: ...
    @property
    def width(self) -> Fraction: ...


def compared(works: Sequence[Sized], seen: Scene, phrases: Phrases) -> str:
    """How the works are met, then the sides of each against those of the thing."""
    width, height = (length(side, phrases) for side in (seen.thing.width, seen.thing.height))
    thing = phrases.say(f"scale.{seen.thing.name}", width=width, height=height)
    met = phrases.say(f"scale.{seen.way}", thing=thing)
    return " ".join([met, *(_of_work(work, seen, phrases) for work in works)])


def _of_work(work: Sized, seen: Scene, phrases: Phrases) -> str:
    said = list(_sides(work, seen, phrases))
    return phrases.opening(f"{phrases.listed(said)}.")


def _sides(work: Sized, seen: Scene, phrases: Phrases) -> Iterator[str]:
    down, across, names = work.height, work.width, ("height", "width")
    sides = {"down": down, "across": across}
    if seen.way in _LIES:
        sides = {"across": max(down, across), "down": min(down, across)}
        names = "length", "breadth"
    for way, name in zip(sides, names, strict=True):
        side, held = sides[way], _AGAINST[seen.thing.name].get(way)
        if seen.way == "lying":
            held = ("height", "height") if way == "across" else None
        said = length(side, phrases)
        if held is None:
            yield phrases.say(f"scale.{name}_alone", side=said)
        else:
            how = _how(side / getattr(seen.thing, held[0]), seen.thing.name, held[1], phrases)
            yield phrases.say(f"scale.{name}", side=said, how=how)


def _how(share: Fraction, thing: str, side: str, phrases: Phrases) -> str:
    """About two thirds of the height of the door."""
    say = phrases.say
    other = say(f"scale.{side}_of", thing=say(f"scale.of_{thing.removesuffix('_from_above')}"))
    percent = phrases.percent(Fraction(round(share * 100)))
    times = phrases.number(share, 1)
    return say(f"scale.{share_word(share)}", other=other, percent=percent, times=times)


def share_word(share: Fraction) -> str:
    """The word for a share: as much as, a little less, about two thirds; else its percentage."""
    if abs(share - 1) <= _SAME:
        return "as_much"
    off, word = min((abs(share / wanted - 1), word) for word, wanted in _WORDS)
    if off <= _NEAR:
        return word
    if abs(share - 1) <= _LITTLE:
        return "little_less" if share < 1 else "little_more"
    return "so_much" if share < 1 else "so_many_times"


def length(side: Fraction, phrases: Phrases) -> str:
    """A length in the studio's own unit."""
    return f"{inches(side)} in" if phrases.is_american else f"{phrases.number(side, 1)} cm"
