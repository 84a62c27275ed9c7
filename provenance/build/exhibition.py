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
from pathlib import Path

from provenance.build.outlets import write_papers
from provenance.build.start_words import hold_back
from provenance.build.told import paper_lines, stale_line
from provenance.papers.sheets.frame import Paper
from provenance.problems import Problem, Said, Slip, Words
from provenance.public.border import Border
from provenance.public.piece import PublicPiece
from provenance.public.show import PublicShow
from provenance.public.studio import PublicStudio

Slips = list[tuple[str, str, Slip]]
Maker = Callable[[PublicStudio, PublicShow, tuple[PublicPiece, ...], Slips], Sequence[Paper]]
Private = Callable[[Border, PublicShow], Sequence[Paper]]

OPEN: tuple[Maker, ...] = ()
PRIVATE: tuple[Private, ...] = ()


@dataclass(frozen=True, slots=True)
class ShowPapers:
    """The papers of a show, not yet written."""

    show: PublicShow
    papers: tuple[Paper, ...]
    problems: tuple[Problem, ...]


def show_papers(border: Border, name: str) -> ShowPapers:
    """All papers of a show. Raises Slip for an unknown show, and for the first mistake in its
    record: a plan that is wrong is worse than none."""
    studio = border.studio
    record = studio.show(name)
    _hold_mistakes(border, record.record_place.file)
    hold_back(studio, "studio", "pieces", "shows")
    there = border.speaking(studio.book.outlets.get(str(record.outlet or "")))
    show = there.show(name)
    pieces = tuple(map(there.piece, show.numbers))
    slips: Slips = []
    papers = [paper for make in OPEN for paper in make(there.house, show, pieces, slips)]
    papers += [paper for make in PRIVATE for paper in make(border, show)]
    return ShowPapers(show, tuple(papers), tuple(dict.fromkeys(_problems(border, slips))))


def _hold_mistakes(border: Border, file: str) -> None:
    for problem in border.studio.mistakes:
        if problem.place.file == file:
            what = Said("problem.placed", place=str(problem.place), what=problem.what)
            raise Slip(what, problem.remedy)


def _problems(border: Border, slips: Slips) -> Iterator[Problem]:
    """Told where the photo is named."""
    for number, file, slip in slips:
        place = border.studio.piece(number).record.place_of(file)
        yield Problem(place, slip.what, slip.remedy)


def write_show(border: Border, made: ShowPapers, shown: Callable[[Path], str]) -> Iterator[Words]:
    """Write the papers of a show; lines that tell them (`shown` is how a path is told)."""
    name = made.show.name
    folder = border.house.folder / "papers" / name
    stale = stale_line(folder, made.papers)
    write_papers(folder, made.papers, border.studio.today)
    count = Said("show.works", number=len(made.show.numbers))
    yield Said("show.head", title=made.show.title, count=count, folder=shown(folder))
    yield from paper_lines(name, made.papers)
    if stale:
        yield stale
