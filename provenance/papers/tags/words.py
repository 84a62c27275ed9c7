"""What a hang-tag says: its fields as words, own, gallery or guild.

In: the public facts of a piece and what the studio says of itself. Out: `TagWords`, fields in
order with their text, before anything is measured. A gallery's tag has no contact, code, site or
studio on it, only the maker's name; a guild's has the fields its record lists, in that order. Care
is told in words, fibres as the label of the studio's first market says them.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass

from provenance.language.phrases import Phrases
from provenance.press.letters import fonts
from provenance.problems import NOWHERE, Place
from provenance.public.edge import Stripe
from provenance.public.facts import PieceFacts
from provenance.records.lots import Outlet
from provenance.records.pieces import Piece
from provenance.records.printing import tag_field
from provenance.records.reading import Record
from provenance.records.studio import StudioFile
from provenance.records.text import Fields, Items, Written

OWN = ("number", "title", "kind", "size", "fibres", "fleece", "dyes", "care",
       "price", "tax", "studio", "origin", "code")  # fmt: skip
GALLERY = ("number", "title", "kind", "size", "fibres", "fleece", "dyes", "care",
           "price", "tax", "maker", "origin")  # fmt: skip
GUILD = ("number", "title", "kind", "size", "fibres", "care", "price", "tax")
NEEDED = ("kind", "size", "fibres", "price")
_MOST_OF = 10  # a fleece counts when it gave at least a tenth of the yarn spun here


@dataclass(frozen=True, slots=True)
class TagWords:
    """One tag before it is set: its fields in order; `plain_dyes` is for where room is short."""

    number: str
    variant: str
    fields: tuple[tuple[str, str], ...]
    plain_dyes: str
    stripes: tuple[Stripe, ...]
    price: str

    @property
    def text(self) -> Mapping[str, str]:
        """The words by field."""
        return dict(self.fields)

    @property
    def has_code(self) -> bool:
        """Whether the tag carries the code to the piece's page."""
        return "code" in self.text

    @property
    def digest(self) -> str:
        """Changes when the words do; address and price are noted beside it."""
        said = [f"{field}={text}" for field, text in self.fields if field not in ("price", "code")]
        return hashlib.sha256("\n".join([self.variant, *said]).encode()).hexdigest()[:16]


def tag_words(
    facts: PieceFacts, studio: StudioFile, phrases: Phrases, outlet: Outlet | None = None
) -> TagWords:
    """The words of a piece's tag as its outlet wants it; without an outlet, the studio's own."""
    variant = outlet.tag_kind if outlet else "own"
    known = _known(facts, studio, phrases)
    fields = tuple((field, known[field]) for field in _order(variant, outlet) if known[field])
    return TagWords(
        facts.number,
        variant,
        fields,
        _dyed_with(phrases, ", ".join(map(phrases.stuff, facts.dye_names))),
        facts.stripes,
        known["price"],
    )


def lacking(words: TagWords) -> tuple[str, ...]:
    """What a tag can't go without and the record doesn't say."""
    return tuple(field for field in NEEDED if field in _wanted(words) and field not in words.text)


def unprintable(piece: Piece, words: TagWords) -> tuple[str, Place] | None:
    """A character of the tag that our letters lack, and where it is written, if it has one."""
    for _, text in words.fields:
        for sign in sorted(fonts.missing_characters(fonts.printable(text))):
            return sign, _place_of(sign, piece) or piece.number.place
    return None


def _wanted(words: TagWords) -> tuple[str, ...]:
    return NEEDED if words.variant != "guild" else ("price",)


def _order(variant: str, outlet: Outlet | None) -> tuple[str, ...]:
    if variant == "gallery":
        return GALLERY
    if variant != "guild":
        return OWN
    words = outlet.tag_fields if outlet else ()
    asked = dict.fromkeys(tag_field(str(word)) for word in words)
    return tuple(w for a in asked for w in ((a, "tax") if a == "price" else (a,))) or GUILD


def _known(facts: PieceFacts, studio: StudioFile, phrases: Phrases) -> dict[str, str]:
    is_sold_here = facts.state in ("available", "reserved")
    place, name = str(studio.place or ""), str(studio.studio)
    texts = {
        "number": facts.number,
        "title": facts.title,
        "kind": facts.kind_word,
        "structure": facts.structure,
        "size": _two_lines(facts.size),
        "weight": facts.weight,
        "fibres": facts.labels[0][1] if facts.labels else facts.fibres,
        "fleece": _fleece(facts, phrases),
        "dyes": _dyed_with(
            phrases, _small_start(facts.dyes, tuple(map(phrases.stuff, facts.dye_names)))
        ),
        "care": facts.short_care,
        "light": facts.short_light,
        "price": facts.price if is_sold_here else facts.availability,
        "tax": facts.price_note if is_sold_here else "",
        "edition": facts.edition,
        "year": facts.year,
        "maker": str(studio.maker),
        "studio": phrases.say("tag.made_by", studio=name, place=place) if place else name,
        "place": place,
        "origin": str(studio.origin or ""),
        "code": str(studio.site or ""),
    }
    return {field: _tidy(text) for field, text in texts.items()}


def _tidy(text: str) -> str:
    lines = (" ".join(line.split()) for line in fonts.printable(text).splitlines())
    return "\n".join(line for line in lines if line)


def _two_lines(size: str) -> str:
    """The other unit on a line of its own, so that no line ends within a size."""
    return re.sub(r" \((.*)\)$", r"\n\1", size)


def _dyed_with(phrases: Phrases, dyes: str) -> str:
    return phrases.say("tag.dyed", dyes=dyes) if dyes else ""


def _small_start(line: str, names: tuple[str, ...]) -> str:
    """Inside a sentence, unless the dye itself is written with a capital."""
    has_capital = any(line.startswith(name) for name in names if name[:1].isupper())
    return line if has_capital else line[:1].lower() + line[1:]


def _fleece(facts: PieceFacts, phrases: Phrases) -> str:
    """Gotland and Shetland fleece, spun by hand: those that gave most of the yarn spun here."""
    grams: dict[int, float] = {}
    for yarn in facts.tree.yarns:
        for given in yarn.fleeces:
            grams[given.fleece] = grams.get(given.fleece, 0.0) + given.grams
    most = sorted(grams, key=lambda index: -grams[index])
    names = [facts.tree.fleeces[i].name.split(",")[0] for i in most
             if grams[i] * _MOST_OF >= sum(grams.values())]  # fmt: skip
    return phrases.say("tag.spun", fleeces=_joined(names)) if names else ""


def _joined(names: list[str]) -> str:
    """Gotland fleece, Shetland fleece -> Gotland and Shetland fleece."""
    names = list(dict.fromkeys(names))
    last = " fleece"
    if all(name.endswith(last) for name in names):
        return _listed([name.removesuffix(last) for name in names]) + last
    return _listed(names)


def _listed(names: list[str]) -> str:
    return " and ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)


def _place_of(sign: str, record: object) -> Place | None:
    """The first place in a record where a character is written."""
    if isinstance(record, Written):
        return record.place if sign in record and record.place != NOWHERE else None
    inside: list[object] = []
    if isinstance(record, (Fields, dict)):
        inside = [*record.keys(), *record.values()]
    elif isinstance(record, (Items, list, tuple)):
        inside = list(record)
    elif isinstance(record, Record):
        inside = [getattr(record, name) for name in type(record).model_fields]
    return next((place for each in inside if (place := _place_of(sign, each))), None)
