"""What `check` found: problems, what is ready, what drafts still want.

In: the studio. Out: closing sentences for the terminal, and data for JSON with stable keys.
"""

from collections.abc import Iterable, Iterator
from dataclasses import asdict
from typing import Any

from provenance.problems import Problem, Said, Words
from provenance.records.pieces import FINISHING, Piece
from provenance.studio import Studio

MANY, SHOWN = 4, 6  # so many alike are told once, with so many further places


def closing_words(studio: Studio) -> Iterator[Said]:
    """How many pieces are ready, how much is to be mended; then every draft."""
    drafts, mistakes = _drafts(studio), len(studio.mistakes)
    yield Said(
        "check.counts",
        ready=Said("check.ready", number=len(studio.book.pieces) - len(drafts)),
        drafts=Said("check.drafts", number=len(drafts)),
        mistakes=Said("check.mistakes", number=mistakes),
        remarks=Said("check.remarks", number=len(studio.problems) - mistakes),
    )
    for piece in drafts:
        wants = tuple(words for words in piece.missing if words != FINISHING)
        still = Said("check.wants", wants=wants) if wants else Said("check.being_made")
        yield Said("check.draft", piece=str(piece.number), title=str(piece.title), still=still)


def told_once(problems: Iterable[Problem]) -> Iterator[tuple[Problem, Words]]:
    """Each problem; one slip made again and again stands once, with the places of the others."""
    alike: dict[object, list[Problem]] = {}
    for problem in problems:
        alike.setdefault(_slip(problem), []).append(problem)
    for first, *others in alike.values():
        if len(others) < MANY - 1:
            yield from ((each, "") for each in (first, *others))
            continue
        places = [str(each.place) for each in others[:SHOWN]]
        some = ", ".join([*places, "..."] if len(others) > SHOWN else places)
        yield first, Said("check.more_alike", number=len(others), places=some)


def _slip(problem: Problem) -> object:
    """What makes two problems one slip: the same words; a comma in a number, whatever number."""
    what = problem.what
    if isinstance(what, Said) and what.key == "word.lead":
        what = dict(what.pairs)["what"]
    if isinstance(what, Said) and what.key == "amount.comma":
        return what.key
    return problem.what, problem.remedy, problem.weight


def _drafts(studio: Studio) -> list[Piece]:
    return [piece for piece in studio.book.pieces.values() if piece.is_draft]


def data_of(studio: Studio) -> dict[str, Any]:
    """Problems and counts."""
    drafts = len(_drafts(studio))
    broken = studio.book.broken.get("pieces", frozenset())
    return {
        "problems": [_problem(problem) for problem in studio.problems],
        "pieces": {"ready": len(studio.book.pieces) - drafts, "draft": drafts},
        "unreadable": sorted(number for number in broken if number != "*"),
    }


def _problem(problem: Problem) -> dict[str, Any]:
    said = {"what": problem.what, "remedy": problem.remedy, "weight": problem.weight}
    return {**asdict(problem.place), **said}
