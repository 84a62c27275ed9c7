"""The demo studio, broken at random: nothing raises, and every problem has a place and a remedy.

Lines of the records are taken out, doubled, exchanged and overwritten; then everything that reads
the book is run over what is left of it.
"""

from __future__ import annotations

import re
import tempfile
from datetime import date
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from provenance.figures.cloth.balance import balance
from provenance.figures.fibre.of_piece import fibre_parts
from provenance.figures.flow.gather import studio_flow
from provenance.figures.flow.strands import yarns_of
from provenance.figures.money.cost import cost_sheet
from provenance.figures.review import review_figures
from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.problems import Problem, Said
from provenance.records.book import read_book
from provenance.records.checks import review
from provenance.records.checks_days import of_today

DEMO = Path(__file__).parents[2] / "pieces"
FILES = {
    path.relative_to(DEMO).as_posix(): path.read_text(encoding="utf-8").split("\n")
    for path in sorted(DEMO.rglob("*.yaml"))
    if not {"papers", ".printed", "printed.yaml"} & set(path.parts)
}
PROGRAM_WORDS = re.compile(r"pydantic|Value error|Input should|NoneType|Traceback")
# These can come about by chance in a maker's word, torn apart: 'str-1ture' was once 'structure'.
SHORT_WORDS = re.compile(r"\b(dict|tuple|str|int|validation)\b")

odd_values = st.sampled_from(
    ["0", "-1", "999999999999", "1e9", "~", '""', "[]", "{}", "[a, b]", "{a: b}", "*x", "&x y",
     "12:30", "no", "3,5", "½", "1/0", "0 g", "0 %", "200 %", "5 %", "1 kg", "3 cm", "2026-014",
     "marsh-green", "gotland-2ply", "iron", "marsh", "#abc", '"#6f7a38"', "2026-02-31", "|", ">",
     "'", '"', "{", "}", "[", "]", ":", "-", "\t", "\x00", "é", "!t", "? ", "<<", "...", "---"]
)  # fmt: skip
mutations = st.lists(
    st.tuples(
        st.sampled_from(sorted(FILES)),
        st.sampled_from(["take out", "double", "exchange", "value", "overwrite"]),
        st.floats(0, 0.999),
        st.floats(0, 0.999),
        odd_values,
    ),
    min_size=1,
    max_size=5,
)


def broken(file: str, how: str, where: float, inside: float, odd: str, files: dict) -> None:
    lines = files[file]
    if not lines:
        return
    at = int(where * len(lines))
    line = lines[at]
    column = int(inside * (len(line) + 1))
    match how:
        case "take out":
            del lines[at]
        case "double":
            lines.insert(at, line)
        case "exchange":
            others = FILES[sorted(FILES)[int(inside * len(FILES))]]
            lines[at] = others[at % len(others)]
        case "value":
            lines[at] = f"{line.split(':')[0]}: {odd}"
        case "overwrite":
            lines[at] = line[:column] + odd + line[column + 2 :]


def ours(words: Any) -> Any:
    """A sentence of ours with the maker's own words left out."""
    if isinstance(words, Said):
        kept = {"link"}  # the key of a phrase
        return Said(words.key, **{n: v if n in kept else ours(v) for n, v in words.pairs})
    if isinstance(words, tuple):
        return tuple(ours(each) for each in words)
    return re.sub("[a-z]+", "_", words) if isinstance(words, str) else words


def everything_found(folder: Path) -> list[Problem]:
    book, problems = read_book(folder)
    assert book is not None
    flow = studio_flow(book)
    for piece in book.pieces.values():
        cost_sheet(book, flow, piece)
        yarns_of(book, piece, {})
        fibre_parts(book, piece, balance(book, piece).cloth)
    return [
        *problems,
        *review(book),
        *review_figures(book, flow),
        *of_today(book, date(2026, 11, 20)),
    ]


@settings(max_examples=40 if settings.default.derandomize else settings.default.max_examples)
@given(mutations)
def test_broken_records_are_told_and_never_raise(changes):
    files = {name: list(lines) for name, lines in FILES.items()}
    for change in changes:
        broken(*change, files)
    with tempfile.TemporaryDirectory() as holder:
        folder = Path(holder) / "pieces"
        for name, lines in files.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text("\n".join(lines), encoding="utf-8")
        for problem in everything_found(folder):
            lines = files[problem.place.file.removeprefix("pieces/")]
            text = "\n".join(lines).replace("\r", "\n").split("\n")
            assert 0 <= problem.place.line <= len(text)
            if problem.place.line:
                assert 1 <= problem.place.column <= len(text[problem.place.line - 1]) + 2
            assert not PROGRAM_WORDS.search(told(problem, british())), problem
            for words in (problem.what, problem.remedy):
                assert not SHORT_WORDS.search(british().tell(ours(words))), problem
