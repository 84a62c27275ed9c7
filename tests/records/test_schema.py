"""The schemas for editors: every demo record fits, seeded slips do not, every word has a meaning.

Judged by the `jsonschema` library, an outside reader of JSON Schema.
"""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path

import pytest
import yaml
from jsonschema import Draft202012Validator

from provenance.language.phrases import british
from provenance.records.book import LOT_FILES
from provenance.records.reading import Named, Record, known_words
from provenance.records.schema import modeline, schemas

DEMO = Path(__file__).parents[2] / "pieces"
SCHEMAS = schemas(british().words)
NUMBER = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?")


def as_an_editor_reads(value):
    """Values typed by the core rules of YAML 1.2: numbers, true, false, null; the rest is text."""
    if isinstance(value, dict):
        return {word: as_an_editor_reads(each) for word, each in value.items()}
    if isinstance(value, list):
        return [as_an_editor_reads(each) for each in value]
    if value is None:
        return None
    if NUMBER.fullmatch(value):
        return float(value) if "." in value else int(value)
    return {"true": True, "false": False, "": None}.get(value, value)


def schema_for(path: Path) -> str:
    folder = path.parent.name
    kinds = {"dyebook": "bath", "commissions": "commission", "shows": "show"}
    return path.stem if folder == "studio" else kinds.get(folder, "piece")


def faults(name: str, text: str) -> list[str]:
    record = as_an_editor_reads(yaml.load(text, yaml.BaseLoader))
    return [each.message for each in Draft202012Validator(SCHEMAS[name]).iter_errors(record)]


def records_of_the_demo() -> list[Path]:
    kept_by_the_program = ("papers", "photos", ".printed")
    return [
        path
        for path in sorted(DEMO.rglob("*.yaml"))
        if path.stem not in ("printed", "keys") and path.parent.name not in kept_by_the_program
    ]


@pytest.mark.parametrize("name", SCHEMAS)
def test_schemas_are_schemas(name):
    Draft202012Validator.check_schema(SCHEMAS[name])


def test_every_demo_record_fits_its_schema():
    for path in records_of_the_demo():
        found = faults(f"{schema_for(path)}.json", path.read_text(encoding="utf-8"))
        assert found == [], path.name


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("piece.json", "number: 2026-014\ntitle: Ebb\ntitel: Ebb\n", "'titel' was unexpected"),
        ("piece.json", "number: 2026-014\n", "'title' is a required property"),
        ("piece.json", "number: 2026-A14\ntitle: Ebb\n", "does not match"),
        ("piece.json", "number: 2026-014\ntitle: Ebb\nkind: rag\n", "'rag' is not valid"),
        ("piece.json", "number: 2026-014\ntitle: Ebb\nyarns: [{us: weft, lot: a, weight: 1 g}]\n",
         "'us' was unexpected"),
        ("bath.json", "date: 2026-03-12\nstep: []\n", "'step' was unexpected"),
        ("fleece.json", "gotland: {weight: 3 kg, breeds: Gotland}\n", "'breeds' was unexpected"),
        ("fleece.json", "- gotland\n", "is not of type 'object'"),
        ("studio.json", "studio: Brackenfold\nmaker: Isla Wren\npays: {any: 18}\n",
         "'pays' was unexpected"),
        ("outlets.json", "here: {kind: galery}\n", "is not one of"),
        ("commission.json", "number: 2026-C01\nsizes: {a: b}\n", "is not valid"),
    ],
)  # fmt: skip
def test_slips_do_not_fit(name, text, said):
    assert any(said in fault for fault in faults(name, text)), faults(name, text)


def test_short_forms_fit():
    piece = (
        "number: 2026-014\ntitle: Ebb\nhours: 40\nphotos: [a.jpg]\nshared: "
        "{with: 2026-015, hours: {warping: 3}}\nstory:\nprice:\n"
    )
    assert faults("piece.json", piece) == []
    assert faults("studio.json", "studio: a\nmaker: b\nlabels for: UK\n") == []
    assert faults("mordants.json", "") == []


def words_of_schema(schema: dict) -> dict[str, set[str]]:
    kinds = {schema["title"]: schema, **schema.get("$defs", {})}
    return {kind.lower(): set(each.get("properties", {})) for kind, each in kinds.items()}


def test_schemas_know_the_words_of_the_records_and_no_others():
    told: dict[str, set[str]] = {}
    for schema in SCHEMAS.values():
        told |= words_of_schema(schema)
    for kind in all_kinds(Record):
        if kind.__name__.lower() in told and not issubclass(kind, Named):
            assert told[kind.__name__.lower()] == set(known_words(kind))
    assert not any("\0" in word for words in told.values() for word in words)


def test_every_meaning_is_the_meaning_of_some_word():
    path = Path(__file__).parents[2] / "provenance" / "language" / "en-GB" / "record_words.toml"
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    kinds = {f"in_{kind.__name__.lower()}": set(known_words(kind)) for kind in all_kinds(Record)}
    assert set(table.pop("a_file")) == set(LOT_FILES)
    assert {f"in_{kind}" for kind in table.pop("a_record")} <= set(kinds)
    described = json.dumps(SCHEMAS, ensure_ascii=False)
    assert all(
        json.dumps(text, ensure_ascii=False) in described for text in table.pop("a_value").values()
    )
    every_word = set().union(*kinds.values())
    assert set(table.pop("in_any")) <= every_word
    for kind, words in table.items():
        assert set(words) <= kinds[kind], kind


def all_kinds(kind: type[Record]) -> list[type[Record]]:
    return [each for below in kind.__subclasses__() for each in (below, *all_kinds(below))]


def test_the_line_that_ties_a_record_to_its_schema():
    assert modeline("piece") == "# yaml-language-server: $schema=.schemas/piece.json"
    assert modeline("fleece", 1) == "# yaml-language-server: $schema=../.schemas/fleece.json"
