"""How much Markdown one text may hold: what is let by is read in a second or two.

In: a text of the maker. Out: where it is too much, with what is wrong and what would be right.
Found in one pass, before Python-Markdown sees the text: the time that takes grows with the marks
times the length of a paragraph, and with the depth of lists and quotations. The bounds are ours:
200 kB dense with links, lists and emphasis hold fewer.
"""

import re

from provenance.problems import Said

MOST_MARKS = 30_000
MOST_IN_PARAGRAPH = 15_000
DEEPEST = 30
_MARK = re.compile(r"[\[<*_`\\&#>=]|(\n[ ]*+\n\n*)|\n(?=[^\n])|(?<!\S)(?:[-+]|[0-9]{1,9}\.)(?= )")
_LEAD = re.compile(r"(?:[ \t]*(?:>|(?:[-*+]|[0-9]{1,9}[.)])(?=[ \t])))+", re.ASCII)


def too_much(text: str) -> tuple[int, int, Said, Said] | None:
    """Line and column, from 1, what is too much there and what would be right; None if all is
    well."""
    if deep := too_deep(text):
        return *deep, Said("text.too_deep"), Said("text.less_deep")
    if many := too_many(text):
        most = {"most": f"{MOST_MARKS // 1000}", "near": f"{MOST_IN_PARAGRAPH // 1000}"}
        remedy = Said("text.fewer_marks", **most)
        return *many, Said("text.too_many"), remedy
    return None


def too_deep(text: str, deepest: int = DEEPEST) -> tuple[int, int] | None:
    """Line and column, from 1, where quotations and lists lie too many levels inside each other."""
    for number, line in enumerate(text.split("\n"), 1):
        found = _LEAD.match(line)
        if found and _levels(found[0]) > deepest and set(line.split()) not in ({"-"}, {"*"}):
            return number, 1
    return None


def too_many(text: str) -> tuple[int, int] | None:
    """Line and column, from 1, of the first mark or line beyond the most."""
    in_paragraph = 0
    for marks, found in enumerate(_MARK.finditer(text), 1):
        in_paragraph = 0 if found[1] else in_paragraph + 1
        if marks > MOST_MARKS or in_paragraph > MOST_IN_PARAGRAPH:
            start = found.end() if found[0].endswith("\n") else found.start()
            return text.count("\n", 0, start) + 1, start - text.rfind("\n", 0, start)
    return None


def _levels(lead: str) -> int:
    """How deep the words after these signs may lie: two columns of space are a level, too."""
    signs = len(re.findall(r"[>*+.)-]", lead))
    return signs + (len(re.match(r"[ \t]*", lead)[0].expandtabs(4))) // 2  # type: ignore[index]
