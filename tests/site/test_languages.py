"""The site in other languages, and with a maker's own phrases."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping

import html5lib

from provenance.reference.spelling import american

Site = Callable[[Mapping[str, str]], Mapping[str, bytes]]
NAME = "2026-014-saltmarsh.yaml"


def words_of(page: bytes) -> Iterator[str]:
    """All a reader of a page meets: its texts, and the texts of attributes that are read out."""
    tree = html5lib.parse(page.decode(), namespaceHTMLElements=False)
    for element in tree.iter():
        if element.tag in ("script", "style"):
            continue
        yield from (element.text or "", element.tail or "")
        said = (element.get(name, "") for name in ("aria-label", "alt", "content", "title"))
        yield from (text for text in said if not text.startswith("https:"))


def pages(files: Mapping[str, bytes]) -> dict[str, str]:
    return {
        path: " ".join(" ".join(words_of(content)).split())
        for path, content in files.items()
        if path.endswith(".html")
    }


RUG = """\
number: 2026-015
title: Rug
kind: rug
finished: 2026-09-20
size: 100 x 60 cm
yarns: [{use: weft, lot: linen-warp, weight: 300 g, colour: "#8a2f2a"}]
hours: {weaving: 9}
photos: [{file: rug.jpg, alt: A pale rug}]
"""


def in_language(small: Mapping[str, str], language: str, currency: str) -> dict[str, str]:
    studio = small["studio/studio.yaml"].replace("GBP", currency)
    return {
        "studio/studio.yaml": f"{studio}language: {language}\n",
        NAME: f"{small[NAME]}price: 1450\nfinished: 2026-09-14\nweight: 592 g\n",
    }


def test_a_makers_own_phrases_reach_every_page(
    site_with: Site, small_studio: Mapping[str, str]
) -> None:
    own = (
        "phrases: {page.work: Cloths, page.ask: 'Write about {number}', kind.hanging: Wall cloth}\n"
    )
    studio = small_studio["studio/studio.yaml"]
    more = "contact: {email: hello@brackenfold.example}\npublic contact: [email]\n"
    files = site_with({"studio/studio.yaml": studio + more + own})
    said = pages(files)
    assert all("Cloths" in text for path, text in said.items() if path != "404.html")
    assert "Write about 2026-014" in said["2026-014/index.html"]
    assert "Wall cloth, 2026" in said["work/index.html"]
    assert b'"artform": "Wall cloth"' in files["2026-014/index.html"]


def test_an_american_site_is_american(site_with: Site, small_studio: Mapping[str, str]) -> None:
    rug = {"2026-015-rug.yaml": RUG}  # lists by color part the work where they differ
    files = site_with({**in_language(small_studio, "en-US", "USD"), **rug})
    said = pages(files)
    for path, text in said.items():
        own = re.sub(r"\b[\w-]+(?:\.[\w-]+)+", "", text)  # addresses are spelt as they are
        assert american(own) == own, path
    page = said["2026-014/index.html"]
    for form in ("$1,450", "H 48 7/8 × W 33 7/8 in (124 × 86 cm)", "1 lb 4.9 oz (592 g)", "Fiber"):
        assert form in page
    assert "By color" in said["work/index.html"]
    assert b'<html lang="en-US">' in files["index.html"]
    # Programs are told metric figures in every language.
    assert b'"unitCode": "CMT"' in files["2026-014/index.html"]


def test_a_british_site_is_not(site_with: Site, small_studio: Mapping[str, str]) -> None:
    said = pages(site_with(in_language(small_studio, "en-GB", "GBP")))
    assert any(american(text) != text for text in said.values())
    assert "£1,450" in said["2026-014/index.html"]


def test_a_german_site_has_german_forms_and_words(
    site_with: Site, small_studio: Mapping[str, str]
) -> None:
    files = site_with(in_language(small_studio, "de", "EUR"))
    page = pages(files)["2026-014/index.html"].replace("\u00a0", " ")
    assert "1.450 €" in page
    assert "Vom Vlies zum Gewebe" in page and "From fleece to cloth" not in page
    assert b'<html lang="de">' in files["2026-014/index.html"]
    assert b'"price": "1450.00"' in files["2026-014/index.html"]
