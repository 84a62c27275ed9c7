"""Words in a maker's story or care text that promise more than the record can bear out.

In: a text and the facts of the piece. Out: every such word with its place in the text, the
reason and what may be said instead. Which words, with their sources: `tables/claims.toml`.
English and German words are looked for in every text. "Natural dyes" is a plain description and is
left alone; so is a word after "not" or "never".
Origin: 16 CFR 303.33 and 323 (a plain "Made in USA" only where all of it is from there).
"""

import re
from dataclasses import dataclass
from functools import cache
from typing import Any

from provenance.problems import Said, Words
from provenance.reference.fibres import fibre_names, find_fibre
from provenance.reference.loader import rows, table

REFUSE = "refuse"
QUESTION = "question"

_DENIED = re.compile(
    r"(?:\b(?:not|never|no|nor|neither|cannot|nicht|nie|niemals|kein(?:e[rmns]?)?)|n['’]t)"
    r"(?:\s+[\w-]+){0,2}\s+$",
    re.I,
)
_NOT_ONLY = re.compile(r"\b(?:not\s+only|nicht\s+nur)\b", re.I)
_US = frozenset(
    {"us", "usa", "america", "united states", "united states of america", "amerika",
     "vereinigten staaten"}
)  # fmt: skip
# Words that stand in every longer German text and hardly in an English one: most texts need not be
# searched for German claims.
_GERMAN = re.compile(
    r"[äöüß]|\b(?:und|der|das|aus|eine?[rmns]?|mit|nicht|ist|für|von|auf|im|wird)\b", re.I
)
_SHORT = 80
_PLACE = re.compile(r"^.*?\bin\s+(?:(?:the|de[nr])\s+)?", re.I | re.S)


@dataclass(frozen=True, slots=True)
class Facts:
    """What the record of a piece supports.

    `fibres`: plain names, all that are in it. `origins`: places or words of origin ("Made in
    England"). `content`: the fibre content, to be told. `is_virgin`: all of it is new fibre.
    """

    fibres: frozenset[str] = frozenset()
    content: Words = ""
    origins: tuple[str, ...] = ()
    has_recycled: bool = False
    is_virgin: bool = False
    is_certified_organic: bool = False


@dataclass(frozen=True, slots=True)
class Claim:
    """One unsupported word: where it stands (offset from 0, line from 1), why, what instead."""

    word: str
    start: int
    line: int
    reason: Said
    instead: Said
    weight: str
    source: str


@dataclass(frozen=True, slots=True)
class _Row:
    name: str
    pattern: re.Pattern[str]
    needs: str
    proof: str
    weight: str
    source: str


def claims_in(text: str, facts: Facts) -> tuple[Claim, ...]:
    """Every claim in `text` that `facts` do not bear out, in the order of the text."""
    may_be_german = len(text) < _SHORT or _GERMAN.search(text)
    found = {  # words that are the same in both languages are found twice
        _claim(text, match, row, weight, facts.content)
        for row in (*_rows("pattern"), *(_rows("german") if may_be_german else ()))
        if row.needs in text
        for match in row.pattern.finditer(text)
        if not _is_denied(text[: match.start()])
        if (weight := _weight(match[0], facts, row))
    }
    return tuple(sorted(found, key=lambda claim: (claim.start, -len(claim.word), claim.reason)))


def _claim(text: str, match: re.Match[str], row: _Row, weight: str, content: Words) -> Claim:
    line = text.count("\n", 0, match.start()) + 1
    word = " ".join(match[0].split())
    reason = Said(f"claim.{row.name}")
    instead = Said(f"claim_instead.{row.name}", content=content or Said("content.every"))
    return Claim(word, match.start(), line, reason, instead, weight, row.source)


def _is_denied(before: str) -> bool:
    """Whether the words stand after "not", "never", "don't" in the same sentence."""
    sentence = re.split(r"[.!?;:\n]\s*", before[-60:])[-1]
    return bool(_DENIED.search(sentence)) and not _NOT_ONLY.search(sentence)


def _weight(word: str, facts: Facts, row: _Row) -> str:
    """How much a claim weighs: "" where the facts bear it out."""
    if row.proof == "virgin" and facts.has_recycled:
        return REFUSE
    if row.proof == "single" and not facts.fibres:
        return QUESTION
    return "" if _is_borne_out(word, facts, row.proof) else row.weight


def _is_borne_out(word: str, facts: Facts, proof: str) -> bool:
    match proof:
        case "virgin":  # questioned while nothing says that all is new
            return facts.is_virgin
        case "single":  # of one single fibre, and that is the one named
            return len(facts.fibres) == 1 and _fibre_in(word) in _plain(facts.fibres)
        case "fibre":
            return _fibre_in(word) in _plain(facts.fibres)
        case "recycled":
            return facts.has_recycled
        case "organic":
            return facts.is_certified_organic
        case "origin":
            return place_of(word) in map(place_of, facts.origins)
    return False


def _plain(fibres: frozenset[str]) -> set[str]:
    return {name.removeprefix("recycled ") for name in fibres}


def _fibre_in(word: str) -> str:
    """The plain name of the fibre that the words of a claim end in or begin with, or ""."""
    words = re.sub(r"100\s*(?:%|per\s?cent|Prozent)|[,.]", " ", word).replace("-", " ").split()
    spans = [" ".join(words[first:]) for first in range(len(words))]
    german = table("claims")["german"]
    known = [fibre for span in spans if (fibre := find_fibre(german.get(span.lower(), span)))]
    return known[0].name.removeprefix("recycled ") if known else ""


def place_of(words: str) -> str:
    """The place in words of origin, in one spelling: "Made in the U.S.A." is "usa"."""
    if words.casefold().replace("-", " ").startswith("american made"):
        return "usa"
    place = _PLACE.sub("", words).casefold().strip(" .")
    plain = place.replace(".", "")
    return "usa" if plain.strip().removeprefix("the ") in _US else plain


@cache
def _rows(words: str) -> tuple[_Row, ...]:
    """The rows with their English (`pattern`) or German (`german`) words."""
    names = table("claims")["german"] if words == "german" else fibre_names()
    longest = sorted(names, key=len, reverse=True)
    fibre = "(?:" + "|".join(re.escape(name) for name in longest) + ")"
    return tuple(_row(row, row[words].replace("{fibre}", fibre)) for row in rows("claims"))


def _row(row: dict[str, Any], words: str) -> _Row:
    pattern = re.compile(words, re.NOFLAG if row.get("case") else re.IGNORECASE)
    return _Row(
        row["name"], pattern, row.get("needs", ""), row["proof"], row["weight"], row["source"]
    )
