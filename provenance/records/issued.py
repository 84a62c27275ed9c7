"""studio/issued/: every quotation that went to a client, as it went; kept by the program.

In: the folder, or a new issue. Out: frozen issues by commission, oldest first, or the text of a
file. What was handed out is a promise: its paper, its figures and its day never change, whatever
pay, history or stock become. A later issue takes the place of an earlier one and leaves it as it
is. Whether the commission's record still asks for the same, its digest tells.
"""

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from provenance.problems import Place, Problems, Said
from provenance.records.commissions import Commission
from provenance.records.quantities import Quantity

FOLDER = Path("studio") / "issued"
MOST_BYTES = 2_000_000
# What may be noted in a commission after the quotation went out, without asking for anything else.
NOTED_LATER = frozenset({"status", "accepted", "notes", "quoted", "asked"})


@dataclass(frozen=True, slots=True)
class Issue:
    """One quotation as it went out, on a day, and held until another.

    `asked` is the digest of what the commission asked for. `paper` is all that stands on the
    client's paper, `data` what programs are told, `sheet` and `workings` what the maker read.
    """

    commission: str
    number: int
    on: date
    until: date
    asked: str
    paper: Mapping[str, Any]
    data: Mapping[str, Any]
    sheet: str
    workings: str

    @property
    def name(self) -> str:
        """`2026-C01` of the first issue, `2026-C01-2` of the second."""
        return self.commission if self.number == 1 else f"{self.commission}-{self.number}"

    @property
    def file(self) -> Path:
        """Where it is kept, below the record folder."""
        return FOLDER / f"{self.commission}-{self.number}.json"


Paper = TypeVar("Paper")


@cache
def _issue() -> TypeAdapter[Issue]:
    return TypeAdapter(Issue)  # made when there is an issue: few studios have one


def as_kept(paper: Any) -> dict[str, Any]:
    """A frozen dataclass of plain fields as what JSON can hold."""
    kept: dict[str, Any] = TypeAdapter(type(paper)).dump_python(paper, mode="json")
    return kept


def from_kept(sort: type[Paper], kept: Mapping[str, Any]) -> Paper:
    """The same again."""
    return TypeAdapter(sort).validate_python(kept)


def sent_and_until(commission: Commission, issue: Issue | None) -> tuple[date, date] | None:
    """The day a quotation was sent and its last one; None while none is known to have been."""
    if issue:
        return issue.on, issue.until
    sent = commission.quoted
    return (sent, sent + timedelta(days=commission.valid)) if sent else None


def issue_text(issue: Issue) -> str:
    """An issue as the text of its file."""
    return json.dumps(_issue().dump_python(issue, mode="json"), ensure_ascii=False, indent=1) + "\n"


def read_issued(folder: Path, problems: Problems) -> dict[str, tuple[Issue, ...]]:
    """The issues of each commission, oldest first."""
    found: dict[str, list[Issue]] = {}
    for path in sorted((folder / FOLDER).glob("*.json")):
        issue = _read(path)
        if issue is None:
            place = Place((FOLDER / path.name).as_posix())
            problems.add(place, Said("file.issue"), Said("file.issue_kept"))
        else:
            found.setdefault(issue.commission, []).append(issue)
    return {
        number: tuple(sorted(issues, key=lambda issue: issue.number))
        for number, issues in found.items()
    }


def _read(path: Path) -> Issue | None:
    if path.stat().st_size > MOST_BYTES:
        return None
    try:
        issue = _issue().validate_json(path.read_bytes())
    except ValidationError:
        return None
    return issue if issue.file.name == path.name else None


def asked_digest(commission: Commission) -> str:
    """A digest of what is asked for: the same whatever the comments, the order, the spaces."""
    asked = commission.model_dump(exclude=set(NOTED_LATER))
    text = json.dumps(_bare(asked), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def _bare(value: Any) -> Any:
    """Plain values without the places they were written at."""
    if isinstance(value, Mapping):
        return {str(key): _bare(each) for key, each in value.items() if key not in _ABOUT}
    if isinstance(value, (list, tuple)):
        return [_bare(each) for each in value]
    if isinstance(value, Quantity):
        return str(value.numerator) + "/" + str(value.denominator)
    return None if value is None else re.sub(r"\s+", " ", str(value))


_ABOUT = frozenset({"place", "written"})
