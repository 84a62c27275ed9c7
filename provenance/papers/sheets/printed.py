"""What is noted of sheets that were printed: the price each piece had on them.

In: the papers of an outlet and printed.yaml. Out: lines to add for prices that are new, and words
for those that differ from the sheets that lie there. A sheet carries no address.
"""

from __future__ import annotations

from provenance.papers.sheets.frame import Papers
from provenance.records.printed import Printed, printed_line

PAPER = "sheets"


def paper_of(papers: Papers) -> str:
    """The word for these sheets in printed.yaml."""
    return f"{PAPER} {papers.outlet.name}"


def last_prices(papers: Papers) -> dict[str, Printed]:
    """The last line of each piece on the sheets of this outlet."""
    paper = paper_of(papers)
    return {str(line.number): line for line in papers.setting.book.printed if line.paper == paper}


def new_lines(papers: Papers) -> str:
    """Lines for printed.yaml: pieces that were not on these sheets, or at another price."""
    last = last_prices(papers)
    lines = []
    for each in papers.pieces:
        number, price = each.facts.number, each.facts.price
        if number in last and str(last[number].price or "") == price:
            continue
        entry = {
            "on": papers.setting.today,
            "paper": paper_of(papers),
            "number": number,
            "title": each.facts.title,
            "price": price,
        }
        lines.append(printed_line(entry))
    return "".join(lines)


def changed_prices(papers: Papers) -> list[str]:
    """Pieces whose price was another on the sheets printed last."""
    last, said = last_prices(papers), []
    for each in papers.pieces:
        line = last.get(each.facts.number)
        if line is not None and str(line.price or "") != each.facts.price:
            day = papers.setting.phrases.day(line.on)
            name = f"{each.facts.number} {each.facts.title}"
            said.append(
                f"{name}: {each.facts.price}, on the sheets of {day} {line.price}: put those away"
            )
    return said
