"""What a hang-tag says: its fields as words, own, gallery or guild.

In: the public facts of a piece and of the studio. Out: `TagWords`, fields in
order with their text, before anything is measured. A gallery's tag has no contact, code, site or
studio on it, only the maker's name; a guild's has the fields its record lists, in that order. Care
is told in words, fibres as the labels of the outlet's markets say them, else the studio's.
"""

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass

from provenance.language.phrases import Phrases
from provenance.press.letters import fonts
from provenance.public.edge import Stripe
from provenance.public.outlet import PublicOutlet
from provenance.public.piece import PublicPiece
from provenance.public.studio import PublicStudio

OWN = ("title", "number", "kind", "size", "fibres", "fleece", "dyes", "care", "address",
       "responsible", "price", "tax", "maker", "studio", "origin", "code", "page")  # fmt: skip
GALLERY = ("title", "number", "kind", "size", "fibres", "fleece", "dyes", "care",
           "price", "tax", "maker", "origin")  # fmt: skip
GUILD = ("title", "number", "kind", "size", "fibres", "care", "price", "tax")
NEEDED = ("kind", "size", "fibres", "price")


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
        said = [
            f"{field}={text}"
            for field, text in self.fields
            if field not in ("price", "code", "page")
        ]
        return hashlib.sha256("\n".join([self.variant, *said]).encode()).hexdigest()[:16]


def tag_words(
    facts: PublicPiece, studio: PublicStudio, outlet: PublicOutlet | None = None
) -> TagWords:
    """The words of a piece's tag as its outlet wants it; without an outlet, the studio's own."""
    variant = outlet.tag_kind if outlet else "own"
    known, order = _known(facts, studio), _order(variant, outlet)
    if "light" in order:  # said once
        known["care"] = known["care"].replace(known["light"], "").replace("  ", " ").strip()
    if "fibres" not in order and facts.content.not_full:
        known["fibres"], order = facts.content.not_full, (*order, "fibres")
    fields = tuple((field, known[field]) for field in order if known[field])
    dyes = _dyed_with(studio.phrases, ", ".join(map(studio.phrases.stuff, facts.dye_names)))
    return TagWords(facts.number, variant, fields, dyes, facts.stripes, known["price"])


def lacking(words: TagWords) -> tuple[str, ...]:
    """What a tag can't go without and the record doesn't say."""
    needed = ("price",) if words.variant == "guild" else NEEDED
    return tuple(field for field in needed if field not in words.text)


def _order(variant: str, outlet: PublicOutlet | None) -> tuple[str, ...]:
    if variant == "gallery":
        return GALLERY
    if variant != "guild":
        return OWN
    asked = outlet.tag_fields if outlet else ()
    return tuple(w for a in asked for w in ((a, "tax") if a == "price" else (a,))) or GUILD


def _known(facts: PublicPiece, studio: PublicStudio) -> dict[str, str]:
    phrases = studio.phrases
    dyes = tuple(map(phrases.stuff, facts.dye_names))
    texts = {
        "number": facts.number,
        "title": facts.title,
        "kind": facts.kind_word,
        "structure": facts.structure,
        "size": _two_lines(facts.size),
        "weight": facts.weight,
        "fibres": "\n".join(facts.content.labels),
        "fleece": facts.content.spun,
        "dyes": _dyed_with(phrases, _small_start(phrases, facts.dyes, dyes)),
        "care": facts.short_care,
        "light": facts.short_light,
        "price": facts.price if facts.for_sale else facts.availability,
        "tax": facts.price_note if facts.for_sale else "",
        "edition": facts.edition,
        "year": facts.year,
        "maker": studio.maker,
        "studio": _studio(studio),
        "place": studio.place,
        "origin": facts.content.origin,
        "address": studio.address,
        "responsible": studio.responsible,
        "code": studio.site,
        "page": phrases.say("tag.page", site=_in_words(studio.site)) if studio.site else "",
    }
    return {field: _tidy(text) for field, text in texts.items()}


def _studio(studio: PublicStudio) -> str:
    """Name and place of the studio; where it has the maker's name, that is said above."""
    name, place = studio.name, studio.place
    if name == studio.maker:
        return place
    return studio.phrases.say("tag.made_by", studio=name, place=place) if place else name


def _in_words(site: str) -> str:
    """The site's address as people write it."""
    return re.sub(r"^https?://(www\.)?|/$", "", site.strip(), flags=re.IGNORECASE)


def _tidy(text: str) -> str:
    lines = (" ".join(line.split()) for line in fonts.printable(text).splitlines())
    return "\n".join(line for line in lines if line)


def _two_lines(size: str) -> str:
    """The other unit on a line of its own, so that no line ends within a size."""
    return re.sub(r" \((.*)\)$", r"\n\1", size)


def _dyed_with(phrases: Phrases, dyes: str) -> str:
    return phrases.say("tag.dyed", dyes=dyes) if dyes else ""


def _small_start(phrases: Phrases, line: str, names: tuple[str, ...]) -> str:
    """Inside a sentence, unless the dye itself is written with a capital."""
    has_capital = any(line.startswith(name) for name in names if name[:1].isupper())
    return line if has_capital else phrases.inside(line)
