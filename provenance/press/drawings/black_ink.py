"""Drawings for black ink alone.

In: a lineage tree in colours. Out: the same tree in greys of the same lightness, kept off black
and white so that every band is seen; its words tell the lots apart. The selvedge has hatching
instead (`selvedge.bar_svg`).
"""

from __future__ import annotations

from dataclasses import replace

from provenance.figures.colour.space import Lab, hex_of, lab
from provenance.public.lineage import Tree

DARKEST, LIGHTEST = 30.0, 88.0


def greyed(tree: Tree) -> Tree:
    """The tree without colour."""
    return replace(
        tree,
        fleece_colours=tuple(grey(colour) for colour in tree.fleece_colours),
        twigs=tuple(replace(twig, colour=grey(twig.colour)) for twig in tree.twigs),
    )


def grey(colour: str) -> str:
    """The grey of the same lightness."""
    return hex_of(Lab(min(max(lab(colour)[0], DARKEST), LIGHTEST), 0.0, 0.0))
