"""What a registrar asks, on every paper that tells of a piece: certificate, page, museum record.

Facts are said where they are written and nowhere else. What is asked of a cloth: its yarns and its
weave, as on the check list of Identifying Textile Types and Weaves (V&A and Dress and Textile
Specialists, 2007); owners only by consent (AAM guide, as quoted at museumprovenance.org).
"""

import html
import json
import re
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from PIL import Image

from provenance.papers.certificates.certificate import certificate_of
from provenance.site.pages import site_files
from provenance.site.whole import Site

Papers = Mapping[str, str]
NUMBER = "2026-014"
PIECE, YARNS, MORDANTS = "2026-014-saltmarsh.yaml", "studio/yarns.yaml", "studio/mordants.yaml"
BATH = "dyebook/marsh.yaml"
ALL = {"certificate", "page", "structured data", "museum record", "facts"}
TWISTED = """\
gotland-2ply:
  fleece: {gotland-2025: 2.0 kg}
  weight: 960 g
  plies: 2
  twist: Z plied S
  hours: {spinning: 26}
linen-warp: {fibre: linen, weight: 1 kg, cost: 41.00, plies: 1}
"""
SUNDRIES = """\
hanging bar: {each: 6.80, material: oak}
foot rod: {each: 2}
lining: {each: 3, fibre: cotton}
"""


@pytest.fixture
def papers(
    parts_with: Callable[[Mapping[str, str]], Site], small_studio: Mapping[str, str], tmp_path: Path
) -> Callable[..., Papers]:
    """`papers(more, records)`: the text of every paper of a piece, with more written of it."""

    def made(more: str = "", records: Mapping[str, str] | None = None) -> Papers:
        photo = tmp_path / "pieces" / "photos" / "front.jpg"
        photo.parent.mkdir(parents=True, exist_ok=True)
        Image.new("L", (40, 50)).save(photo)
        site = parts_with({PIECE: small_studio[PIECE] + more, **(records or {})})
        (piece,) = site.pieces
        files = site_files(site)
        page = files[f"{NUMBER}/index.html"].decode()
        data = re.search(r'<script type="application/ld\+json">(.*?)</script>', page, re.DOTALL)
        assert data
        plain = re.sub(r"<script.*?</script>|<[^>]*>", " ", page, flags=re.DOTALL)
        it = certificate_of(site.studio, piece.facts)
        lines = [*it.facts, *(line for row in it.record for line in row.lines)]
        return {
            "certificate": " | ".join([it.kind_line, it.provenance, *lines]),
            "page": " ".join(html.unescape(plain).split()),
            "structured data": json.dumps(json.loads(data[1]), ensure_ascii=False),
            "museum record": files[f"{NUMBER}/linked-art.json"].decode(),
            "making": files[f"{NUMBER}/prov.json"].decode(),
            "facts": files[f"{NUMBER}/piece.json"].decode(),
        }

    return made


def where(found: Papers, words: str) -> set[str]:
    """The papers that say something."""
    return {name for name, text in found.items() if words.casefold() in text.casefold()}


def test_sett_is_said_where_it_is_written(papers: Callable[..., Papers]) -> None:
    found = papers("sett: {ends: 3 per cm, picks: 13 per cm}\n")
    assert where(found, "3 ends and 13 picks per cm") == ALL
    # An inch is 2.54 cm (agreement of 1959): 15 / 2.54 = 5.9.
    assert where(papers("sett: {ends: 15 per in}\n"), "5.9 ends per cm") == ALL
    assert where(papers("sett: {ends: 6 epi on the loom}\n"), "per cm, counted on the loom") == ALL
    assert where(found, "on the loom") == set()
    assert where(papers(), "per cm") == set()


def test_sett_is_counted_by_the_inch_in_america(
    papers: Callable[..., Papers], small_studio: Mapping[str, str]
) -> None:
    american = {"studio/studio.yaml": small_studio["studio/studio.yaml"] + "language: en-US\n"}
    found = papers("sett: {ends: 15 per in, picks: 20 per cm}\n", american)
    # 20 per cm x 2.54 cm to the inch = 50.8 per inch.
    assert where(found, "15 ends and 50.8 picks per inch") == ALL


def test_ply_and_twist_of_spun_and_bought_yarn(papers: Callable[..., Papers]) -> None:
    found = papers("", {YARNS: TWISTED})
    assert where(found, "weft: 2-ply, twist Z plied S; warp: singles") == ALL
    assert where(papers(), "weft: ") | where(papers(), "singles") == set()


def test_yarns_that_are_silent_are_not_spoken_for(
    papers: Callable[..., Papers], small_studio: Mapping[str, str]
) -> None:
    grey = "grey: {fibre: wool, weight: 1 kg, cost: 9}\n"
    line = "  - {use: weft, lot: grey, weight: 40 g}\nhours:"
    found = papers("", {
        YARNS: TWISTED + grey, PIECE: small_studio[PIECE].replace("hours:", line),
    })  # fmt: skip
    assert where(found, "weft partly 2-ply, twist Z plied S; warp: singles") == ALL


def test_staple_and_fineness_of_the_fleece(papers: Callable[..., Papers]) -> None:
    fleece = "gotland-2025: {breed: Gotland, weight: 3 kg, staple: 12 cm, micron: 34 micron}\n"
    found = papers("", {"studio/fleece.yaml": fleece})
    assert where(found, "weft: staple 12 cm, fineness 34 micron") == ALL


def test_how_it_was_woven(papers: Callable[..., Papers]) -> None:
    assert where(papers("woven: sideways\n"), "woven sideways, warp horizontal") == ALL
    assert where(papers("woven: lengthways\n"), "woven lengthways, warp vertical") == ALL
    assert where(papers(), "woven sideways") | where(papers(), "woven lengthways") == set()


def test_mount_and_hook(papers: Callable[..., Papers]) -> None:
    bars, lots = (
        "sundries: {hanging bar: 1, foot rod: 1, lining: 1}\n",
        {"studio/sundries.yaml": SUNDRIES},
    )
    found = papers(f"{bars}hook: 4 cm above\n", lots)
    assert where(found, "hanging bar (oak), foot rod; hook 4 cm above the top edge") == ALL
    assert where(papers("hook: 2 cm below the top edge\n"), "Hook 2 cm below the top edge") == ALL
    assert where(papers("hook: 0 cm above\n"), "Hook at the top edge") == ALL
    assert where(papers(), "top edge") == set()


def test_mordants_were_in_the_bath_and_are_no_contents(
    papers: Callable[..., Papers], small_studio: Mapping[str, str]
) -> None:
    found = papers("", {
        MORDANTS: "alum: {weight: 1 kg, cost: 9.50}\nfructose: {weight: 1 kg}\n",
        BATH: small_studio[BATH].replace("alum: 12 %", "alum: 12 %, fructose: 13 %"),
    })  # fmt: skip
    assert where(found, "mordanted with alum; in the baths: fructose") == ALL
    # 12 % of 412 g of yarn are 49.4 g, and 13 % are 53.6 g, in the bath: no paper says so.
    for grams in ("49 g", "49.4 g", "54 g", "53.6 g", '"g"'):
        assert where(found, grams) == set(), grams
    making = json.loads(found["making"])["entity"]
    assert "schema:weight" not in making["here:mordant-alum"]


def test_a_mordant_is_known_by_what_its_lot_is(
    papers: Callable[..., Papers], small_studio: Mapping[str, str]
) -> None:
    found = papers("", {
        MORDANTS: "white salt: {is: alum, weight: 1 kg}\n",
        BATH: small_studio[BATH].replace("alum", "white salt"),
    })  # fmt: skip
    assert where(found, "mordanted with white salt") == ALL


@pytest.mark.parametrize("edition", ["", "edition: one of a kind\n", "edition: 3 of 8\n"])
def test_an_edition_is_said_only_where_it_is_written(
    papers: Callable[..., Papers], edition: str
) -> None:
    found = papers(edition)
    told = {"certificate", "museum record", "facts"}
    assert where(found, "one of a kind") == (told if "kind" in edition else set())
    assert where(found, "3 of 8") == (told if "of 8" in edition else set())
    # schema.org: artEdition is the total number of copies, so 8 and never 3.
    assert ('"artEdition": "8"' in found["structured data"]) == ("of 8" in edition)
    assert ("artEdition" in found["structured data"]) == ("of 8" in edition)
    (kind_line,) = re.findall(r"^Hanging, 2026.*?(?= \|)", found["certificate"])
    assert kind_line == {
        "": "Hanging, 2026",
        "edition: one of a kind\n": "Hanging, 2026. One of a kind.",
        "edition: 3 of 8\n": "Hanging, 2026. Edition 3 of 8.",
    }[edition]  # fmt: skip


OWNED = {"certificate", "page", "facts"}


@pytest.mark.parametrize(
    "to",
    [
        "Private collection, Leeds",
        "A private collection in Leeds",
        "private collection of T. Garrick, Leeds",
        "PRIVATE COLLECTION (Leeds)",
        "Tobias Garrick, Leeds",
    ],
)
def test_no_name_and_no_town_without_consent(papers: Callable[..., Papers], to: str) -> None:
    buyer = "buyer: {name: Tobias Garrick}"
    found = papers(f'sale: {{on: 2026-11-02, price: 900, to: "{to}", {buyer}}}\n')
    assert where(found, "Leeds") | where(found, "Garrick") == set()
    assert where(found, "; private collection, 2026.") == OWNED


def test_with_consent_the_owners_words_stand(papers: Callable[..., Papers]) -> None:
    found = papers('sale: {on: 2026-11-02, to: "Private collection, Leeds", consent: yes}\n')
    assert where(found, "; private collection, Leeds, 2026.") == OWNED


def test_an_offer_to_the_us_says_where_it_is_made(papers, small_studio):
    """16 CFR 303.34: an offer by post or on the web says made in U.S.A., imported or both."""
    studio = small_studio["studio/studio.yaml"]
    words = "Origin Made in England; for buyers in the US: imported"
    for markets, pages in (("[UK, EU]", set()), ("[UK, US]", {"page"})):
        more = f"origin: Made in England\nlabels for: {markets}\n"
        assert where(papers(records={"studio/studio.yaml": studio + more}), words) == pages
