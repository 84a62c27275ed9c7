"""German is one folder: every file, phrase and value of British English is there, and nothing more;
fibre names are those of the label law (tests/truth/fibre_names_de.toml)."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from string import Formatter

import pytest

from provenance.language.phrases import phrases_for
from provenance.problems import NOWHERE
from provenance.records.amounts import Size
from provenance.records.quantities import Centimetres

ROOT = Path(__file__).parents[2]
HOME = ROOT / "provenance" / "language"
FILES = sorted({path.name for name in ("en-GB", "de") for path in (HOME / name).glob("*.toml")})
TRUTH = ROOT / "tests" / "truth" / "fibre_names_de.toml"
FIBRES = tomllib.loads(TRUTH.read_text(encoding="utf-8"))["row"]
TABLES = ROOT / "provenance" / "reference" / "tables"
PLURALS = ("_none", "_one")


def words_of(language: str, file: str) -> dict[str, str]:
    """The phrases of one file; none where the language lacks it."""
    path = HOME / language / file
    tables = tomllib.loads(path.read_text(encoding="utf-8")) if path.is_file() else {}
    return {
        f"{group}.{word}": text for group, table in tables.items() for word, text in table.items()
    }


def whole(language: str) -> dict[str, str]:
    return {name: text for file in FILES for name, text in words_of(language, file).items()}


BRITISH, GERMAN = whole("en-GB"), whole("de")

# Words that are the same in both languages, what is typed, units, names of laws, and the words that
# US law prints on a label.
SAME = {
    "colour.orange", "hue.beige", "hue.orange",
    "sheet.name", "sheet.code_heading", "flow.within",
    "sheet.offset_example", "amount.rate_such", "show_file.cm", "file.studio_such", "in_yarn.count",
    "sheet.pixels", "cloth.in_cm", "cloth.tex", "step.ph", "workings.centimetres",
    "law.textile_act", "law.wool_act", "us_content.exclusive", "us_content.over",
    "us_content.pile_and_back", "us_content.under", "us_tag.not_full", "origin.imported_fibre",
    "origin.imported_yarn", "origin.offer_abroad", "origin.part",
    "help_tags.sheet", "catalogue.caption_detail", "catalogue.row_material",
    "second_place.megabytes", "second_place.kilobytes", "in_publishing.sftp",
}  # fmt: skip
# Typed into a shell, which knows only straight quotes.
TYPED = {
    "stores.install_s3",
    "help_match.about", "help_match.weight", "match.no_colour", "help_quote.sizes",
    "help_tags.size", "help_tags.sheet", "help_tags.shift",
}  # fmt: skip


def values_in(text: str) -> set[str]:
    """The values of a phrase; none where its braces are those a maker types."""
    try:
        return {value for _, value, _, _ in Formatter().parse(text) if value is not None}
    except ValueError:
        return set()


def has_words(text: str) -> bool:
    return bool(re.search(r"[^\W\d_]{2}", re.sub(r"\{\w*\}", "", text)))


def is_plural_of(name: str, known: Mapping[str, str]) -> bool:
    return any(name.endswith(end) and name.removesuffix(end) in known for end in PLURALS)


@pytest.mark.parametrize("file", FILES)
def test_every_phrase_of_a_file_is_there_in_german(file: str) -> None:
    british, german = words_of("en-GB", file), words_of("de", file)
    assert sorted(british.keys() - german.keys()) == []
    more = german.keys() - british.keys()
    assert sorted(name for name in more if not is_plural_of(name, british)) == []


def test_german_asks_for_no_value_that_it_is_not_given() -> None:
    for name, text in GERMAN.items():
        base = name if name in BRITISH else name.rsplit("_", 1)[0]
        if base in BRITISH:
            assert values_in(text) <= values_in(BRITISH[base]), name


def test_nothing_is_left_in_english() -> None:
    same = {name for name, text in GERMAN.items() if BRITISH.get(name) == text and has_words(text)}
    assert same == SAME


def test_quotation_marks_are_german() -> None:
    """Straight ones only round what is typed: colours, texts in records, words in a shell."""
    for name, text in GERMAN.items():
        assert text.count("„") == text.count("“"), name
        assert "”" not in text and ('"' not in text or '"' in BRITISH[name]), name
        is_straight = re.search(r"(?<!\w)'|'(?!\w)", text)
        assert not is_straight or name in TYPED or name.startswith("us_"), name


# Papers for clients, galleries and visitors say Sie; the maker's own say du.
FOR_OTHERS = ("quotation", "stand_card", "checking", "page", "tag", "certificate", "plan")


def test_others_are_not_addressed_as_the_maker() -> None:
    for name, text in GERMAN.items():
        if name.split(".")[0] in FOR_OTHERS:
            assert not re.search(r"\b([Dd]u|[Dd]ir|[Dd]ich|[Dd]eine?[mnrs]?)\b", text), name


def test_labels_are_hardly_longer_than_english_ones() -> None:
    """Tags and tables have room for a few letters more, not for twice the words."""
    for name, text in GERMAN.items():
        if name.startswith(("label.", "sheet.field_")) and "{" not in text:
            assert len(text) <= max(13, len(BRITISH[name]) + 4), name


def test_a_heading_is_called_as_it_is_headed() -> None:
    assert f"„{GERMAN['sheet.for_a_loss']}“" in GERMAN["sheet.insured_words"]


@pytest.mark.parametrize("row", FIBRES, ids=lambda row: str(row["name"]))
def test_fibres_are_called_as_the_label_law_calls_them(row: Mapping[str, str]) -> None:
    """The sources, and how far each was read, stand in the truth file."""
    assert GERMAN[f"fibre.{row['name']}"] == row["german"], row["read"]


@pytest.mark.parametrize(
    ("group", "table"), [("fibre", "fibres"), ("dye", "dyes"), ("mordant", "mordants")]
)
def test_every_fibre_dye_and_mordant_that_is_known_has_a_german_name(
    group: str, table: str
) -> None:
    rows = tomllib.loads((TABLES / f"{table}.toml").read_text(encoding="utf-8"))["row"]
    phrases = phrases_for("de", "EUR", {}, None)
    assert [row["name"] for row in rows if f"{group}.{row['name']}" not in phrases.words] == []


def test_the_truth_names_every_fibre_of_an_eu_label() -> None:
    rows = tomllib.loads((TABLES / "fibres.toml").read_text(encoding="utf-8"))["row"]
    assert {row["eu"] or row["name"] for row in rows} <= {row["name"] for row in FIBRES}


def test_sizes_and_shares_read_as_german() -> None:
    """Letters as museums write them (H, B, T); a gap before the percent sign (DIN 5008)."""
    phrases = phrases_for("de", "EUR", {}, None)
    sides = (Centimetres(124), Centimetres(86), Centimetres(Fraction(7, 2)))
    assert phrases.size_cm(Size(*sides, NOWHERE, "124 x 86 x 3.5 cm")) == "H 124 × B 86 × T 3,5 cm"
    assert phrases.percent(Fraction(17, 2)) == "8,5 %"
    assert phrases.mass(Fraction(1260)) == "1,26 kg"
    assert phrases.listed(["Krapp", "Waid", "Wau"]) == "Krapp, Waid und Wau"
