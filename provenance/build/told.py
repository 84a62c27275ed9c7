"""What a run of tags, papers or certificates did, in lines for the maker.

In: the run, where its files lie. Out: sentences: what was made, what was left out and why.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

from provenance.build.certificates import Issued
from provenance.build.tags import TagRun
from provenance.papers.sheets.frame import PRIVATE, Paper
from provenance.problems import Said, Words
from provenance.studio import Studio

SHOWN = 8
PRIVATE_FOLDER = "private"


def tag_lines(run: TagRun, path: str, *, has_site: bool) -> Iterator[Words]:
    """Where the sheets lie, and what is not on them, with the reason."""
    if run.content:
        sheets = Said("tags.sheets", number=run.sheets)
        yield Said(
            "tags.made", tags=Said("tags.tags", number=len(run.tags)), sheets=sheets, path=path
        )
        yield Said("tags.hold")
    else:
        yield Said("tags.none")
    for why, numbers in _by_reason(run.left_out).items():
        yield Said("tags.left_out", why=why, numbers=_few(numbers))
    for why, numbers in _by_reason(run.left_off).items():
        yield Said("tags.no_room", why=why, numbers=_few(numbers))
    if not has_site and any("studio" in tag.words.text for tag in run.tags):
        yield Said("tags.no_code")


def _few(names: Sequence[str]) -> Words:
    """All of a few names, the first of many."""
    if len(names) <= SHOWN:
        return ", ".join(names)
    return Said("tags.few", names=", ".join(names[: SHOWN - 2]), more=str(len(names) - SHOWN + 2))


def _by_reason(said: Iterable[tuple[str, Words]]) -> dict[Words, list[str]]:
    found: dict[Words, list[str]] = {}
    for number, why in said:
        found.setdefault(why, []).append(number)
    return found


def private_name(outlet: str, paper: Paper) -> str:
    """Where in papers/ a paper for the maker alone lies; '' for one that may be handed out."""
    kind, dot, ending = paper.name.removeprefix(PRIVATE).rpartition(".")
    is_private = paper.name.startswith(PRIVATE)
    return f"{PRIVATE_FOLDER}/{kind}-{outlet}{dot}{ending}" if is_private else ""


def paper_lines(outlet: str, papers: Sequence[Paper]) -> Iterator[Words]:
    """Public first, then what is for the maker alone; a list and its CSV on one line."""
    for paper in sorted(papers, key=lambda each: each.name.startswith(PRIVATE)):
        if paper.name.endswith(".csv"):
            continue
        both = [paper, *(each for each in papers if each.name == _csv_of(paper))]
        private = [private_name(outlet, each) for each in both]
        if all(private):
            files = ", ".join(f"papers/{name}" for name in private)
            yield Said("papers.private", about=paper.about, files=files)
        else:
            yield Said("papers.line", about=paper.about, files=", ".join(e.name for e in both))


def _csv_of(paper: Paper) -> str:
    return f"{paper.name.rsplit('.', 1)[0]}.csv"


def stale_line(folder: Path, papers: Sequence[Paper]) -> Words:
    """Files of an earlier run that this one does not write; the maker's to keep or throw away."""
    names = {paper.name for paper in papers if not paper.name.startswith(PRIVATE)}
    found = sorted(folder.rglob("*")) if folder.is_dir() else []
    stale = [
        name for path in found
        if path.is_file() and not path.name.startswith(".")
        and (name := path.relative_to(folder).as_posix()) not in names
    ]  # fmt: skip
    return Said("papers.stale", files=_few(stale)) if stale else ""


def certificate_lines(
    issued: Issued, studio: Studio, shown: Callable[[Path], str]
) -> Iterator[Words]:
    """Which issue it is and where it lies, or why there is none."""
    title = str(studio.piece(issued.number).record.title)
    named = {"number": issued.number, "title": title}
    if issued.slip:
        yield Said("certificate.refused", what=issued.slip.what, **named)
        if issued.slip.remedy:
            yield Said("certificate.remedy", remedy=issued.slip.remedy)
    elif issued.issue and issued.path:
        key = "certificate.made_new" if issued.issue.is_new else "certificate.made_same"
        number, path = str(issued.issue.number), shown(issued.path)
        yield Said(key, issue=number, day=issued.issue.on, path=path, **named)
