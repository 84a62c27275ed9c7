"""Every row and every value of the dye, mordant, light, yield and care tables names its source."""

import tomllib
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import pytest

from provenance.reference.sourced import SURE, cite

TABLES = ("dyes", "mordants", "poisons", "light", "yields", "care", "books", "beside")


def _table(name: str) -> dict[str, Any]:
    path = files("provenance.reference") / "tables" / f"{name}.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))


def _rows(name: str) -> Iterator[dict[str, Any]]:
    for array in _table(name).values():
        yield from array


def _values(found: Any) -> Iterator[dict[str, Any]]:
    """Inline tables anywhere below."""
    if isinstance(found, dict):
        yield found
        for value in found.values():
            yield from _values(value)
    elif isinstance(found, list):
        for value in found:
            yield from _values(value)


@pytest.mark.parametrize("name", TABLES)
def test_every_row_has_a_source_and_says_how_sure(name):
    for row in _rows(name):
        assert row["source"].strip(), row
        assert row["sure"] in SURE, row


@pytest.mark.parametrize("name", TABLES)
def test_a_value_with_its_own_source_says_how_sure_it_is(name):
    for row in _rows(name):
        for value in _values(row):
            assert ("source" in value) == ("sure" in value) or "light" in row, value
            if "source" in value:
                assert value["source"].strip() and value["sure"] in SURE, value


def test_every_range_and_note_of_a_dye_has_its_own_source():
    for row in _rows("dyes"):
        for key in ("share", "share_extract", "heat", "light_note", "hazard", "acid_alkali"):
            assert key not in row or {"source", "sure"} <= set(row[key]), (row["name"], key)
        for span in row.get("light", {}).values():
            assert {"low", "high", "source", "sure"} <= set(span), row["name"]


def test_memory_is_said_to_be_memory():
    for name in TABLES:
        for row in _rows(name):
            for value in _values(row):
                if value.get("source") == "from memory":
                    assert value["sure"] == "memory", value
                for key in (key for key in value if key.endswith("sure")):
                    source = value.get(f"{key.removesuffix('sure')}source", "")
                    is_told = "memory" in source or source == "common practice"
                    assert is_told or value[key] != "memory", value


def test_sources_are_spelled_out_for_the_reader():
    assert cite("MAI24 red (1); BEE") == (
        "Mairet, Vegetable Dyes, red (1); Beech, The Dyeing of Woollen Fabrics"
    )
    assert cite("MAI16 (6 to 8)") == "Mairet, A Book on Vegetable Dyes (6 to 8)"
    assert cite("bzdesign.biz") == "bzdesign.biz"


def test_the_bibliography_and_the_tables_use_the_same_keys():
    written = [
        str(value)
        for name in TABLES
        for row in _rows(name)
        for found in _values(row)
        for key, value in found.items()
        if key.endswith("source")
    ]
    heads = {part.split()[0] for source in written for part in source.split(";")}
    spelled = {head for head in heads if head.isupper() and head.isalnum() and len(head) > 1}
    institutions = {"CITES", "REACH"}
    bibliography = _table("sources")
    assert all(entry["short"] and entry["full"] for entry in bibliography.values())
    assert spelled <= set(bibliography) | institutions
    assert all(any(key in source for source in written) for key in bibliography)
