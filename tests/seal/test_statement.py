"""The statement of a piece, and the verdict on it: what is changed anywhere is found."""

from __future__ import annotations

import copy
import hashlib
import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from pyld import jsonld

from provenance.digest import digest_of
from provenance.figures.flow.gather import studio_flow
from provenance.problems import Slip
from provenance.public.border import Border
from provenance.records.book import read_book
from provenance.seal import context
from provenance.seal.checking import CHANGED, GENUINE, NOT_OURS, UNKNOWN, UNSIGNED, Trusted, verdict
from provenance.seal.did import Listed, did_of
from provenance.seal.keys import SecretKey
from provenance.seal.proof import options_for, signed
from provenance.seal.reading import differences, leaves, read_document
from provenance.seal.statement import OfIssue, Pictured, Superseded, statement
from provenance.site.museum import linked_art
from provenance.site.prov import prov
from provenance.site.shown import shown_piece
from provenance.studio import Studio

DEMO = Path(__file__).parents[2] / "pieces"
TRUTH = Path(__file__).parents[1] / "truth" / "seal"
DAY = date(2026, 11, 25)
KEY, OTHER = SecretKey(b"\2" * 32), SecretKey(b"\1" * 32)
LISTED = Listed(KEY.public.text, "2026-01-05")
PICTURES = (Pictured("pictures/2026-014-1-1600.jpg", "ab" * 32),)
BEFORE = Superseded(1, "cd" * 32, ("weight",), "Facts were mended or added.")


@pytest.fixture(scope="module")
def border() -> Border:
    book, _ = read_book(DEMO)
    assert book
    return Border(Studio(book, studio_flow(book), {}, DAY))


def made(border: Border, key: SecretKey = KEY, **more: Any) -> dict[str, Any]:
    issue = OfIssue(2, DAY, BEFORE)
    said = statement(border.house, border.piece("2026-014"), PICTURES, issue)
    method = f"{did_of(border.house.site)}#{key.public.text}"
    return signed({**said, **more}, options_for({**said, **more}, method, f"{DAY}T00:00:00Z"), key)


@pytest.fixture(scope="module")
def certificate(border: Border) -> dict[str, Any]:
    return made(border)


def judged(document: dict[str, Any], *keys: Listed, fingerprints: tuple[str, ...] = ()) -> str:
    """The verdict on a document that went through a file."""
    read = read_document(json.dumps(document).encode())
    return verdict(read, Trusted(keys or (LISTED,), fingerprints)).word


def places(value: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to every text, however deep."""
    if isinstance(value, dict):
        for name, each in value.items():
            yield from places(each, (*way, name))
    elif isinstance(value, list):
        for turn, each in enumerate(value):
            yield from places(each, (*way, turn))
    else:
        yield way


def test_it_is_genuine_as_it_was_signed(certificate: dict[str, Any]) -> None:
    assert judged(certificate) == GENUINE


def test_every_text_of_it_that_is_changed_is_found(certificate: dict[str, Any]) -> None:
    ways = [*places(certificate)]
    assert len(ways) > 300
    for way in ways:
        forged = copy.deepcopy(certificate)
        at: Any = forged
        for step in way[:-1]:
            at = at[step]
        at[way[-1]] = at[way[-1]] + " "
        assert judged(forged) != GENUINE, way


def test_every_member_that_is_gone_or_added_is_found(certificate: dict[str, Any]) -> None:
    for of in ((), ("credentialSubject",), ("issuer",), ("proof",), ("issue",)):
        for name in (*(certificate[of[0]] if of else certificate), "more"):
            forged = copy.deepcopy(certificate)
            at = forged[of[0]] if of else forged
            if name == "more":
                at["more"] = "x"
            else:
                del at[name]
            assert judged(forged) != GENUINE, (of, name)


def test_other_order_and_spaces_are_the_same_statement(certificate: dict[str, Any]) -> None:
    def turned(value: Any) -> Any:
        if isinstance(value, dict):
            return {name: turned(value[name]) for name in reversed(value)}
        return [*map(turned, value)] if isinstance(value, list) else value

    assert judged(turned(certificate)) == GENUINE
    for text in (json.dumps(certificate, indent=7), json.dumps(certificate, ensure_ascii=False)):
        assert verdict(read_document(text.encode()), Trusted((LISTED,))).word == GENUINE


def test_terms_that_were_added_are_refused(certificate: dict[str, Any]) -> None:
    """By the suite alone they would pass (Data Integrity EdDSA Cryptosuites v1.0, 3.3.2)."""
    appended = copy.deepcopy(certificate)
    appended["@context"].append({"percent": "https://example.org/lies"})
    assert judged(appended) == CHANGED
    both = copy.deepcopy(appended)
    both["proof"]["@context"] = both["@context"]
    assert judged(both) == CHANGED


def test_a_key_is_not_believed_because_it_names_itself(border: Border) -> None:
    forged = made(border, OTHER)
    assert judged(forged) == UNKNOWN
    assert judged(forged, Listed(OTHER.public.text)) == GENUINE
    assert judged(forged, fingerprints=(OTHER.public.fingerprint.lower(),)) == GENUINE


def test_another_issuer_or_terms_elsewhere_are_refused_even_when_signed(border: Border) -> None:
    assert judged(made(border, issuer={"id": "did:web:other.example", "name": "X"})) == CHANGED
    elsewhere = {"@context": context.context_of("https://other.example")}
    assert judged(made(border, **elsewhere)) == CHANGED


def test_what_a_retired_key_signed_stays_genuine_and_a_withdrawn_one_not(border: Border) -> None:
    signed_then = made(border)
    text = KEY.public.text
    assert judged(signed_then, Listed(text, "2026-01-05", "2026-11-25")) == GENUINE
    assert judged(signed_then, Listed(text, "2026-01-05", "2026-11-24")) == UNKNOWN
    assert judged(signed_then, Listed(text, "2026-01-05", "", "2027-01-01")) == UNKNOWN


def test_unsigned_and_foreign_documents_are_told_apart(certificate: dict[str, Any]) -> None:
    bare = {name: value for name, value in certificate.items() if name != "proof"}
    assert judged(bare) == UNSIGNED
    example = json.loads((TRUTH / "eddsa-jcs-2022.json").read_text())["signed"]
    assert judged(example) == NOT_OURS


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ('{"type": "a", "type": "b"}', "seal.twice"),
        ('{"a": [{"b": "1", "b": "1"}]}', "seal.twice"),
        ('{"a": 1}', "seal.number"),
        ('{"a": 1.5e3}', "seal.number"),
        ('{"a": NaN}', "seal.number"),
        ('{"a": null}', "seal.no_text"),
        ('{"a": [true]}', "seal.no_text"),
        ("[]", "seal.no_json"),
        ('{"a": "b"', "seal.no_json"),
        ("[" * 200_000, "seal.no_json"),
        ("\ufeff{}", "seal.no_json"),
    ],
)
def test_what_can_be_read_two_ways_is_not_read(text: str, why: str) -> None:
    with pytest.raises(Slip) as slip:
        read_document(text.encode())
    assert getattr(slip.value.what, "key", "") == why


def test_what_differs_is_named(certificate: dict[str, Any]) -> None:
    forged = copy.deepcopy(certificate)
    forged["credentialSubject"]["weight"]["value"] = "900"
    forged["credentialSubject"]["care"].append("Boil it.")
    assert differences(certificate, forged) == [
        "credentialSubject.weight.value",
        f"credentialSubject.care[{len(forged['credentialSubject']['care']) - 1}]",
    ]


# Others can read it


def test_it_fits_the_schema_of_the_w3c(certificate: dict[str, Any]) -> None:
    schema = json.loads((TRUTH / "vc-schema-v2.json").read_text())
    jsonschema.validate(certificate, schema)


def loaded(address: str, _options: Any = None) -> dict[str, Any]:
    known = {
        context.CREDENTIALS: (TRUTH / "credentials-v2.json").read_bytes(),
        context.address("https://brackenfold.example"): context.content(),
    }
    document = json.loads(known[address])
    return {"contextUrl": None, "documentUrl": address, "document": document}


def test_every_word_has_a_term(certificate: dict[str, Any]) -> None:
    """Whoever reads it as linked data loses nothing: texts in are texts out."""
    bare = {name: value for name, value in certificate.items() if name != "proof"}
    expanded = jsonld.expand(bare, {"documentLoader": loaded})
    told = {str(value) for _, value in leaves(bare) if value not in bare["@context"]}
    found = json.dumps(expanded, ensure_ascii=False)
    known = json.loads(context.content())["@context"]
    lost = [text for text in told if json.dumps(text, ensure_ascii=False) not in found]
    assert [text for text in lost if text not in known and text != "VerifiableCredential"] == []
    assert "http://www.w3.org/ns/prov#used" in found and "https://schema.org/material" in found


def test_terms_never_change() -> None:
    assert hashlib.sha256(context.content()).hexdigest() == context.DIGEST


def test_it_names_its_terms_and_pictures_by_digest(certificate: dict[str, Any]) -> None:
    picture, terms = certificate["relatedResource"]
    assert picture["id"] == "https://brackenfold.example/pictures/2026-014-1-1600.jpg"
    assert picture["digestMultibase"].startswith("uEi")
    assert terms["id"] == certificate["@context"][1]


def test_no_number_stands_in_it_and_no_owner(border: Border) -> None:
    for number in border.studio.book.pieces:
        said = statement(border.house, border.piece(number), PICTURES)
        assert all(isinstance(value, str) for _, value in leaves(said)), number
        buyer = border.studio.book.pieces[number].sale
        name = str(buyer.buyer.name) if buyer and buyer.buyer and buyer.buyer.name else "\0"
        assert name not in json.dumps(said, ensure_ascii=False)


# One telling: statement, museum record and file of the making have the same masses


def test_statement_museum_record_and_making_tell_the_same_masses(border: Border) -> None:
    compared = 0
    for number in border.studio.book.pieces:
        facts = border.piece(number)
        if not facts.making.steps:
            continue
        piece, said = shown_piece(facts, {}), statement(border.house, facts)["credentialSubject"]
        museum = {
            each["classified_as"][0]["_label"]: each["value"]
            for each in linked_art(border.house, piece)["dimension"]
        }
        if "weight" in said:
            assert str(museum["weight (heaviness attribute)"]) == said["weight"]["value"], number
        entities = prov(border.house, piece)["entity"]
        theirs = {
            name.partition(":")[2]: fields["schema:weight"]
            for name, fields in entities.items()
            if "schema:weight" in fields and name.startswith("here:")
        }
        mine = {
            each["id"].partition("#")[2]: f"{each['weight']['value']} g"
            for each in said["making"]
            if "weight" in each
        }
        assert mine == theirs and mine, number
        compared += len(mine)
    assert compared > 50


def test_fibres_by_mass_add_up_to_the_cloth(border: Border) -> None:
    facts = border.piece("2026-014")
    assert [(each.fibre, each.percent) for each in facts.masses] == [("wool", 89), ("linen", 11)]
    assert sum(each.grams for each in facts.masses) == facts.grams
    for each in facts.masses:
        assert each.low <= each.percent + 1 and each.percent - 1 <= each.high


def test_it_is_the_same_every_time(border: Border, certificate: dict[str, Any]) -> None:
    assert digest_of(json.dumps(made(border))) == digest_of(json.dumps(certificate))
