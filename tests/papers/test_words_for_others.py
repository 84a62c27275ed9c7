"""What others read, in one voice: every page, feed, data, tag, certificate and sheet of the demo.

No key of a file is a word, no source is "from memory", no colour has a standard's name in speech, a
day has one form and thousands one sign; and a piece is the same on all of them.
"""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from provenance.build.tags_due import words_for
from provenance.language.phrases import british
from provenance.papers.certificates.certificate import certificate_of
from provenance.public.border import Border
from provenance.records.book import Book
from provenance.reference.colour_names import centroids

ROOT = Path(__file__).parents[2]
Sheets = Mapping[str, Mapping[str, bytes]]
OPEN = ("dale-fair", "harbour-gallery", "guild-shop", "fell-and-thread")
# Words of a standard that nobody says of a yarn; "dark red" and "yellow" are anybody's.
_PLAIN = "red|orange|yellow|green|blue|purple|violet|pink|brown|gr[ae]y|olive"
STIFF = re.compile(
    rf"\b(?:moderate|brilliant|medium gr[ae]y|\w+ish (?:\w+ish )?(?:{_PLAIN}))\b", re.IGNORECASE
)
MONTHS = "January February March April May June July August September October November December"


@pytest.fixture(scope="module")
def demo(demo_border: Border) -> Border:
    return demo_border


@pytest.fixture(scope="module")
def told(demo: Border, demo_site: Path, demo_papers: Sheets) -> Mapping[str, str]:
    """The words of everything for others, by where they stand."""
    papers = {**dict(_papers(demo_papers)), **dict(_certificates(demo))}
    return {**dict(_pages(demo_site)), **papers, **dict(_tags(demo))}


def _pages(site: Path) -> Iterator[tuple[str, str]]:
    for path in sorted(site.rglob("*.html")):
        text = path.read_text("utf-8")
        body = re.sub(r"(?s)<(style|script)\b.*?</\1>", " ", text)
        named = " ".join(re.findall(r'(?:alt|title|content|aria-label)="([^"]*)"', body))
        words = re.sub(r"<[^>]+>", " ", body)
        yield str(path.relative_to(site)), html.unescape(f"{words} {named}")
        for turn, found in enumerate(re.findall(r'(?s)ld\+json"[^>]*>(.*?)</script>', text)):
            yield f"{path.relative_to(site)} JSON-LD {turn}", _spoken(json.loads(found))
    for name in ("feed.xml", "**/piece.json"):
        for path in sorted(site.glob(name)):
            text = path.read_text("utf-8")
            is_data = path.suffix == ".json"
            words = _spoken(json.loads(text)) if is_data else re.sub(r"<[^>]+>", " ", text)
            yield str(path.relative_to(site)), html.unescape(words)


def _spoken(data: Any) -> str:
    """The text among data, but for addresses, days and keys."""
    if isinstance(data, dict):
        return "\n".join(_spoken(value) for key, value in data.items() if not key.startswith("@"))
    if isinstance(data, list):
        return "\n".join(map(_spoken, data))
    is_read = isinstance(data, str) and " " in data and not data.startswith("http")
    return data if is_read else ""


def _papers(papers: Sheets) -> Iterator[tuple[str, str]]:
    for outlet in OPEN:
        for name, content in papers[outlet].items():
            if name.endswith(".pdf"):
                yield f"{outlet} {name}", _text_of(content)


def _certificates(demo: Border) -> Iterator[tuple[str, str]]:
    for number in demo.book.pieces:
        there = demo.at_outlet_of(number)
        facts = there.piece(number)
        if not facts.is_draft:
            certificate = certificate_of(there.house, facts)
            lines = [line for row in certificate.record for line in row.lines]
            more = (
                *certificate.facts,
                certificate.light,
                certificate.care,
                *certificate.light_sources,
            )
            yield f"certificate {number}", "\n".join((*lines, *more, certificate.provenance))


def _tags(demo: Border) -> Iterator[tuple[str, str]]:
    for number, piece in demo.book.pieces.items():
        outlet = demo.book.outlets.get(piece.at) if piece.at else None
        yield f"tag {number}", "\n".join(words_for(demo, piece, outlet).text.values())


def _text_of(content: bytes) -> str:
    with pypdfium2.PdfDocument(content) as pdf:
        return "\n".join(page.get_textpage().get_text_range() for page in pdf)


def found(told: Mapping[str, str], pattern: str | re.Pattern[str]) -> list[tuple[str, str]]:
    """Where a pattern stands, with what stands there."""
    return [(where, each[0]) for where, text in told.items() for each in re.finditer(pattern, text)]


def _keys(book: Book) -> set[str]:
    """Keys of lots, baths and outlets that are more than one plain word."""
    lots = (*book.fleece, *book.yarns, *book.dyed, *book.dyestuffs, *book.mordants, *book.sundries)
    return {str(key) for key in (*lots, *book.baths, *book.outlets) if "-" in key}


def test_no_file_key_is_a_word(demo: Border, told: Mapping[str, str]) -> None:
    keys = _keys(demo.book)
    assert {"harbour-gallery", "storm-blue", "gotland-2025", "2026-06-vat"} <= keys
    said = "|".join(map(re.escape, sorted(keys, key=len, reverse=True)))
    # an address of the web or of a mailbox holds such words by right
    known = found(told, rf"(?<![\w./@-])(?:{said})(?![\w./@-]*\.example|[\w-])")
    assert known == []


@pytest.mark.parametrize(
    "wrong", [r"(?i)from memory", r"(?i)\bfades? soon\b", r"(?i)year.s light", r"(?<![\d.,])0 g\b"]
)
def test_nothing_is_said_that_a_buyer_should_not_read(told: Mapping[str, str], wrong: str) -> None:
    assert found(told, wrong) == []


def test_colours_are_said_in_plain_words(told: Mapping[str, str]) -> None:
    assert STIFF.search("Moderate yellow green") and STIFF.search("dark grayish blue")
    assert sum(bool(STIFF.search(name)) for name, _ in centroids()) > 150
    assert found(told, STIFF) == []


def test_a_day_has_one_form(told: Mapping[str, str]) -> None:
    months = "|".join(MONTHS.split())
    short = "|".join(month[:3] for month in MONTHS.split() if month != "May")
    wrong = (
        rf"\b\d{{1,2}}\.? (?:{short})\b",  # 28 Nov
        rf"\b(?:{months}) \d{{1,2}}\b(?! ?%)",  # November 28
        r"(?<![\w/-])20\d\d-[01]\d-[0-3]\d(?![\w-])",  # as in records
        rf"\b\d{{1,2}}(?: (?:{months}))?(?: \d{{4}})? ?– ?\d{{1,2}} (?:{months})",  # 28–29 November
    )
    assert [each for pattern in wrong for each in found(told, pattern)] == []
    assert len(found(told, rf"\b\d{{1,2}} (?:{months}) 20\d\d\b")) > 50
    assert "28 to 29 November 2026" in told["where/index.html"]


def test_thousands_have_one_sign(told: Mapping[str, str]) -> None:
    assert found(told, r"\b\d{1,3}[   ']000\b") == []
    assert found(told, r"£\d{4,}") == []
    assert len(found(told, r"\b\d{1,3},\d{3}\b")) > 20


def test_each_outlet_has_one_name(demo: Border, told: Mapping[str, str]) -> None:
    for name in demo.book.outlets:
        title = demo.outlet(name).title
        ways = {way for _, way in found(told, rf"(?i)\b{re.escape(title)}\b")}
        assert {way[1:] for way in ways} <= {title[1:]}, (name, ways)


def _public(demo: Border) -> list[str]:
    return [number for number in demo.book.pieces if not demo.piece(number).is_draft]


def test_a_piece_is_the_same_on_page_data_tag_certificate_and_list(
    demo: Border, demo_site: Path, told: Mapping[str, str]
) -> None:
    for number in _public(demo):
        facts = demo.piece(number)
        page = " ".join(told[f"{number}/index.html"].split())
        data = json.loads((demo_site / number / "piece.json").read_text("utf-8"))
        paper, tag = told[f"certificate {number}"], told[f"tag {number}"]
        shares = re.findall(r"\d+ % [\w-]+", facts.fibres)
        assert number in page and facts.title in page and facts.size_cm in page
        assert (data["number"], data["title"], data["size"]) == (number, facts.title, facts.size)
        assert facts.size in paper and number in tag and facts.title in tag
        for share in shares:
            assert share in page and share in data["fibre"] and share in paper, (number, share)
        linked = _linked(demo_site / number / "index.html")
        assert number in linked and f'"{facts.title}"' in linked
        if facts.state == "available" and facts.amount:
            assert f'"price": "{float(facts.amount):.2f}"' in linked, linked
        _same_price(demo, number, page, tag, data)


def _linked(page: Path) -> str:
    """The structured data of a page, in one form."""
    text = page.read_text("utf-8")
    found = re.findall(r'(?s)ld\+json"[^>]*>(.*?)</script>', text)
    return json.dumps([json.loads(each) for each in found], ensure_ascii=False)


def _same_price(demo: Border, number: str, page: str, tag: str, data: Mapping[str, Any]) -> None:
    """One price; a sold piece has none for buyers."""
    facts = demo.piece(number)
    prices = set(re.findall(r"£[\d,.]*\d", page))
    if facts.state == "available":
        assert prices == {facts.price} and data["price"] == facts.price_each
        assert facts.price in tag
    else:
        assert prices <= ({facts.price} if facts.state == "reserved" else set())
        assert not data.get("price")


def test_the_lists_of_outlets_have_the_price_of_the_tag(
    demo: Border, told: Mapping[str, str]
) -> None:
    lists = {"dale-fair": ("price-list.pdf", "inventory.pdf"), "guild-shop": ("inventory.pdf",),
             "harbour-gallery": ("wall-labels.pdf", "consignment.pdf")}  # fmt: skip
    for outlet, names in lists.items():
        numbers = [n for n in _public(demo) if outlet in demo.piece(n).outlets]
        assert numbers
        for name in names:
            text = told[f"{outlet} {name}"]
            for number in numbers:
                facts = demo.piece(number)
                assert number in text and facts.title in text and facts.price in text, (
                    name,
                    number,
                )


def test_the_same_of_light_wherever_it_is_told(demo: Border, told: Mapping[str, str]) -> None:
    """What the tag says of light, page and certificate say in the same words."""
    for number in _public(demo):
        short = demo.piece(number).short_light
        for where in (f"{number}/index.html", f"certificate {number}", f"tag {number}"):
            line = " ".join(told[where].split())
            assert short in line or short == british().say("light_short.undyed"), (where, short)
