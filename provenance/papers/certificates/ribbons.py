"""The flow from fleece to cloth as a certificate has room for it.

In: the tree of a piece. Out: the same with its lightest lots gathered into one ribbon, grey, that
says how many they are; a yarn or fleece of which no lot is left goes with them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from provenance.language.phrases import Phrases
from provenance.public.lineage import FLEECE_COLOUR, Given, Label, Tree, Twig, YarnNode


def gathered(tree: Tree, most: int, phrases: Phrases) -> Tree:
    """At most about so many lots, the heaviest; each yarn among them keeps the rest of its own."""
    if len(tree.twigs) <= most:
        return tree
    by_weight = sorted(range(len(tree.twigs)), key=lambda at: (-tree.twigs[at].grams, at))
    kept = {at: tree.twigs[at] for at in sorted(by_weight[: most - 1])}
    yarns = sorted({twig.yarn for twig in kept.values()})
    rest = [twig for at, twig in enumerate(tree.twigs) if at not in kept]
    twigs = [
        twig
        for number, yarn in enumerate(yarns)
        for twig in _of_yarn(number, yarn, list(kept.values()), rest, phrases)
    ]
    homeless = [twig for twig in rest if twig.yarn not in yarns]
    if homeless:
        twigs.append(_together(homeless, len(yarns), phrases))
    nodes = [tree.yarns[yarn] for yarn in yarns]
    others = [node for at, node in enumerate(tree.yarns) if at not in yarns]
    if others:
        nodes.append(YarnNode(Label(_more(len(others), phrases), ""), _given(others)))
    return _fewer_fleeces(replace(tree, yarns=tuple(nodes), twigs=tuple(twigs)), phrases)


def _of_yarn(
    number: int, yarn: int, kept: Sequence[Twig], rest: Sequence[Twig], phrases: Phrases
) -> Iterator[Twig]:
    yield from (replace(twig, yarn=number) for twig in kept if twig.yarn == yarn)
    if own := [twig for twig in rest if twig.yarn == yarn]:
        yield _together(own, number, phrases)


def _together(twigs: Sequence[Twig], yarn: int, phrases: Phrases) -> Twig:
    grams = sum(twig.grams for twig in twigs)
    mass = phrases.mass(Fraction(str(grams)))
    return Twig(Label(_more(len(twigs), phrases), mass), FLEECE_COLOUR, grams, yarn)


def _more(number: int, phrases: Phrases) -> str:
    return phrases.say("certificate.more", number=number)


def _given(nodes: Sequence[YarnNode]) -> tuple[Given, ...]:
    """What each fleece gave to all of them."""
    grams: dict[int, float] = {}
    for given in (given for node in nodes for given in node.fleeces):
        grams[given.fleece] = grams.get(given.fleece, 0.0) + given.grams
    return tuple(Given(fleece, amount, "") for fleece, amount in grams.items())


def _fewer_fleeces(tree: Tree, phrases: Phrases) -> Tree:
    """Fleeces that only the gathered yarn has become one."""
    named = {given.fleece for yarn in tree.yarns if yarn.label.mass for given in yarn.fleeces}
    places = {fleece: at for at, fleece in enumerate(sorted(named))}
    others = len(tree.fleeces) - len(named)
    labels = [tree.fleeces[fleece] for fleece in sorted(named)]
    colours = [tree.fleece_colours[fleece] for fleece in sorted(named)]
    if others:
        labels.append(Label(_more(others, phrases), ""))
        colours.append(FLEECE_COLOUR)
    yarns = tuple(
        replace(
            yarn,
            fleeces=tuple(
                replace(given, fleece=places.get(given.fleece, len(named)))
                for given in yarn.fleeces
            ),
        )
        for yarn in tree.yarns
    )
    return replace(tree, fleeces=tuple(labels), fleece_colours=tuple(colours), yarns=yarns)
