"""A language of signs: with every entry of ours replaced by signs, no letter of ours is left.

A studio whose maker writes Greek is told in a language whose every phrase is signs. What then still
has Latin letters was never put into words by `language/`: names of species and of standards, units,
codes and addresses may, nothing else. Read are every page, every public JSON value, every paper,
every CSV file and every line of the terminal. Numbers, months and lists are Babel's, in Greek.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import html5lib
import pypdfium2
import pytest
from click.testing import CliRunner
from PIL import Image

from provenance.commands.main import main
from provenance.language import catalogue as catalogues
from provenance.language import phrases as language
from provenance.records.schema import schemas
from provenance.reference.dyes import dyes
from provenance.reference.loader import table


def record_words() -> set[str]:
    """The words of every record, as the schemas have them."""
    found: set[str] = set()
    left: list[Any] = list(schemas(language.british().words).values())
    while left:
        if isinstance(each := left.pop(), dict):
            found |= set(each.get("properties", {}))
            left += each.values()
        elif isinstance(each, list):
            left += each
    return found


DAY = "1795608000"  # 2026-11-25
STUDIO = """
studio: Φτέρη
maker: Ίσλα Τρυποφράχτης
mark: μικρό πουλί, κάτω δεξιά
place: Κοιλάδα
language: el
currency: GBP
site: https://1.2.3.4
contact: {email: 1@2.3, phone: 01632 960001, post: "Δρόμος 1"}
public contact: [email, phone, post]
labels for: [UK, EU, US]
origin: Φτιαγμένο εδώ
pay: {any: 18.00, weaving: 22.00}
overhead: 15 %
profit: 10 %
heat: 0.45 per hour
every piece takes: {ετικέτα: 1}
prices: {round up to: 5, shown on site: yes, tax: included 20 %}
week: 24 h
deposit: Προκαταβολή ένα τρίτο
"""
FLEECE = """
αρνί: {fibre: wool, breed: Γκότλαντ, from: "Αγρόκτημα, Οδός 2", shorn: 2025-06-18, weight: 3 kg,
       cost: 66, scoured: 55 %, carded: 92 %, spun: 97 %, colour: "#777777", bought: 2025-07-01}
"""
YARNS = """
νήμα: {fleece: {αρνί: 2 kg}, weight: 960 g, length: 2150 m, plies: 2,
       hours: {scouring: 1.5, carding: 9, spinning: 26, plying: 6, skeining: 1.5}}
λινό: {fibre: linen, from: ένα υφαντήριο, weight: 1 kg, length: 8000 m, cost: 41.00,
       bought: 2025-02-01}
"""
DYESTUFFS = """
κίτρινο: {species: Reseda luteola, part: κορυφές, got: από τον κήπο, weight: 900 g, cost: 5}
κόκκινο: {species: Rubia tinctorum, part: ρίζα, weight: 1 kg, cost: 58.00}
γαλάζιο: {species: Indigofera tinctoria, weight: 200 g, cost: 30.00}
"""
MORDANTS = (
    "στύψη: {is: alum, weight: 1 kg, cost: 9.50}\nσίδερο: {is: iron, weight: 100 g, cost: 4}\n"
)
SUNDRIES = "ετικέτα: {each: 0.35}\nξύλο: {each: 6.80, material: δρυς}\n"
OUTLETS = """
σπίτι: {kind: studio, card fee: 1.75 %}
πανηγύρι: {kind: fair, dates: 2026-11-28 to 2026-11-29, place: Αίθουσα, card fee: 1.75 %,
           fees: {τραπέζι: 60.00}, packing: {display: [πανί], ύστερα: [σχοινί]}}
γκαλερί: {kind: gallery, commission: 45 %, place: Λιμάνι,
          terms: {payment: 30 ημέρες, discount: 10 % borne by the gallery},
          contact: {post: "Λιμάνι 3"}}
συντεχνία: {kind: guild, commission: 20 %, tag fields: [number, title, fibre content, price]}
κριτές: {kind: show, rules: {fields: [title, size, medium, price, insurance, statement, pictures],
         pictures: 1 whole, longer side: at least 1800 px, statement: 50 to 150 words}}
"""
BATH = """
date: 2026-03-12
dyed:
  - {yarn: νήμα, weight: 300 g, becomes: πράσινο, colour: "#6f7a38"}
steps:
  - {mordants: {στύψη: 12 %}, heat: 88 C for 1 h}
  - {dyes: {κίτρινο: 60 %}, heat: 95 C for 45 min}
  - {dyes: {γαλάζιο: 4 %}, dips: 2}
  - {after: {σίδερο: 7 %}}
hours: {mordanting: 0.75, dyeing: 2.5}
"""
EXHAUST = """
date: 2026-03-14
exhaust of: λουτρό
dyed: [{yarn: νήμα, weight: 100 g, becomes: χλωμό, colour: "#a0a878"}]
hours: {dyeing: 1}
"""
PIECE = """
number: 2026-00{n}
title: Αλμύρα {n}
kind: {kind}
structure: απλή ύφανση
finished: 2026-0{n}-14
size: 124 x 86 cm
weight: 200 g
yarns:
  - {{use: weft, lot: {lot}, weight: 40 g}}
  - {{use: weft, fleece: αρνί, weight: 60 g, mordants: {{στύψη: 12 %}}, dyes: {{κόκκινο: 50 %}},
     hours: {{spinning: 5, dyeing: 1}}}}
  - {{use: warp, lot: λινό, weight: 110 g}}
hours: {{design: 6, warping: 4, weaving: {hours}, finishing: 5}}
photos: [{{file: {n}.jpg, view: whole, alt: "Υφαντό στον τοίχο"}}]
story: "Μια ιστορία."
history: [{{on: 2026-10-03, event: "Δείχτηκε"}}]
{more}
"""
COMMISSION = """
number: 2026-C01
title: Ένα άλλο
client: {name: Άννα, post: "Οδός 9"}
asked: 2026-11-20
like: 2026-001
sizes: [120 x 60 cm, 140 x 70 cm]
yarn: {warp: λινό, weft: νήμα}
colours: [{lot: πράσινο, share: 60 %}, {near: "#8a2f2a", share: 40 %}]
extras: {design fee: 120}
pay in: thirds
valid: 30 days
"""
HALF = "number: 2026-006\ntitle: Μισό\nkind: scarf\nat: πανηγύρι\n"
WRONG = "number: 2026-007\ntitle: Λάθος\nkind: rugg\nsize: 120\nweight: -3 g\nnotaword: 1\n"
PIECES = {
    1: ("hanging", "πράσινο", 60, "price: 1450\nat: γκαλερί\nsundries: {ξύλο: 1}"),
    2: ("shawl", "πράσινο", 30, "at: πανηγύρι"),
    3: ("rug", "χλωμό", 50, "sale: {on: 2026-11-02, price: 480, to: Άγνωστος}\nat: σπίτι"),
    4: ("throw", "νήμα", 20, "at: συντεχνία\nprice: 300"),
    5: ("cushion", "νήμα", 20, "at: κριτές\nstatus: reserved until 2026-12-01\nedition: 3 / 8"),
}
COMMANDS = (
    "", "check", "cost", "cost 2026-001 --explain --pdf", "stock --items --explain --pdf",
    "stock --since 2026-01-01 --csv OUT.csv", "trace 2026-001 --explain", "trace νήμα",
    "trace γαλάζιο", "match #8a2f2a", "match πράσινο", "quote", "quote 2026-C01 --explain",
    "quote --like 2026-001 --size 130x70cm", "quote --card", "tags", "tags --for γκαλερί",
    "certificate 2026-001 2026-003", "papers πανηγύρι", "papers γκαλερί", "papers συντεχνία",
    "papers κριτές", "papers σπίτι", "papers --calibration --dye-book", "build --only-tell",
    "build", "check", "cost 2026-999", "trace ζ", "match ζζζ", "tags --for ζ", "papers ζ", "papers",
    "quote 2026-C09", "quote 2026-C01 --accept", "quote 2026-C01 --accept --size 2",
    "quote 2026-C01 --accept --size 2 --yes", "sell 2026-002 300 --at πανηγύρι --yes",
    "sell 2026-003 9", "sell 2026-002 0", "move 2026-004 σπίτι --yes", "move 2026-004 σπίτι",
    "move σπίτι", "reprice 2026-001 2026-004 +8% --yes", "reprice 2026-001 +8",
    "count λινό 400g --yes",
    "count λινό 4kg", "count ζ 1g", "undo", *["undo --yes"] * 6,
    "quote", "start piece --like 2026-001", "start bath", "start commission", "",
)  # fmt: skip
# Units, forms of files and codes; names of standards, laws and tools: no sentences.
OURS_TO_KEEP = {
    *("g", "kg", "cm", "mm", "m", "h", "in", "lx", "px", "ft", "lb", "oz", "MB", "KB", "GBP"),
    "min",
    *("ISO", "CIE", "EU", "UK", "US", "PDF", "JSON", "CSV", "PROV", "CIDOC", "CRM", "Linked"),
    *("Art", "Atom", "QR", "URL", "http", "https", "html", "yaml", "toml", "jpg", "png"),
}
# Addresses, folders, files and their endings, options and the names of commands.
NO_WORDS = re.compile(
    r"https?://\S+|\S+@\S+|\S+/\S*|--?\w+|provenance( \w+)?"
    r"|\S*\.(yaml|pdf|csv|html|jpg|md|json|xml|woff2|avif|txt|css)\b",
    re.I,
)
# Authors and titles as they are cited, with a heading in a book (weld), and sites. What a source
# says in words of ours is told.
_TITLES = "|".join(
    re.escape(each["short"]).replace("\\ ", r"\s+") for each in table("sources").values()
)
CITED = re.compile(
    rf"({_TITLES})(,\s+weld\b)?"
    r"|Anderson 1996 \(PubMed \d+\)|McGuigan 1996 \(PubMed \d+\)|Bateman 2003"
    r"|Royal Children.s Hospital Melbourne|LiverTox|\b[a-z]+\d*\.(com|net)\b"
)
# Words of the records, as a maker types them, where they are quoted, listed as known, said to stand
# at a place, or shown as a line to type. Elsewhere they are words like others.
_WORD = "|".join(sorted(map(re.escape, record_words()), key=len, reverse=True))
RECORD = re.compile(
    rf"(?<=:\d: )({_WORD})(?=: ')|'({_WORD})'|(?<=: )({_WORD})(, ({_WORD}))+$"
    rf"|\{{({_WORD}): [^{{}}]*\}}",
    re.M,
)
# The names that a law of the United States has for fibres, on its labels.
US_LABEL = re.compile(r"(\d+%\s+)?\b(Wool|Linen)\b(\s+/\s+(\d+%\s+)?(Wool|Linen)\b)*")
SHOWN = re.compile(r"^  [-+] .*$", re.M)  # lines of a record that a deed would change
# What is wrong in WRONG, and the language, quoted to who wrote it; a kind, a deed, as written; a
# yarn dyed in place by the name to trace it by, which has its use as it is written.
TYPED = re.compile(
    r"'(rugg|notaword|el|120|-3 g|rug|(sell|move|reprice|count|quote) [^']*)'|\b2026-\d{3}\s+weft\b"
)
PUBLIC_KEYS = (
    "content", "title", "kind", "size", "weight", "cloth", "fibre", "fleece", "dyes", "price",
    "care", "light", "provenance", "history", "availability",
)  # fmt: skip


def _signs(text: str) -> str:
    """Every letter of a phrase as a sign; values in braces stay."""
    parts = re.split(r"(\{\{|\}\}|\{[^{}]*\})", text)
    return "".join(p if p.startswith(("{", "}")) else re.sub(r"[A-Za-z]", "¤", p) for p in parts)


@pytest.fixture
def signs(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Every catalogue of ours in signs."""
    real = catalogues.shipped.__wrapped__

    @cache  # as the real one is: a hundred commands ask for it
    def shipped(name: str = "en-GB") -> dict[str, str]:
        return {key: _signs(text) for key, text in real(name).items()}

    monkeypatch.setattr(catalogues, "shipped", shipped)
    language.british.cache_clear()
    yield
    language.british.cache_clear()


@pytest.fixture
def said(
    signs: None, kept_cache: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> dict[str, str]:
    """Where text came from -> the text, for everything that is said."""
    folder = tmp_path / "αρχεία"
    _write(folder)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", DAY)
    found = {}
    for turn, words in enumerate(COMMANDS):
        if words == "check" and turn > 1:
            (folder / "2026-007.yaml").write_text(WRONG, encoding="utf-8")
        asked = [*words.replace("OUT", str(tmp_path / "1")).split()]
        result = CliRunner().invoke(main, ["--studio", str(folder), *asked])
        assert result.exception is None or isinstance(result.exception, SystemExit), words
        found[f"$ {words} ({turn})"] = result.output
    for path in sorted([*(tmp_path / "site").rglob("*"), *(folder / "papers").rglob("*"),
                        tmp_path / "1.csv"]):  # fmt: skip
        if path.is_file():
            found[str(path.relative_to(tmp_path))] = "\n".join(_texts(path))
    return found


def _write(folder: Path) -> None:
    files = {
        "studio/studio.yaml": STUDIO, "studio/fleece.yaml": FLEECE, "studio/yarns.yaml": YARNS,
        "studio/dyestuffs.yaml": DYESTUFFS, "studio/mordants.yaml": MORDANTS,
        "studio/sundries.yaml": SUNDRIES, "studio/outlets.yaml": OUTLETS,
        "dyebook/λουτρό.yaml": BATH, "dyebook/ύστερο.yaml": EXHAUST,
        "commissions/2026-C01.yaml": COMMISSION, "2026-006.yaml": HALF,
        "pages/about.md": "# Εμείς\n\nΥφαίνουμε.\n", "pages/process.md": "# Πώς\n\nΈτσι.\n",
    }  # fmt: skip
    for n, (kind, lot, hours, more) in PIECES.items():
        files[f"2026-00{n}.yaml"] = PIECE.format(n=n, kind=kind, lot=lot, hours=hours, more=more)
        path = folder / "photos" / f"{n}.jpg"
        path.parent.mkdir(parents=True, exist_ok=True)
        Image.linear_gradient("L").resize((400, 500)).convert("RGB").save(path, "JPEG")
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")


def _texts(path: Path) -> Iterator[str]:
    if path.suffix == ".pdf":
        with pypdfium2.PdfDocument(path) as pdf:
            for page in pdf:
                yield page.get_textpage().get_text_range()
            yield pdf.get_metadata_value("Title")
    elif path.suffix == ".csv":
        for row in csv.reader(io.StringIO(path.read_text(encoding="utf-8-sig"))):
            yield from row
    elif path.suffix == ".json":
        if path.name != "prov.json":  # names of PROV-DM and AAT; its labels are on the pages too
            yield from _values(json.loads(path.read_text(encoding="utf-8")))
    elif path.suffix == ".html":
        yield from _page(path.read_text(encoding="utf-8"))


def _values(value: Any, key: str = "") -> Iterator[str]:
    if isinstance(value, dict):
        for name, each in value.items():
            yield from _values(each, name)
    elif isinstance(value, list):
        for each in value:
            yield from _values(each, key)
    elif isinstance(value, str) and key in ("", *PUBLIC_KEYS):
        yield value


def _page(markup: str) -> Iterator[str]:
    tree = html5lib.parse(markup, namespaceHTMLElements=False)
    for element in tree.iter():
        if not isinstance(element.tag, str) or element.tag in ("script", "style"):
            continue
        yield element.text or ""
        for name in ("alt", "title", "aria-label"):
            yield element.get(name) or ""
        if element.tag == "meta" and element.get("name") == "description":
            yield element.get("content") or ""
    for element in tree.iter():
        yield element.tail or "" if isinstance(element.tag, str) else ""


def test_no_letter_of_ours_is_left(said: dict[str, str]) -> None:
    species = {word for dye in dyes() for name in dye.species for word in name.split()}
    allowed = OURS_TO_KEEP | species
    left: dict[str, set[str]] = {}
    for where, text in said.items():
        for kept in (SHOWN, CITED, US_LABEL, RECORD, TYPED, NO_WORDS):
            text = kept.sub(" ", text)
        words = set(re.findall(r"(?<![\w#])[A-Za-z]{2,}(?!\w)", text)) - allowed
        if words:
            left[where] = words
    assert left == {}
