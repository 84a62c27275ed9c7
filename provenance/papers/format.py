"""The paper that certificates, sheets and quotations are printed on: A4 or Letter, colour or black.

In: the public studio, a wish. Out: the format. Sizes in millimetres: ISO 216, ANSI/ASME Y14.1.
"""

from dataclasses import dataclass

from provenance.public.studio import PublicStudio

SIZES_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
SELVEDGE_MM = 10.0


@dataclass(frozen=True, slots=True)
class Format:
    """A4 or Letter, and whether it is for black ink alone."""

    name: str = "A4"
    is_black: bool = False

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height."""
        return SIZES_MM[self.name]


def format_for(studio: PublicStudio, name: str = "", *, black: bool = False) -> Format:
    """The format asked for, else the studio's own where it is A4 or Letter, else its country's."""
    wanted = (name or studio.sheet).strip().casefold()
    usual = "Letter" if studio.phrases.is_american else "A4"
    found = next((each for each in SIZES_MM if each.casefold() == wanted), usual)
    return Format(found, black or studio.is_black)
