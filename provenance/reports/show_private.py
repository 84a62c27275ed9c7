"""The checklist of a show with what each work is insured for: for the maker, carrier and insurer.

In: the border, a show. Out: "private-checklist" as PDF and CSV in the maker's own language, which
are filed in papers/private/, never among what hangs or is handed out.
"""

from collections.abc import Sequence

from provenance.papers.sheets.frame import Paper
from provenance.papers.shows.lists import private_checklist
from provenance.papers.shows.room import Room
from provenance.public.border import Border
from provenance.public.insured import insured_for
from provenance.public.show import PublicShow


def insured_checklist(border: Border, show: PublicShow) -> Sequence[Paper]:
    """Every work as it hangs, its value and the reason, the sum of all."""
    own, outlet = border.show(show.name), border.book.outlets.get(show.outlet)
    room = Room(border.house, tuple(map(border.piece, own.numbers)), own)
    worked = {number: border.studio.piece(number) for number in own.numbers}
    values = {number: insured_for(border, outlet, each) for number, each in worked.items()}
    return private_checklist(room, values)
