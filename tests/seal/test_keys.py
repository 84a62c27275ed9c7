"""Keys: on paper and back, in files, in the studio's did:web document."""

from __future__ import annotations

import string
from dataclasses import replace
from typing import Any

import pytest

from provenance.seal.did import Listed, address_of, did_document, did_of, did_path, keys_in
from provenance.seal.keys import SecretKey, same_fingerprint
from provenance.seal.letters import SlipOfThePen, from_groups, groups_of

KEY = SecretKey(bytes(range(32)))
SITE = "https://brackenfold.example"


def test_a_key_comes_back_from_paper_however_it_is_typed() -> None:
    for seed in (bytes(range(32)), bytes(32), b"\xff" * 32):
        groups = groups_of(seed)
        assert [len(group) for group in groups] == [5] * 14
        assert from_groups(" ".join(groups)) == seed
        assert from_groups("\n".join(groups).lower().replace("0", "o").replace("1", "l")) == seed


def test_every_wrong_letter_is_found_in_its_group() -> None:
    groups = groups_of(KEY.seed)
    letters = sorted({*string.digits, *string.ascii_uppercase} - {*"ILOU"})
    for turn, group in enumerate(groups):
        for at in range(5):
            for letter in set(letters) - {group[at]}:
                wrong = group[:at] + letter + group[at + 1 :]
                typed = [*groups[:turn], wrong, *groups[turn + 1 :]]
                with pytest.raises(SlipOfThePen):
                    from_groups(" ".join(typed))


def test_groups_that_changed_places_are_found() -> None:
    first, second, *others = groups_of(KEY.seed)
    with pytest.raises(SlipOfThePen):
        from_groups(" ".join([second, first, *others]))
    with pytest.raises(SlipOfThePen) as slip:
        from_groups(" ".join([first, second]))
    assert slip.value.group == 0


def test_a_locked_file_opens_with_its_pass_phrase_alone() -> None:
    locked = KEY.pem(b"a long walk")
    assert SecretKey.from_pem(locked, b"a long walk") == KEY
    assert b"ENCRYPTED" in locked
    with pytest.raises(ValueError):
        SecretKey.from_pem(locked, b"another")
    with pytest.raises(TypeError):
        SecretKey.from_pem(locked, None)
    assert SecretKey.from_pem(KEY.pem(None), None) == KEY


def test_the_secret_is_never_shown() -> None:
    assert KEY.seed.hex() not in repr(KEY) and repr(KEY) == "SecretKey()"


def test_a_fingerprint_is_the_same_however_it_is_written() -> None:
    told = KEY.public.fingerprint
    assert len(told) == 24 and len(told.split()) == 5
    assert same_fingerprint(told, told.lower().replace(" ", "-"))
    assert not same_fingerprint(told, SecretKey(bytes(32)).public.fingerprint)


@pytest.mark.parametrize(
    ("site", "did", "path"),
    [
        (SITE, "did:web:brackenfold.example", ".well-known/did.json"),
        (
            "https://w3c-ccg.github.io/user/alice",
            "did:web:w3c-ccg.github.io:user:alice",
            "did.json",
        ),
        (
            "https://example.com:3000/user/alice",
            "did:web:example.com%3A3000:user:alice",
            "did.json",
        ),
    ],
)
def test_names_are_those_of_did_web(site: str, did: str, path: str) -> None:
    """Names as in the did:web method, github.com/w3c-ccg/did-method-web, commit ea423c1 (read)."""
    assert did_of(site) == did
    assert did_path(site) == path
    assert address_of(did) == site


def test_keys_are_read_back_from_the_document_with_their_days() -> None:
    keys = (
        Listed(KEY.public.text, "2027-01-01"),
        Listed(SecretKey(bytes(32)).public.text, "2026-01-05", "2027-01-01"),
        Listed(SecretKey(b"\1" * 32).public.text, "2025-01-05", "2026-01-05", "2026-01-05"),
    )
    told = tuple(replace(each, did=did_of(SITE)) for each in keys)
    assert keys_in(did_document(SITE, keys)) == told


@pytest.mark.parametrize(
    "change",
    [
        {"type": "JsonWebKey"},
        {"controller": "did:web:other.example"},
        {"id": "did:web:brackenfold.example#other"},
        {"publicKeyMultibase": "z6Mk"},
    ],
)
def test_a_key_that_is_not_listed_as_it_must_be_is_none(change: dict[str, Any]) -> None:
    document = did_document(SITE, [Listed(KEY.public.text, "2027-01-01")])
    document["verificationMethod"][0] |= change
    assert keys_in(document) == ()
    assert keys_in({**did_document(SITE, [Listed(KEY.public.text)]), "assertionMethod": []}) == ()
