"""`check`: reads every record, reports every mistake and remark, counts what is ready."""

import sys

import click

from provenance.commands.fitting import fitted
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.commands.voice import show, styled
from provenance.language.phrases import Phrases
from provenance.language.telling import told
from provenance.problems import Problem
from provenance.reports.check import closing_words, data_of, told_once


@click.command("check", cls=Told)
@click.option("--json", "is_json", is_flag=True)
@click.pass_obj
def command(here: Here, *, is_json: bool) -> None:
    """Read every record and look at every photo; 1 when there are mistakes."""
    here.looks_at_photos = True
    studio = here.studio
    if is_json:
        from provenance.reports.writers.data import as_json

        show(as_json(data_of(studio), here.phrases))
    else:
        for problem, others in told_once(studio.problems):
            show(*_parts(problem, here.phrases))
            if others:
                here.say(others)
        if studio.problems:
            show("")
        for words in closing_words(studio):
            here.say(words)
    sys.exit(1 if studio.mistakes else 0)


def _parts(problem: Problem, phrases: Phrases) -> tuple[str, ...]:
    """A problem in lines, its place bold."""
    place = str(problem.place)
    whole = place.replace(" ", "\N{NO-BREAK SPACE}")  # nothing is wrapped within it
    line = fitted(whole + told(problem, phrases).removeprefix(place)).removeprefix(whole)
    if not problem.is_remark:
        return styled(place, bold=True), line
    before, mark, after = line.partition(phrases.say("problem.remark"))
    return styled(place, bold=True), before, styled(mark, fg="yellow"), after
