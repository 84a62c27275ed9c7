"""What a piece has beside its cloth: lining, filling, backing, trimmings, horn and leather.

In: the `parts:` of a piece, and its sundries that name a `part:`. Out: `Component`s as the label
rules see them, and what they weigh. What each kind of part means for a label is in `label_us` and
`label_eu`; which words mean which kind is the trade's use (from memory).
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.fibre.shares import FibrePart
from provenance.figures.flow.sundries import sundries_of
from provenance.problems import Place
from provenance.records.book import Book
from provenance.records.pieces import Piece

KINDS = {
    "lining": ("lining", "futter"),
    "filling": ("filling", "wadding", "batting", "padding", "füllung", "wattierung"),
    "backing": ("backing", "interlining", "stiffening", "interfacing", "underlay", "einlage"),
    "trimming": ("trimming", "trim", "edging", "braid", "ribbon", "tassel", "tassels", "piping",
                 "binding", "tape", "borte", "paspel"),
}  # fmt: skip
_TOLD = {
    "lining": r"\blin(?:ed|ing|ings)\b",
    "filling": r"\b(?:filled|filling|wadded|wadding|padded)\b",
    "backing": r"\b(?:backed|backing|interlined)\b",
}
# What Art. 12 of Regulation (EU) No 1007/2011 means by parts of animal origin.
_ANIMAL = re.compile(
    r"\b(?:leather|suede|horn|bone|shell|feathers?|down|fur|antler|hide"
    r"|leder|knochen|perlmutt|muschel|federn?|daunen|fell|geweih)\b",
    re.I,
)


@dataclass(frozen=True, slots=True)
class Component:
    """A part by the maker's name: its fibres, and grams where they are known."""

    name: str
    fibres: Mapping[str, Fraction]
    grams: Fraction | None
    is_warm: bool
    made_in: str
    place: Place

    @property
    def kind(self) -> str:
        """Lining, filling, backing, trimming; the maker's own word for anything else."""
        words = set(re.findall(r"\w+", self.name.casefold()))
        return next((kind for kind, known in KINDS.items() if words & {*known}), self.name)


def components(book: Book, piece: Piece) -> tuple[Component, ...]:
    """The parts of a piece that are of fibre, as the record names them."""
    return (*_written(piece), *_sewn_in(book, piece))


def _written(piece: Piece) -> Iterator[Component]:
    for name, part in piece.parts.items():
        if part.fibre:
            grams = None if part.weight is None else Fraction(part.weight)
            made_in = str(part.made_in or "")
            yield Component(str(name), part.fibre, grams, part.warm, made_in, name.place)


def _sewn_in(book: Book, piece: Piece) -> Iterator[Component]:
    for name, use in sundries_of(book, piece).items():
        sundry = book.sundries.get(name)
        if sundry and sundry.part and sundry.fibre:
            each = sundry.weighs or Fraction(use.unit == "g")
            grams = each * use or None
            made_in = str(sundry.made_in or "")
            yield Component(str(sundry.part), sundry.fibre, grams, sundry.warm, made_in, name.place)


def part_grams(piece: Piece) -> Fraction:
    """What the `parts:` of a piece weigh; sundries are weighed by themselves."""
    return sum((part.weight or Fraction(0) for part in piece.parts.values()), Fraction(0))


def fibres_beside(book: Book, piece: Piece) -> tuple[FibrePart, ...]:
    """The fibres of all parts beside the cloth, each part stated by its own name."""
    return tuple(
        FibrePart(
            each.kind, str(fibre), (each.grams or Fraction(1)) * share, each.place,
            section=each.name, is_warm=each.is_warm, is_told=_is_told(piece, each.kind),
            is_weighed=each.grams is not None,
        )
        for each in components(book, piece)
        for fibre, share in each.fibres.items()
    )  # fmt: skip


def has_animal_parts(book: Book, piece: Piece) -> bool:
    """Whether leather, horn, bone, shell, feather or the like is on it."""
    used = [book.sundries.get(name) for name in sundries_of(book, piece)]
    return any(part.animal for part in piece.parts.values()) or any(
        sundry is not None and (sundry.animal or _ANIMAL.search(str(sundry.material or "")))
        for sundry in used
    )


def _is_told(piece: Piece, kind: str) -> bool:
    """Whether the maker's own words speak of such a part, which ends its US exemption."""
    texts = (piece.title, piece.structure, piece.story, piece.care)
    said = " ".join(str(text) for text in texts if text)
    return kind in _TOLD and bool(re.search(_TOLD[kind], said, re.IGNORECASE))
