"""Everything a show needs in one go: its papers, in papers/NAME-OF-SHOW/.

In: the border and the name of a show. Out: files, lines that tell them, problems of single photos.
Everything is made before anything is written. What is for the maker alone (a paper whose name
begins with "private-") lies in papers/private/.

A paper of a show is made by a function in `OPEN`: `(studio, show, pieces, slips) -> papers`, from
public facts alone, in the language of the show's outlet; a photo that can't be read it adds to
`slips` (number of the piece, file, why) and leaves its place empty. What needs more than public
facts (values for an insurer) is in `PRIVATE`: `(border, show) -> papers`.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from provenance.build.catalogue import Made as Catalogue
from provenance.build.catalogue import Wishes, catalogue_of
from provenance.build.outlets import write_papers
from provenance.build.start_words import hold_back, kept_from_others
from provenance.build.told import paper_lines, private_name, stale_line
from provenance.build.works import of_photos
from provenance.figures.hanging_checks import NO_SIZE
from provenance.papers.sheets.frame import Paper
from provenance.papers.shows.invitation import invitation
from provenance.papers.shows.labels import wall_labels
from provenance.papers.shows.lists import checklist, price_list
from provenance.papers.shows.plan import hanging_plan
from provenance.papers.shows.press_sheet import press_sheet
from provenance.papers.shows.reports import condition, hand_over
from provenance.papers.shows.texts import large_print, room_text
from provenance.problems import Problem, Said, Slip, Words
from provenance.public.border import Border
from provenance.public.piece import PublicPiece
from provenance.public.show import Hung, PublicShow, to_millimetre
from provenance.public.studio import PublicStudio
from provenance.records.shows import Show
from provenance.reports.show_private import insured_checklist
from provenance.studio import Studio

Slips = list[tuple[str, str, Slip]]
Maker = Callable[[PublicStudio, PublicShow, tuple[PublicPiece, ...], Slips], Sequence[Paper]]
Private = Callable[[Border, PublicShow], Sequence[Paper]]

Told = Callable[[int, int], None]

OPEN: tuple[Maker, ...] = (
    hanging_plan,
    wall_labels,
    room_text,
    large_print,
    checklist,
    price_list,
    hand_over,
    condition,
    invitation,
    press_sheet,
)
PRIVATE: tuple[Private, ...] = (insured_checklist,)


@dataclass(frozen=True, slots=True)
class ShowPapers:
    """The papers of a show, not yet written."""

    show: PublicShow
    papers: tuple[Paper, ...]
    problems: tuple[Problem, ...]
    remarks: tuple[Said, ...] = ()


def _quiet(_done: int, _whole: int) -> None:
    """Nobody listens."""


def show_papers(border: Border, name: str, told: Told = _quiet) -> ShowPapers:
    """All papers of a show; `told` hears how many are made. Raises Slip for an unknown show, and
    for the first mistake in its record: a plan that is wrong is worse than none."""
    studio = border.studio
    record = studio.show(name)
    _hold_mistakes(studio, record.record_place.file)
    hold_back(studio, "studio", "pieces")
    if not [studio.piece(number) for number in record.hung]:
        raise Slip(Said("show.nothing", title=str(record.title)), Said("show.write_works"))
    there = border.speaking(studio.book.outlets.get(str(record.outlet or "")))
    show = there.show(name)
    pieces = tuple(map(there.piece, show.numbers))
    slips: Slips = []
    makers = [partial(make, there.house, show, pieces, slips) for make in OPEN]
    makers += [partial(make, border, show) for make in PRIVATE]
    papers = list[Paper]()
    for done, make in enumerate(makers, 1):
        papers += make()
        told(done, len(makers))
    problems = list(of_photos(studio, slips))
    book = _catalogue(border, record, problems)
    if book:
        papers += book.files.values()
    remarks = book.remarks if book else ()
    return ShowPapers(show, tuple(papers), tuple(dict.fromkeys(problems)), remarks)


def _catalogue(border: Border, record: Show, problems: list[Problem]) -> Catalogue | None:
    """The catalogue that the record asks for; one that can't be made holds up no plan."""
    if not record.catalogue:
        return None
    try:
        made = catalogue_of(border, Wishes(show=str(record.name)))
    except Slip as slip:
        problems.append(Problem(slip.place or record.record_place, slip.what, slip.remedy))
        return None
    problems += made.problems
    return made


def _hold_mistakes(studio: Studio, file: str) -> None:
    """Words of the start files are mistakes here: others will read them; so is a work without a
    size, which nobody can hang by this plan."""
    unsized = (each for each in studio.problems if each.is_remark and _is_unsized(each))
    for problem in (*studio.mistakes, *kept_from_others(studio, "shows"), *unsized):
        if problem.place.file == file:
            raise problem.as_slip()


def _is_unsized(problem: Problem) -> bool:
    return isinstance(problem.what, Said) and problem.what.key == NO_SIZE


def write_show(border: Border, made: ShowPapers, shown: Callable[[Path], str]) -> Iterator[Words]:
    """Write the papers of a show; lines that tell them (`shown` is how a path is told)."""
    name = made.show.name
    folder = border.house.folder / "papers" / name
    stale = stale_line(folder, made.papers)
    write_papers(folder, made.papers, border.studio.today)
    count = Said("show.works", number=len(made.show.numbers))
    yield Said("show.head", title=made.show.title, count=count, folder=shown(folder))
    yield from paper_lines(name, made.papers)
    yield from (Said("papers.remark", what=remark) for remark in made.remarks)
    if stale:
        yield stale


def show_data(made: ShowPapers) -> dict[str, Any]:
    """For programs: the place of every work in centimetres, as decimal strings to the millimetre
    (`left cm` from the wall's left end to the work's left edge, the others heights above the
    floor), and the papers by their paths in the record folder."""
    walls = [
        {"name": wall.name, "works": [_place(work) for work in wall.works]}
        for wall in made.show.walls
    ]
    papers = [f"papers/{_path(made.show.name, paper)}" for paper in made.papers]
    return {"title": made.show.title, "walls": walls, "papers": papers}


def _place(work: Hung) -> dict[str, str]:
    heights = {"left": work.left, "centre": work.centre, "top": work.top, "hook": work.hook}
    told = {f"{what} cm": str(to_millimetre(length)) for what, length in heights.items()}
    return {"number": work.number, **told}


def _path(show: str, paper: Paper) -> str:
    return private_name(show, paper) or f"{show}/{paper.name}"
