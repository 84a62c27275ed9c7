"""Where a piece may say it was made.

In: the country of making and what was bought in, one step back only. Out: the words for a label,
with prompts. Rules: 16 CFR 303.33 (one step back; both facts where the stuff is imported),
303.34 (mail order), 16 CFR 323 (plain "Made in USA"). Outside the US the words are the maker's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from provenance.figures.fibre.piecework import LOCAL_RULES

_US = frozenset({"us", "usa", "america", "united states", "united states of america"})
_US_STUFF = {"fibre": "fiber"}

_BOTH_FACTS = (
    "A plain 'Made in U.S.A.' is for pieces made there of US {stuff}: the label gives both facts "
    "(16 CFR 303.33)."
)
_UNKNOWN = (
    "Where the {stuff} came from is not recorded: a plain 'Made in U.S.A.' needs all or virtually "
    "all of it to be from there (16 CFR 303.33, 323)."
)
_MAIL_ORDER = "Sold by mail or online: say 'made in U.S.A.', 'imported', or both (16 CFR 303.34)."
_BOUGHT = (
    "{stuff} bought from abroad: 'made in' means the last real working of it; say where it came "
    "from too, if the words could mislead."
)


@dataclass(frozen=True, slots=True)
class Bought:
    """What came into the studio ready-made: yarn, fibre or cloth, and its country ("" unknown)."""

    what: str
    country: str = ""


@dataclass(frozen=True, slots=True)
class Origin:
    """The country of making, and what was bought in to make from.

    One step back only: whoever weaves of bought yarn names the yarn, whoever spins names the fibre.
    """

    made_in: str
    bought: tuple[Bought, ...] = ()


@dataclass(frozen=True, slots=True)
class OriginWords:
    """The words for the label and what to check about them."""

    text: str
    prompts: tuple[str, ...]


def origin_words(origin: Origin, market: str) -> OriginWords:
    """What a label may say of origin in one market (UK, EU, US); "" where nothing is recorded."""
    made_in = _place(origin.made_in)
    if not made_in:
        return OriginWords("", ("No origin is recorded; a US label must carry one.",))
    foreign = [one for one in origin.bought if one.country and not _is_same(one.country, made_in)]
    unknown = [one for one in origin.bought if not one.country]
    if is_us(made_in):
        return _made_in_us(origin, foreign, unknown)
    prompts = [_BOUGHT.format(stuff=_named(foreign).capitalize())] if foreign else []
    if market == "US":
        prompts.append(_MAIL_ORDER)
    return OriginWords(f"Made in {made_in}", (*prompts, LOCAL_RULES))


def is_us(place: str) -> bool:
    """Whether a place is a name of the United States."""
    word = place.casefold().replace(".", "").strip()
    return word.removeprefix("the ") in _US


def _made_in_us(
    origin: Origin, foreign: Sequence[Bought], unknown: Sequence[Bought]
) -> OriginWords:
    text, prompts = "Made in U.S.A.", []
    if foreign:
        text = f"Made in U.S.A. of {_mixture(origin.bought, foreign)}"
        prompts.append(_BOTH_FACTS.format(stuff=_american(foreign)))
    if unknown:
        prompts.append(_UNKNOWN.format(stuff=_american(unknown)))
    return OriginWords(text, (*prompts, _MAIL_ORDER, LOCAL_RULES))


def _mixture(bought: Sequence[Bought], foreign: Sequence[Bought]) -> str:
    """ "imported yarn"; "domestic and imported yarn" where some of the same stuff is from home."""
    home = {one.what for one in bought if one.country and is_us(one.country)}
    imported = dict.fromkeys(one.what for one in foreign)
    return " and ".join(
        f"{'domestic and ' if what in home else ''}imported {_US_STUFF.get(what, what)}"
        for what in imported
    )


def _named(bought: Sequence[Bought]) -> str:
    return " and ".join(dict.fromkeys(one.what for one in bought))


def _american(bought: Sequence[Bought]) -> str:
    return " and ".join(dict.fromkeys(_US_STUFF.get(one.what, one.what) for one in bought))


def _is_same(country: str, made_in: str) -> bool:
    return country.casefold() == made_in.casefold() or (is_us(country) and is_us(made_in))


def _place(words: str) -> str:
    plain = words.strip()
    return plain[8:].strip() if plain.casefold().startswith("made in ") else plain
