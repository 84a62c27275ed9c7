"""What the maker reads of a piece's labels: each market's, its law, what is to be looked into.

In: a costing. Out: a table, or none where no market is known. Prompts to check, never verdicts.
"""

from collections.abc import Iterator

from provenance.figures.fibre.piecework import LOCAL_RULES
from provenance.problems import Said, Words
from provenance.reports.costing import Costing
from provenance.reports.report import Cell, Column, Table, notes, rows


def labels_of(it: Costing) -> Iterator[Table]:
    """What its label says in each market, by which law, and what is to be looked into."""
    labels = it.labels
    if not labels:
        return
    asked: dict[Words, list[str]] = {}
    for market, label in labels.items():
        for prompt in label.prompts[:-1]:
            asked.setdefault(prompt, []).append(market)
    said = [
        Said("cost.label_note", markets=", ".join(markets), note=prompt)
        for prompt, markets in asked.items()
    ]
    lines = [(market, Cell(label.text, label.regime)) for market, label in labels.items()]
    columns = (Column(Said("cost.labels_heading"), whole=True), Column(grows=True))
    yield Table(columns, rows(*lines), notes(*said, LOCAL_RULES, style="dim"))
