"""Phrases: every one that is asked for exists, none lies unused, a maker's own reaches page, tag
and certificate; numbers, dates and money in the forms of a language (CLDR, by Babel: the expected
forms are written out here after the style guides named beside them)."""

from __future__ import annotations

import ast
import re
import string
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from provenance.figures.flow.gather import studio_flow
from provenance.language.catalogue import catalogue, phrase_problems
from provenance.language.phrases import Phrases, phrases_for
from provenance.language.phrases import british as in_british
from provenance.language.telling import told
from provenance.problems import NOWHERE, Slip
from provenance.public.border import Border
from provenance.records.amounts import Size
from provenance.records.book import read_book
from provenance.records.quantities import Centimetres
from provenance.reference.spelling import american
from provenance.studio import Studio

ROOT = Path(__file__).parents[2]
TEMPLATES = ROOT / "templates"
SHIPPED = catalogue("en-GB", {}, None)
GROUPS = {name.split(".")[0] for name in SHIPPED}
DAY = date(2026, 11, 20)


def python_texts() -> Iterator[tuple[str, str]]:
    """Every text in the program's code: whole, or the start or end of a composed one."""
    for path in sorted((ROOT / "provenance").rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        composed = [node.values for node in ast.walk(tree) if isinstance(node, ast.JoinedStr)]
        parts = {id(part) for values in composed for part in values}
        for values in composed:
            yield from ((text, "start") for text in texts(values[:1]))
            yield from ((text, "end") for text in texts(values[-1:]))
        whole = [node for node in ast.walk(tree) if id(node) not in parts]
        yield from ((text, "whole") for text in texts(whole))


def texts(nodes: Sequence[ast.AST]) -> Iterator[str]:
    for node in nodes:
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


def template_texts() -> Iterator[str]:
    for path in sorted((*TEMPLATES.rglob("*.html"), *TEMPLATES.rglob("*.yaml"))):
        markup = path.read_text(encoding="utf-8")
        for block in re.findall(r"\{[{%].*?[%}]\}", markup, re.DOTALL):
            yield from re.findall(r'"([^"]*)"', block) + re.findall(r"'([^']*)'", block)


def desk_phrases() -> Iterator[str]:
    """What the desk's scripts ask for: `say("save")` is `desk_face.save`; of a composed one
    (`view_${each}`, "desk_face.tab_" ~ name) all that begin like it."""
    desk = TEMPLATES / "desk"
    for path in (*desk.glob("*.js"), *desk.glob("*.html"), desk / "editor-src" / "editor.js"):
        if path != desk / "editor.js":
            text = path.read_text(encoding="utf-8")
            asked = set(re.findall(r'\bsay\("([a-z_]+)"', text))
            quoted = re.findall(r'"([a-z_]+)"', text)
            known = {word for word in quoted if f"desk_face.{word}" in SHIPPED}
            is_script = path.suffix == ".js"
            yield from (f"desk_face.{word}" for word in (asked if is_script else set()) | known)
            starts = re.findall(r'(?:`|desk_face\.)([a-z]+_)[$"]', text)
            yield from (
                each for each in SHIPPED if each.startswith(tuple(f"desk_face.{s}" for s in starts))
            )


TEXTS = (
    set(template_texts())
    | set(desk_phrases())
    | {text for text, part in python_texts() if part == "whole"}
)
STARTS = {text for text, part in python_texts() if part == "start"}
ENDS = {
    text for text, part in python_texts() if part == "end" and re.fullmatch(r"[._][a-z_]+", text)
}
# A group is filled in by code such as say(f"kind.{kind}") or named("sure", word): then the bare
# word stands elsewhere.
OPEN_GROUPS = {group for group in GROUPS if any(each.startswith(f"{group}.") for each in STARTS)}
OPEN_GROUPS |= GROUPS & TEXTS
WORDS = {text.replace(" ", "_") for text in TEXTS} | TEXTS
WORD_STARTS = {each for each in STARTS if re.fullmatch(r"[a-z_]{4,}", each)} | {
    each.partition(".")[2] for each in STARTS if re.fullmatch(r"[a-z_]+\.[a-z_]+", each)
}


# Groups told by the names of a table's rows; tests/reference/test_words.py holds them to the rows.
BY_ROWS = {
    "beyond", "books", "caution", "claim", "claim_instead", "conservation",
    "disposal", "dye", "extra", "fibre", "hazard", "heat", "light_note", "mordant",
    "mordant_family", "poison", "protected", "source", "unfit", "yields",
}  # fmt: skip
# What the words of records mean, for editors; tests/records/test_schema.py holds them to the words.
WORDS_FILE = ROOT / "provenance" / "language" / "en-GB" / "record_words.toml"
MEANINGS = set(tomllib.loads(WORDS_FILE.read_text(encoding="utf-8")))
# Help, by the names of options; tests/commands/test_door.py holds it to the commands.
HELP = {group for group in GROUPS if group.startswith("help")}


def is_used(name: str) -> bool:
    group, _, word = name.partition(".")
    if (
        name in TEXTS
        or group in BY_ROWS | MEANINGS | HELP
        or re.sub("_(none|one)$", "", name) in TEXTS
    ):
        return True
    if group not in OPEN_GROUPS:
        return False
    return (
        word in WORDS
        or any(word.startswith(start) for start in WORD_STARTS)
        or any(name.endswith(end) for end in ENDS)
    )


def test_every_phrase_that_is_asked_for_exists() -> None:
    shape = re.compile(rf"({'|'.join(sorted(GROUPS))})\.[a-z_]+")
    files = (
        ".css",
        ".js",
        ".html",
        ".toml",
        ".yaml",
        ".json",
        ".pdf",
        ".csv",
        ".jpg",
        ".png",
        ".age",
    )
    asked = {text for text in TEXTS if shape.fullmatch(text) and not text.endswith((*files, "_"))}
    assert len(asked) > 100
    assert sorted(asked - SHIPPED.keys()) == []


def test_no_phrase_lies_unused() -> None:
    assert [name for name in SHIPPED if not is_used(name)] == []


def test_an_unused_phrase_would_be_seen() -> None:
    assert not is_used("page.zebra")
    assert not is_used("kind.zebra")
    assert is_used("kind.hanging") and is_used("certificate.authorship_all_dyed")


def shipped_files() -> list[Path]:
    return sorted((ROOT / "provenance" / "language").glob("*/*.toml"))


def test_there_are_catalogues() -> None:
    assert {path.parent.name for path in shipped_files()} >= {"en-GB", "en-US", "de"}


@pytest.mark.parametrize(
    "path", shipped_files(), ids=lambda path: f"{path.parent.name}/{path.stem}"
)
def test_every_catalogue_keeps_names_and_values(path: Path) -> None:
    tables = tomllib.loads(path.read_text(encoding="utf-8"))
    for group, table in tables.items():
        for word, text in table.items():
            name = f"{group}.{word}"
            given = SHIPPED.get(name) or SHIPPED[re.sub("_(none|one)$", "", name)]
            base = {value for _, value, _, _ in string.Formatter().parse(given) if value}
            asked = {value for _, value, _, _ in string.Formatter().parse(text) if value}
            assert asked <= base, name


def test_american_english_is_american_throughout() -> None:
    words = catalogue("en-US", {}, None)
    assert words.keys() == SHIPPED.keys()
    for name, text in words.items():
        plain = re.sub(r"\{[^}]*\}|(?<!\w)'[^']*'(?!\w)", "", text)
        assert american(plain) == plain, name
    assert words["page.by_colour"] == "By color"
    assert words["sense.add_fibre"] == "add a line 'fibre: linen'"  # a word of the record
    assert words["label.fibre"] == "Fiber"
    assert words["page.ask_by_phone"] == "or call {phone}"


def test_the_names_of_values_are_not_respelt() -> None:
    words = catalogue("en-US", {}, None).values()
    assert any("{fibre" in text for text in words) and not any("{fiber" in text for text in words)


# Words that differ, as written in British and in American English; common knowledge.
@pytest.mark.parametrize(
    ("british", "said"),
    [
        ("Colours of fibres", "Colors of fibers"),
        ("greyed, discoloured, mouldy", "grayed, discolored, moldy"),
        ("Aluminium sulphate", "Aluminum sulfate"),
        ("2 metres of woollen cloth", "2 meters of woolen cloth"),
        ("Four hours, our own", "Four hours, our own"),
    ],
)
def test_american_spelling(british: str, said: str) -> None:
    assert american(british) == said


SIZE = Size(Centimetres(124), Centimetres(86), None, NOWHERE, "124 x 86 cm")


# de: DIN 5008 (point or gap for thousands, comma for decimals, sign after the amount); fr: Lexique
# des règles typographiques (narrow gap, comma, sign after); en-US: Chicago Manual (month first).
# The documents are quoted from memory; CLDR is what they are held against.
@pytest.mark.parametrize(
    ("language", "currency", "money", "pence", "day", "mass", "number"),
    [
        ("en-GB", "GBP", "£1,450", "£12.50", "14 September 2026", "1.26 kg", "1,234.5"),
        ("en-US", "USD", "$1,450", "$12.50", "September 14, 2026",
         "2 lb 12.4 oz (1.26 kg)", "1,234.5"),
        ("de", "EUR", "1.450 €", "12,50 €", "14. September 2026", "1,26 kg", "1.234,5"),
        ("fr", "EUR", "1 450 €", "12,50 €", "14 septembre 2026", "1,26 kg", "1 234,5"),
        ("ja", "JPY", "￥1,450", "￥13", "2026年9月14日", "1.26 kg", "1,234.5"),
    ],
)  # fmt: skip
def test_forms_follow_the_language(
    language: str, currency: str, money: str, pence: str, day: str, mass: str, number: str
) -> None:
    phrases = phrases_for(language, currency, {}, None)
    said = (
        phrases.money(Fraction(1450)),
        phrases.money(Fraction("12.5")),
        phrases.day(date(2026, 9, 14)),
        phrases.mass(Fraction(1260)),
        phrases.number(Fraction(12345, 10)),
    )
    # CLDR's gaps are no-break spaces, wide or narrow.
    plain = tuple(re.sub(r"[\u00a0\u202f]", " ", each) for each in said)
    assert plain == (money, pence, day, mass, number)


def test_inches_come_first_in_american_english() -> None:
    # 124 cm = 48.82 in, 86 cm = 33.86 in; to the nearest eighth 48 7/8 and 33 7/8 (1 in = 2.54 cm).
    assert phrases_for("en-US", "USD", {}, None).size(SIZE) == (
        "H 48 7/8 × W 33 7/8 in (124 × 86 cm)"
    )
    assert phrases_for("en-GB", "GBP", {}, None).size(SIZE) == (
        "H 124 × W 86 cm (48 7/8 × 33 7/8 in)"
    )


def test_percent_and_lists() -> None:
    british, us = (phrases_for(each, "GBP", {}, None) for each in ("en-GB", "en-US"))
    assert (british.percent(84), us.percent(Fraction(17, 2))) == ("84 %", "8.5%")
    assert (british.listed(["a", "b", "c"]), us.listed(["a", "b", "c"])) == (
        "a, b and c",
        "a, b, and c",
    )


def test_a_language_without_phrases_says_english_words_with_its_own_forms() -> None:
    french = phrases_for("fr-CA", "CAD", {}, None)
    assert french.words == SHIPPED
    assert french.day(date(2026, 1, 2)) == "2 janvier 2026"


def test_a_language_of_a_country_has_the_words_of_its_base_and_its_own_forms() -> None:
    austrian = phrases_for("de-AT", "EUR", {}, None)
    assert austrian.words == catalogue("de", {}, None)
    assert austrian.say("label.weight") == "Gewicht"
    assert austrian.day(date(2026, 1, 2)) == "2. Jänner 2026"


STUDIO = """\
studio: Brackenfold
maker: Isla Wren
currency: GBP
pay: {any: 18.00}
"""
SMALL = {
    "studio/studio.yaml": STUDIO,
    "studio/fleece.yaml": "gotland-2025: {breed: Gotland, weight: 3 kg, cost: 66.00}\n",
    "2026-014-saltmarsh.yaml": """\
number: 2026-014
title: Saltmarsh
kind: hanging
edition: one of a kind
size: 124 x 86 cm
yarns: [{use: weft, fleece: gotland-2025, weight: 412 g, hours: {spinning: 5}}]
hours: {weaving: 61}
""",
}
Made = Callable[..., Border]


@pytest.fixture
def studio(tmp_path: Path) -> Callable[[Mapping[str, str]], Path]:
    def write(changes: Mapping[str, str]) -> Path:
        for name, text in {**SMALL, **changes}.items():
            path = tmp_path / "pieces" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return tmp_path / "pieces"

    return write


def setting_of(folder: Path) -> Border:
    book, _ = read_book(folder)
    assert book is not None
    return Border(Studio(book, studio_flow(book), {}, DAY))


def said_of(folder: Path) -> list[str]:
    book, _ = read_book(folder)
    assert book is not None
    return [told(problem, in_british()) for problem in phrase_problems(book)]


OWN = (
    STUDIO + "phrases:\n  label.one_of_a_kind: There is but this one\n  kind.hanging: Wall cloth\n"
)


def test_a_makers_own_phrase_reaches_the_facts(studio: Callable[..., Path]) -> None:
    setting = setting_of(studio({"studio/studio.yaml": OWN}))
    facts = setting.piece("2026-014")
    assert facts.edition == "There is but this one"
    assert facts.kind_word == "Wall cloth"


def test_a_makers_own_phrase_reaches_certificate_and_tag(studio: Callable[..., Path]) -> None:
    from provenance.papers.certificates.certificate import certificate_of
    from provenance.papers.tags.words import tag_words

    setting = setting_of(studio({"studio/studio.yaml": OWN}))
    piece = setting.piece("2026-014")
    assert (
        certificate_of(setting.house, piece).kind_line == "Wall cloth, 2026. There is but this one."
    )
    words = tag_words(piece, setting.house)
    assert "Wall cloth" in " ".join(text for _, text in words.fields)


def test_own_phrases_that_are_right_are_no_problem(studio: Callable[..., Path]) -> None:
    more = "  page.ask: Write about {number}\n  page.download: A file\n"
    assert said_of(studio({"studio/studio.yaml": OWN + more})) == []


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (
            "page.askk: Ask me",
            "there is no phrase 'page.askk'\n    did you mean 'page.ask'?",
        ),
        (
            "one_of_a_kind: Only this",
            "there is no phrase 'one_of_a_kind'\n    did you mean 'label.one_of_a_kind'?",
        ),
        (
            "qqq.zzzzz: Only this",
            "there is no phrase 'qqq.zzzzz'\n"
            "    the names are those in the program's language/en-GB/",
        ),
        (
            'page.ask: "Ask about {nubmer}"',
            "the phrase 'page.ask' is not given '{nubmer}'\n    did you mean '{number}'?",
        ),
        (
            'page.ask_subject: "{what}"',
            "the phrase 'page.ask_subject' is not given '{what}'\n    it may use {number}, {title}",
        ),
        (
            'page.about: "About {maker}"',
            "the phrase 'page.about' is not given '{maker}'\n"
            "    it is used as it stands, without any value",
        ),
        (
            'page.ask: "Ask about {number.__class__}"',
            "the phrase 'page.ask' is not given '{number.__class__}'\n    it may use {number}",
        ),
        (
            'page.ask: "Ask about {number"',
            "the phrase 'page.ask' has a brace too many or too few\n"
            "    braces hold a value, such as {number}; write '{{' for a brace itself",
        ),
    ],
)
def test_a_phrase_that_can_not_be_used_is_a_problem_with_its_place(
    studio: Callable[..., Path], line: str, said: str
) -> None:
    folder = studio({"studio/studio.yaml": f"{STUDIO}phrases:\n  {line}\n"})
    assert said_of(folder) == [f"pieces/studio/studio.yaml:6:3: {said}"]
    with pytest.raises(Slip) as refused:
        setting_of(folder)
    assert in_british().tell(refused.value.what) == said.split("\n")[0]


def test_every_command_hears_of_a_wrong_phrase(studio: Callable[..., Path]) -> None:
    from provenance.commands.here import Here

    folder = studio({"studio/studio.yaml": f"{STUDIO}phrases: {{page.askk: Ask me}}\n"})
    said = [told(problem, in_british()) for problem in Here(folder).studio.mistakes]
    wrong = "pieces/studio/studio.yaml:5:11: there is no phrase 'page.askk'"
    assert f"{wrong}\n    did you mean 'page.ask'?" in said


def test_a_studios_own_catalogue_is_laid_over_ours(studio: Callable[..., Path]) -> None:
    folder = studio(
        {
            "studio/studio.yaml": f"{STUDIO}language: de\n",
            "templates/phrases/de.toml": '[label]\nfibre = "Faser"\nside_letters = "H B T"\n',
        }
    )
    phrases = setting_of(folder).phrases
    assert phrases.say("label.fibre") == "Faser"
    assert phrases.say("label.weight") == "Gewicht"
    assert phrases.size_cm(SIZE) == "H 124 × B 86 cm"
    assert said_of(folder) == []


def test_a_studios_own_british_catalogue_need_not_be_whole(studio: Callable[..., Path]) -> None:
    own = '[page]\nabout = "Who weaves"\n'
    phrases = setting_of(studio({"templates/phrases/en-GB.toml": own})).phrases
    assert phrases.say("page.about") == "Who weaves"
    assert phrases.say("page.work") == "Work"


def test_faults_in_a_studios_own_catalogue_have_their_place(studio: Callable[..., Path]) -> None:
    own = '# ours\n[page]\nabout = "Who"\n\n[label]\nabuot = "x"\nin_the_grease = "{grams}"\n'
    folder = studio({"templates/phrases/en-GB.toml": own})
    assert said_of(folder) == [
        "pieces/templates/phrases/en-GB.toml:6:1: there is no phrase 'label.abuot'\n"
        "    did you mean 'label.bought'?",
        "pieces/templates/phrases/en-GB.toml:7:1: the phrase 'label.in_the_grease' is not given "
        "'{grams}'\n    it may use {mass}",
    ]


@pytest.mark.parametrize("own", ['[page\nabout = "x"\n', "page = 1\n", "[page]\nabout = 3\n"])
def test_a_catalogue_that_can_not_be_read_is_a_problem(
    studio: Callable[..., Path], own: str
) -> None:
    folder = studio({"templates/phrases/en-GB.toml": own})
    (said,) = said_of(folder)
    assert said.startswith("pieces/templates/phrases: en-GB.toml")
    assert said.endswith('write a [group], and under it lines of word = "text", in quotes')
    with pytest.raises(Slip):
        setting_of(folder)


def test_a_language_without_phrases_is_a_remark(studio: Callable[..., Path]) -> None:
    folder = studio({"studio/studio.yaml": f"{STUDIO}language: fr\n"})
    assert said_of(folder) == [
        "pieces/studio/studio.yaml:5:11: remark: there are no phrases in 'fr': words are English, "
        "numbers and dates are not\n"
        "    translate the program's language/en-GB/ into pieces/templates/phrases/fr.toml"
    ]


def test_a_language_that_nobody_speaks_is_a_problem(studio: Callable[..., Path]) -> None:
    folder = studio({"studio/studio.yaml": f"{STUDIO}language: qq-ZZ\n"})
    assert said_of(folder) == [
        "pieces/studio/studio.yaml:5:11: 'qq-ZZ' is no language that numbers and dates are known "
        "for\n    write it as en-GB, en-US, de or fr-CA"
    ]
    with pytest.raises(Slip) as refused:
        setting_of(folder)
    assert "qq-ZZ" in in_british().tell(refused.value.what)


def guidance(setting: Border) -> Iterator[str]:
    for number in setting.studio.book.pieces:
        facts = setting.piece(number)
        yield from (*facts.care, *facts.light, *facts.brief_light, facts.short_care)


def test_american_pages_have_american_guidance() -> None:
    british = setting_of(ROOT / "pieces")
    assert any(american(text) != text for text in guidance(british))
    for text in guidance(Border(british.studio, "en-US")):
        assert american(text) == text


def test_what_a_maker_wrote_is_not_respelt(studio: Callable[..., Path]) -> None:
    record = SMALL["2026-014-saltmarsh.yaml"] + "care: Keep its colours out of the sun.\n"
    folder = studio(
        {
            "studio/studio.yaml": f"{STUDIO}language: en-US\n",
            "2026-014-saltmarsh.yaml": record,
        }
    )
    setting = setting_of(folder)
    facts = setting.piece("2026-014")
    assert facts.care == ("Keep its colours out of the sun.",)


def test_a_phrase_may_be_called_what_its_value_is_called() -> None:
    phrases = Phrases("en-GB", "GBP", {"making.after": "{name}, scoured"})
    assert phrases.say("making.after", name="Gotland") == "Gotland, scoured"


def test_a_phrase_that_is_told_without_values_has_no_doubled_braces() -> None:
    """Braces are doubled where values are put in, and nowhere else."""
    bare = re.compile(r'Said\(\s*"([\w.]+)"\s*\)')
    sources = (path.read_text(encoding="utf-8") for path in (ROOT / "provenance").rglob("*.py"))
    names = {name for source in sources for name in bare.findall(source)}
    assert len(names) > 500
    for path in shipped_files():
        for group, table in tomllib.loads(path.read_text(encoding="utf-8")).items():
            for word, text in table.items():
                doubled = re.search(r"\{\{.*\}\}", text)
                assert not doubled or f"{group}.{word}" not in names, (path, word)
