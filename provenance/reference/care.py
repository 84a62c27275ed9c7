"""Sentences about the care of finished pieces, and the bands conservators keep to.

In: `tables/care.toml`. Out: which sentences a hang-tag has words for, and the bands with their
sources. Words only, in `language/`: the care symbols of ISO 3758 are licensed trademarks
(ginetex.net) and are never drawn.
"""

from functools import cache

from provenance.reference.loader import rows, table
from provenance.reference.sourced import Note, notes


@cache
def tag_sentences() -> frozenset[str]:
    """Keys of the sentences that have shorter words for a hang-tag."""
    return frozenset(row["key"] for row in rows("care") if row.get("on_tag"))


@cache
def bands() -> tuple[Note, ...]:
    """Climate, pests and ultraviolet, as conservators advise."""
    return notes("conservation", table("care")["band"])
