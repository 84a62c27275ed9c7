"""The stall in the pocket of a fair or an open studio: its facts, letters and photos put together.

In: the border in the outlet's language, what hangs there. Out: the `Paper` for a phone.
"""

from collections.abc import Sequence

from provenance.build.letters import site_letters
from provenance.papers.sheets.frame import Display, Paper
from provenance.papers.stall.page import LETTERS, stall
from provenance.public.border import Border
from provenance.public.stall import deposit_of, offered
from provenance.records.lots import Outlet
from provenance.studio import Worked

WITH_STALL = ("fair", "studio")


def stall_paper(
    border: Border, display: Display, outlet: Outlet, worked: Sequence[Worked]
) -> list[Paper]:
    """The page for a phone; none for an outlet where somebody else sells."""
    if outlet.kind not in WITH_STALL:
        return []
    told = offered(border, outlet, worked)
    return [stall(display, told, deposit_of(border), site_letters(LETTERS))]
