"""Phrases are read group by group: every one as the whole file has it, in every language."""

import tomllib
from pathlib import Path

import pytest

from provenance.language import shipped as home
from provenance.language.catalogue import AMERICAN, catalogue
from provenance.language.shipped import BASE, Catalogue, Shipped

FOLDER = Path(home.__file__).parent
LANGUAGES = sorted(path.name for path in FOLDER.iterdir() if path.is_dir() and "_" not in path.name)


def whole(language: str) -> dict[str, str]:
    words = {}
    for path in sorted((FOLDER / language).glob("*.toml")):
        for group, table in tomllib.loads(path.read_text(encoding="utf-8")).items():
            words |= {f"{group}.{name}": text for name, text in table.items()}
    return words


@pytest.mark.parametrize("language", LANGUAGES)
def test_read_by_groups_as_read_whole(language: str) -> None:
    assert len(LANGUAGES) > 2
    assert dict(Shipped(language)) == whole(language)


def test_one_phrase_parses_its_group_alone() -> None:
    words = Shipped(BASE)
    assert words["label.size"] == whole(BASE)["label.size"]
    assert list(words._groups) == ["label"]


def test_what_no_language_has() -> None:
    words = Shipped("xx")
    assert (dict(words), "label.size" in words, words.get("label.size")) == ({}, False, None)
    assert "label.no_such" not in Shipped(BASE)


def test_the_topmost_layer_is_taken() -> None:
    words = Catalogue({"a.b": "top"}, {"a.b": "below", "a.c": "only below"})
    assert dict(words) == {"a.b": "top", "a.c": "only below"}
    assert "a.d" not in words


def test_german_over_english_and_american_spelling() -> None:
    assert dict(catalogue("de", {}, None)) == {**whole(BASE), **whole("de")}
    american = catalogue(AMERICAN, {"label.size": "mine"}, None)
    assert american["label.size"] == "mine"
    assert sorted(american) == sorted({**whole(BASE), **whole(AMERICAN)})
