"""How a piece was made, as a chain: what came in, what was done, what came of it.

The shapes alone: things, steps, and the whole. `making_trail` fills them; the museum export, the
lineage file and structured data are written from them.
"""

from dataclasses import dataclass
from fractions import Fraction

from provenance.reference.aat import Term

BEFORE_YARN = ("scouring", "carding", "combing", "spinning", "plying")


@dataclass(frozen=True, slots=True)
class Thing:
    """A lot, a material, a state between two steps, or the piece.

    `kind` is "fleece", "bought yarn", "dyestuff", "mordant", "between", "yarn", "lot" or "piece";
    `grams` None: not told.
    """

    id: str
    kind: str
    name: str
    grams: Fraction | None = None
    term: Term | None = None
    fibres: tuple[str, ...] = ()
    species: str = ""
    farm: str = ""
    shorn: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One work: what it used, by id, and the one thing that came of it."""

    id: str
    work: str
    used: tuple[str, ...]
    made: str


@dataclass(frozen=True, slots=True)
class Making:
    """All things and steps of a piece, what came in first."""

    things: tuple[Thing, ...]
    steps: tuple[Step, ...]

    @property
    def works(self) -> tuple[str, ...]:
        """What was done, each once, in order."""
        order = (*BEFORE_YARN, "mordanting", "dyeing")
        found = {step.work for step in self.steps}
        last = tuple(work for work in found if work not in order)
        return tuple(work for work in order if work in found) + last

    def of(self, kind: str) -> tuple[Thing, ...]:
        """Things of one kind."""
        return tuple(thing for thing in self.things if thing.kind == kind)
