"""The lineage tree of one piece: names and masses for every node of the drawing.

In: the setting, a piece and its strands. Out: a `Tree`, with its text alternative.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.dyes.stages import history_words
from provenance.figures.flow.strands import Strand, key_of
from provenance.language.phrases import Phrases
from provenance.public.setting import Setting, fleece_name, spoken
from provenance.records.pieces import Piece

FLEECE_COLOUR = "#cbc4b6"


@dataclass(frozen=True, slots=True)
class Label:
    """A node's words: its name, and its masses in smaller words."""

    name: str
    mass: str


@dataclass(frozen=True, slots=True)
class Twig:
    """One lot: its words, colour, weight, and the number of the yarn it was."""

    label: Label
    colour: str
    grams: float
    yarn: int


@dataclass(frozen=True, slots=True)
class Given:
    """What one fleece gave to one yarn: grams of yarn, and the fleece's mass in words."""

    fleece: int
    grams: float
    mass: str


@dataclass(frozen=True, slots=True)
class YarnNode:
    """A yarn: its words, and what came from each fleece."""

    label: Label
    fleeces: tuple[Given, ...]


@dataclass(frozen=True, slots=True)
class Tree:
    """Everything that is drawn."""

    fleeces: tuple[Label, ...]
    fleece_colours: tuple[str, ...]
    yarns: tuple[YarnNode, ...]
    twigs: tuple[Twig, ...]
    piece: Label
    words: str


def tree_of(setting: Setting, piece: Piece, strands: Sequence[Strand]) -> Tree:
    """The tree that the lineage drawing is made from."""
    yarns = list(dict.fromkeys((strand.yarn, strand.lot * (not strand.yarn)) for strand in strands))
    fleeces = list(dict.fromkeys(part.fleece for strand in strands for part in strand.fleeces))
    groups = [[s for s in strands if (s.yarn, s.lot * (not s.yarn)) == yarn] for yarn in yarns]
    labels = tuple(_fleece_label(setting, name, strands) for name in fleeces)
    nodes = tuple(_yarn_node(setting, group, fleeces) for group in groups)
    twigs = tuple(
        Twig(_twig_label(setting, strand), strand.colour, float(strand.grams), number)
        for number, group in enumerate(groups)
        for strand in group
    )
    whole = _piece_label(setting, piece)
    colours = tuple(_fleece_colour(setting, name) for name in fleeces)
    return Tree(
        labels, colours, nodes, twigs, whole, _words(setting.phrases, labels, nodes, twigs, whole)
    )


def _fleece_label(setting: Setting, name: str, strands: Sequence[Strand]) -> Label:
    fleece = setting.book.fleece[name]
    parts = [part for strand in strands for part in strand.fleeces if part.fleece == name]
    mass = setting.phrases.mass(sum((part.grease for part in parts), Fraction(0)))
    is_fleece = "wool" in fleece.fibre and fleece.scoured != 1
    said = setting.phrases.say("label.in_the_grease", mass=mass) if is_fleece else mass
    return Label(fleece_name(setting.phrases, fleece), said)


def _fleece_colour(setting: Setting, name: str) -> str:
    return str(setting.book.fleece[name].colour or FLEECE_COLOUR)


def _yarn_node(setting: Setting, group: Sequence[Strand], fleeces: Sequence[str]) -> YarnNode:
    first = group[0]
    grams = sum((strand.grams for strand in group), Fraction(0))
    mass = setting.phrases.mass(grams)
    said = setting.phrases.say("label.bought" if first.is_bought else "label.spun_by_hand")
    name = spoken(first.yarn) or setting.phrases.say("label.yarn_of", lot=spoken(first.lot))
    return YarnNode(Label(name, f"{mass}, {said}"), tuple(_given(setting, group, fleeces)))


def _given(setting: Setting, group: Sequence[Strand], fleeces: Sequence[str]) -> Iterator[Given]:
    for number, name in enumerate(fleeces):
        parts = [part for strand in group for part in strand.fleeces if part.fleece == name]
        if parts:
            yarn = sum(float(part.yarn) for part in parts)
            yield Given(number, yarn, _fleece_label(setting, name, group).mass)


def _twig_label(setting: Setting, strand: Strand) -> Label:
    said = history_words(strand.stages)
    mass = setting.phrases.mass(strand.grams)
    if not said:
        use = setting.phrases.tell(strand.use)
        return Label(spoken(setting.phrases.say("label.undyed")), f"{use}, {mass}".strip(", "))
    name = "" if strand.lot == strand.yarn or not strand.yarn else f"{spoken(strand.lot)}, "
    return Label(spoken(said), f"{name}{mass}")


def _piece_label(setting: Setting, piece: Piece) -> Label:
    hours = sum(setting.flow.loads[key_of(piece)].hours.values(), Fraction(0))
    said = []
    if piece.weight:
        said.append(setting.phrases.mass(piece.weight))
    wish = piece.hours_on_certificate
    if hours and (setting.book.studio.hours_on_certificate if wish is None else wish):
        said.append(f"{setting.phrases.number(hours, 0)} h")
    return Label(str(piece.title), ", ".join(said))


def _words(
    phrases: Phrases,
    fleeces: Sequence[Label],
    yarns: Sequence[YarnNode],
    twigs: Sequence[Twig],
    piece: Label,
) -> str:
    """The drawing in a sentence for each yarn, and one for the whole."""
    said = []
    for number, yarn in enumerate(yarns):
        came = phrases.listed([f"{fleeces[g.fleece].name}, {g.mass}" for g in yarn.fleeces])
        lots = "; ".join(f"{t.label.name} ({t.label.mass})" for t in twigs if t.yarn == number)
        words = {"yarn": yarn.label.name, "mass": yarn.label.mass, "lots": lots}
        name = "making.line_from" if came else "making.line"
        said.append(phrases.say(name, **words, **({"fleeces": came} if came else {})))
    whole = ", ".join(part for part in (piece.name, piece.mass) if part)
    return " ".join((*said, phrases.say("making.together", piece=whole)))
