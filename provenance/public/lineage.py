"""The lineage tree of one piece: names and masses for every node of the drawing.

In: the view, a piece and its strands. Out: a `Tree`, with its text alternative.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from provenance.figures.dyes.stages import dyes_before, history_words
from provenance.figures.flow.strands import Strand
from provenance.language.phrases import Phrases
from provenance.public.describe import shows_hours
from provenance.public.names import called, fleece_name, is_shorn, spoken
from provenance.public.view import View
from provenance.studio import Worked

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


def tree_of(view: View, worked: Worked) -> Tree:
    """The tree that the lineage drawing is made from."""
    strands = worked.strands
    yarns = list(dict.fromkeys((strand.yarn, strand.lot * (not strand.yarn)) for strand in strands))
    fleeces = list(dict.fromkeys(part.fleece for strand in strands for part in strand.fleeces))
    groups = [[s for s in strands if (s.yarn, s.lot * (not s.yarn)) == yarn] for yarn in yarns]
    labels = tuple(_fleece_label(view, name, strands) for name in fleeces)
    nodes = tuple(_yarn_node(view, group, fleeces) for group in groups)
    twigs = tuple(
        Twig(_twig_label(view, strand), strand.colour, float(strand.grams), number)
        for number, group in enumerate(groups)
        for strand in group
    )
    colours = tuple(str(view.book.fleece[name].colour or FLEECE_COLOUR) for name in fleeces)
    tree = Tree(labels, colours, nodes, twigs, _piece_label(view, worked), "")
    return replace(tree, words=_words(view.phrases, tree))


def _fleece_label(view: View, name: str, strands: Sequence[Strand]) -> Label:
    fleece = view.book.fleece[name]
    parts = [part for strand in strands for part in strand.fleeces if part.fleece == name]
    mass = view.phrases.mass(sum((part.grease for part in parts), Fraction(0)))
    said = view.phrases.say("label.in_the_grease", mass=mass) if is_shorn(fleece) else mass
    return Label(fleece_name(view.phrases, fleece), said)


def _yarn_node(view: View, group: Sequence[Strand], fleeces: Sequence[str]) -> YarnNode:
    first = group[0]
    grams = sum((strand.grams for strand in group), Fraction(0))
    mass = view.phrases.mass(grams)
    said = view.phrases.say("label.bought" if first.is_bought else "label.spun_by_hand")
    name = called(view.book, first.yarn) or view.phrases.say(
        "label.yarn_of", lot=called(view.book, first.lot)
    )
    return YarnNode(Label(name, f"{mass}, {said}"), tuple(_given(view, group, fleeces)))


def _given(view: View, group: Sequence[Strand], fleeces: Sequence[str]) -> Iterator[Given]:
    for number, name in enumerate(fleeces):
        parts = [part for strand in group for part in strand.fleeces if part.fleece == name]
        if parts:
            yarn = sum(float(part.yarn) for part in parts)
            yield Given(number, yarn, _fleece_label(view, name, group).mass)


def _twig_label(view: View, strand: Strand) -> Label:
    said = view.phrases.tell(history_words(strand.stages, dyes_before(view.book, strand)))
    mass = view.phrases.mass(strand.grams)
    if not said:
        use = view.phrases.tell(strand.use)
        return Label(spoken(view.phrases.say("label.undyed")), f"{use}, {mass}".strip(", "))
    has_name = strand.yarn and strand.lot != strand.yarn
    name = f"{called(view.book, strand.lot)}, " if has_name else ""
    return Label(spoken(said), f"{name}{mass}")


def _piece_label(view: View, worked: Worked) -> Label:
    piece, hours = worked.record, sum(worked.load.hours.values(), Fraction(0))
    mass = view.phrases.mass(piece.weight) if piece.weight else ""
    spent = f"{view.phrases.number(hours, 0)} h" if hours and shows_hours(worked) else ""
    return Label(str(piece.title), ", ".join(filter(None, (mass, spent))))


def _words(phrases: Phrases, tree: Tree) -> str:
    """The drawing in a sentence for each yarn, and one for the whole."""
    said = []
    for number, yarn in enumerate(tree.yarns):
        came = phrases.listed([f"{tree.fleeces[g.fleece].name}, {g.mass}" for g in yarn.fleeces])
        lots = "; ".join(f"{t.label.name} ({t.label.mass})" for t in tree.twigs if t.yarn == number)
        words = {"yarn": yarn.label.name, "mass": yarn.label.mass, "lots": lots}
        name = "making.line_from" if came else "making.line"
        said.append(phrases.say(name, **words, **({"fleeces": came} if came else {})))
    whole = ", ".join(part for part in (tree.piece.name, tree.piece.mass) if part)
    return " ".join((*said, phrases.say("making.together", piece=whole)))
