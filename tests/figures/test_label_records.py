"""Labels and notes from whole records against the law: each case has article or section beside it
in tests/truth/label_records.toml. And every rule of ours has a record that makes it be said."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from provenance.figures.cloth.balance import cloth_weight
from provenance.figures.flow.gather import studio_flow
from provenance.figures.review import review_figures
from provenance.language.phrases import british
from provenance.papers.tags.words import tag_words
from provenance.problems import Said, Words
from provenance.public.border import Border
from provenance.records.book import read_book
from provenance.reports.cost import cost_report
from provenance.reports.report import Note, Report, Table
from provenance.studio import Studio

ROOT = Path(__file__).parents[2]
TRUTH = ROOT / "tests" / "truth" / "label_records.toml"
CASES = tomllib.loads(TRUTH.read_text(encoding="utf-8"))["case"]
SHIPPED = tomllib.loads(
    (ROOT / "provenance/language/en-GB/labels.toml").read_text(encoding="utf-8")
)
YARNS = """
wool: {fibre: wool, weight: 9 kg, cost: 9}
linen: {fibre: linen, weight: 9 kg, cost: 9}
cotton: {fibre: cotton, weight: 9 kg, cost: 9}
"""
NUMBER = "2026-001"
MADE_FROM = ("piece", "studio", "yarns", "fleece", "sundries", "outlets", "title")
Make = Callable[..., Studio]


@pytest.fixture
def made(write_studio: Callable[[dict[str, str]], Path]) -> Make:
    def make(piece: str, **more: str) -> Studio:
        studio = f"studio: Test\nmaker: Ann Tester\n{more.get('studio', '')}\n"
        if "labels for" not in studio:
            studio += "labels for: [UK, EU, US]\n"
        files = {"studio/studio.yaml": studio, "studio/yarns.yaml": YARNS + more.get("yarns", "")}
        files |= {
            f"studio/{name}.yaml": more[name] for name in ("fleece", "sundries") if name in more
        }
        files |= {"studio/outlets.yaml": more["outlets"]} if "outlets" in more else {}
        title = more.get("title", "One")
        start = f"number: 2026-001\ntitle: {title}\nprice: 90\nhours: {{weaving: 9}}\n"
        size = "" if "size:" in piece else "size: 100 x 80 cm\n"
        files["2026-001.yaml"] = start + size + piece.lstrip("\n")
        book, problems = read_book(write_studio(files))
        assert [british().tell(each.what) for each in problems if not each.is_remark] == []
        return Studio(book, studio_flow(book), {}, date(2026, 11, 26))

    return make


def parts_of(report: Report) -> Iterator[Words]:
    for part in report.parts:
        if isinstance(part, Note):
            yield part.words
        elif isinstance(part, Table):
            yield from (note.words for note in part.notes)
            yield from (w for row in part.rows for c in row.full for w in (c.words, c.aside))


def on_the_cost_sheet(studio: Studio) -> list[str]:
    """Every sentence of the maker's own sheet."""
    return [british().tell(words) for words in parts_of(cost_report(studio.piece(NUMBER)))]


def without_markets(sentences: list[str]) -> list[str]:
    return [re.sub(r"^(?:UK|EU|US)(?:, (?:UK|EU|US))*: ", "", sentence) for sentence in sentences]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_records_give_the_label_the_law_asks_for(case: dict[str, Any], made: Make) -> None:
    studio = made(**{k: v for k, v in case.items() if k in MADE_FROM})
    worked = studio.piece(NUMBER)
    found = {market: british().tell(each.text) for market, each in worked.labels.items()}
    wanted = case.get("labels", {})
    assert {market: found[market] for market in wanted} == wanted
    said = without_markets(on_the_cost_sheet(studio))
    for start in case.get("asks", ()):
        assert [each for each in said if each.startswith(start)], start
    for start in case.get("silent", ()):
        assert not [each for each in said if each.startswith(start)], start
    if "origin" in case:
        assert Border(studio).piece(NUMBER).content.origin == case["origin"]
    if "offered" in case:
        assert Border(studio).piece(NUMBER).content.offered == case["offered"]


def test_every_case_has_its_source() -> None:
    assert len(CASES) >= 30
    assert all(
        case["sure"] in "RMC" and re.search("Art|Annex|CFR|USC", case["source"]) for case in CASES
    )
    assert all(case.keys() & {"labels", "asks", "silent", "origin", "offered"} for case in CASES)


def test_parts_are_taken_off_the_finished_weight(made: Make) -> None:
    studio = made(
        "kind: throw\nweight: 1 kg\nyarns: [{use: weft, lot: wool, weight: 800 g}]\n"
        "parts: {lining: {fibre: cotton, weight: 150 g}}\nsundries: {label: 50 g}\n",
        sundries="label: {fibre: cotton, weight: 1 kg, cost: 4, part: tape}\n",
    )
    assert cloth_weight(studio.book, studio.piece(NUMBER).record) == Fraction(800)


# Every key of these groups, and a record that makes it be said.
GROUPS = ("content", "us_content", "section", "law", "label_note", "origin", "us_tag", "cashmere")
MORE_YARNS = """
nettles: {fibre: nettle, weight: 1 kg, cost: 9}
rags: {fibre: rags, weight: 9 kg, cost: 9}
again: {fibre: wool, weight: 9 kg, cost: 9, recycled: yes}
trace: {fibre: {wool: 99.9 %, silk: 0.1 %}, weight: 9 kg, cost: 9}
"""
RULES = tomllib.loads((TRUTH.parent / "label_rules.toml").read_text(encoding="utf-8"))["rule"]


def records() -> dict[str, dict[str, str]]:
    """Each rule's key, and the records that make it be said."""
    cases = {case["id"]: case for case in CASES}
    written = ((rule["keys"], cases[rule["case"]] if "case" in rule else rule) for rule in RULES)
    return {
        key: {word: text for word, text in record.items() if word in MADE_FROM}
        for keys, record in written
        for key in keys
    }


def keys_in(words: Any) -> Iterator[str]:
    """The phrases that a sentence is told with."""
    if isinstance(words, Said):
        yield words.key
        for name, value in words.pairs:
            yield from [value] if name == "link" else ()
            yield from keys_in(value)
    elif isinstance(words, tuple):
        for each in words:
            yield from keys_in(each)


def everything_said(studio: Studio) -> str:
    """The maker's sheet, the tag, the line that describes the piece, and the review."""
    outlet = next(iter(studio.book.outlets.values()), None)
    border = Border(studio).speaking(outlet)
    facts = border.piece(NUMBER)
    tag = tag_words(facts, border.house, border.outlet(str(outlet.name)) if outlet else None)
    remarks = (
        w for each in review_figures(studio.book, studio.flow) for w in (each.what, each.remedy)
    )
    offered = facts.content.offered
    said = [*on_the_cost_sheet(studio), *tag.text.values(), facts.fibres, offered]
    return "\n".join([*said, *map(british().tell, remarks)])


def test_every_rule_has_its_record() -> None:
    every = {f"{group}.{word}" for group in GROUPS for word in SHIPPED[group]}
    assert sorted(every - records().keys()) == [], "nobody can make these be said"
    assert sorted(records().keys() - every) == []


@pytest.mark.parametrize(("key", "record"), records().items(), ids=records())
def test_every_rule_is_said_of_some_record(key: str, record: dict[str, str], made: Make) -> None:
    group, word = key.split(".")
    studio = made(**{"yarns": MORE_YARNS, **record})
    pattern = re.sub(r"\\{\w+\\}", ".+", re.escape(SHIPPED[group][word]))
    if not re.search(r"[A-Za-z]{2}", pattern):  # signs alone are found in any line
        sheet = parts_of(cost_report(studio.piece(NUMBER)))
        assert key in {each for words in sheet for each in keys_in(words)}
        return
    flags = re.IGNORECASE if group == "section" else re.NOFLAG
    assert re.search(pattern, everything_said(studio), flags), pattern
