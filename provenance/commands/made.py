"""What a command has made, told: files in lines or as data, what is wrong with them, how it ends.

In: data for programs, or lines for people; problems. Out: printed; the exit code.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from provenance.commands.here import Here
from provenance.commands.voice import show
from provenance.problems import Problem, Words
from provenance.reports.writers.data import as_json


def tell_made(
    here: Here, data: Mapping[str, Any] | None, lines: Iterable[Words], problems: Iterable[Problem]
) -> int:
    """What was made, as data where there is some, else in lines; then what is wrong with it. The
    exit code: 1 where anything is more than a remark."""
    if data is not None:
        show(as_json(data, here.phrases))
    else:
        for line in lines:
            here.say(line)
    found = tuple(problems)
    here.tell(found)
    return 0 if all(problem.is_remark for problem in found) else 1
