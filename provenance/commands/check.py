"""`check`: reads every record, reports every mistake and remark, counts what is ready."""

from __future__ import annotations

import json
import sys
from typing import Any

import click

from provenance.commands.studio import Here, Opened
from provenance.language.phrases import british
from provenance.problems import Problem
from provenance.records.pieces import FINISHING


@click.command("check")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
@click.pass_obj
def command(here: Here, *, as_json: bool) -> None:
    """Read every record and report every mistake and remark."""
    opened = here.studio
    if as_json:
        click.echo(json.dumps(as_data(opened), ensure_ascii=False, indent=1))
    else:
        for line in said(opened):
            click.echo(line)
    sys.exit(1 if opened.mistakes else 0)


def as_data(opened: Opened) -> dict[str, Any]:
    """Problems and counts with stable keys."""
    drafts = [piece for piece in opened.book.pieces.values() if piece.is_draft]
    broken = opened.book.broken.get("pieces", frozenset())
    return {
        "problems": [_problem(problem) for problem in opened.problems],
        "pieces": {"ready": len(opened.book.pieces) - len(drafts), "draft": len(drafts)},
        "unreadable": sorted(number for number in broken if number != "*"),
    }


def _problem(problem: Problem) -> dict[str, Any]:
    return {
        "file": problem.place.file,
        "line": problem.place.line,
        "column": problem.place.column,
        "what": british().tell(problem.what),
        "remedy": british().tell(problem.remedy),
        "weight": problem.weight,
    }


def said(opened: Opened) -> list[str]:
    """The report in lines: each problem with its place and remedy, then what is ready."""
    lines: list[str] = []
    for problem in opened.problems:
        mark = "" if not problem.is_remark else click.style("remark: ", fg="yellow")
        lines.append(
            f"{click.style(str(problem.place), bold=True)}: {mark}{british().tell(problem.what)}"
        )
        if problem.remedy:
            lines.append(f"    {british().tell(problem.remedy)}")
    if lines:
        lines.append("")
    return lines + _counts(opened)


def _counts(opened: Opened) -> list[str]:
    drafts = [piece for piece in opened.book.pieces.values() if piece.is_draft]
    ready = len(opened.book.pieces) - len(drafts)
    mistakes = len(opened.mistakes)
    remarks = len(opened.problems) - mistakes
    found = [counted(mistakes, "mistake"), counted(remarks, "remark")]
    lines = [
        f"{counted(ready, 'piece')} ready, {counted(len(drafts), 'draft')}; {', '.join(found)}."
    ]
    for piece in drafts:
        wants = [british().tell(each) for each in piece.missing if each != FINISHING]
        still = f"still wants {_listed(wants)}" if wants else "still being made"
        lines.append(f"  draft {piece.number} {piece.title}: {still}")
    return lines


def _listed(words: list[str]) -> str:
    """`a kind, a size and a photo`."""
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)


def counted(number: int, noun: str) -> str:
    """`no mistakes`, `1 mistake`, `3 mistakes`."""
    return f"1 {noun}" if number == 1 else f"{number or 'no'} {noun}s"
