"""A changed record read again: whether one value differs, and nothing else.

In: a record's text, the bytes that are to take its place, the path to the value. Out: the value
before and after, bare of places; None where something else would be read otherwise, too.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from provenance.problems import Problem, Problems
from provenance.records.spans import RecordText
from provenance.records.text import Fields, Items, Written
from provenance.records.yaml_file import read_text

OPEN = ["", False, False]  # nothing at all is written


def reread(text: RecordText, changed: bytes, path: tuple[str | int, ...]) -> tuple[Any, Any] | None:
    """The one value before and after; None where anything beside it differs."""
    problems = Problems()
    value = read_text(changed, text.file, problems)
    if list(map(_said, problems)) != list(map(_said, text.problems)):
        return None
    (rest_before, old), (rest, new) = (_taken_out(each, path) for each in (text.value, value))
    return (old, new) if json.dumps(rest_before) == json.dumps(rest) else None


def _said(problem: Problem) -> tuple[Any, ...]:
    return problem.what, problem.remedy, problem.is_remark


def _taken_out(value: Any, path: tuple[str | int, ...]) -> tuple[Any, Any]:
    """All that is said, in its order, but for one value; and that value."""
    whole = _bare(value)
    home = whole
    for step in path[:-1]:
        home = home[step]
    return whole, home.pop(path[-1], None) if isinstance(home, dict) else None


def _bare(value: Any) -> Any:
    if isinstance(value, Fields):
        return {str(word): _bare(each) for word, each in value.items()}
    if isinstance(value, Items):
        return [_bare(each) for each in value]
    return [str(value), value.quoted, value.block] if isinstance(value, Written) else value


def means(new: Any, value: str | Mapping[str, Any]) -> bool:
    """Whether a value that was read again is what was to be written, in its order."""
    if isinstance(value, str):
        return isinstance(new, list) and len(new) == 3 and new[0] == value
    is_same = isinstance(new, dict) and list(new) == list(value)
    return is_same and all(means(new[word], each) for word, each in value.items())
