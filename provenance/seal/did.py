"""The studio's name for machines, `did:web:...`, and the document that lists its keys.

In: the address of a site, keys with the days they were used. Out: the name, where its document lies
on the site, and the document; or the keys that such a document names. did:web is a report of the
W3C Credentials Community Group; Multikey and the rules of retrieval are of Controlled Identifiers
v1.0 (W3C Recommendation 15 May 2025, 2.2 and 3.3). A key that is used no more stays listed with its
days, so that what it signed stays genuine; `revoked` is for one that others may have.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote, urlsplit

from provenance.seal import context
from provenance.seal.keys import PublicKey

CONTEXTS = ["https://www.w3.org/ns/did/v1", "https://w3id.org/security/multikey/v1"]
NAME = "did.json"


@dataclass(frozen=True, slots=True)
class Listed:
    """A key of the studio: its Multikey text, the days from and until it was used (`2026-11-25`;
    '' for one in use), the day it was withdrawn, where others may have it, and the name whose key
    it is ('' for one that was read on paper, which has none)."""

    key: str
    since: str = ""
    until: str = ""
    withdrawn: str = ""
    did: str = ""


def did_of(site: str) -> str:
    """`https://a.example/b` is `did:web:a.example:b`."""
    parts = urlsplit(site)
    path = [quote(part, safe="~-._%") for part in parts.path.strip("/").split("/") if part]
    return ":".join(["did:web", parts.netloc.lower().replace(":", "%3A"), *path])


def did_path(site: str) -> str:
    """Where the document lies below the root of the site."""
    return NAME if urlsplit(site).path.strip("/") else f".well-known/{NAME}"


def address_of(did: str) -> str:
    """The site again: `https://a.example/b`; '' for any other name."""
    host, *path = did.removeprefix("did:web:").split(":")
    if not did.startswith("did:web:") or not host:
        return ""
    return "/".join([f"https://{host.replace('%3A', ':')}", *path])


def did_document(site: str, keys: Sequence[Listed]) -> dict[str, Any]:
    """The document: every key there ever was, the one in use first."""
    did = did_of(site)
    methods = [_method(did, each) for each in keys]
    return {
        "@context": [*CONTEXTS, context.address(site)],
        "id": did,
        "verificationMethod": methods,
        "assertionMethod": [each["id"] for each in methods],
    }


def _method(did: str, key: Listed) -> dict[str, str]:
    days = {"usedFrom": key.since, "usedUntil": key.until}
    said = {
        "id": f"{did}#{key.key}",
        "type": "Multikey",
        "controller": did,
        "publicKeyMultibase": key.key,
        **days,
        "revoked": f"{key.withdrawn}T00:00:00Z" if key.withdrawn else "",
    }
    return {word: value for word, value in said.items() if value}


def keys_in(document: Mapping[str, Any]) -> tuple[Listed, ...]:
    """The keys that a document lists for statements; what is not written as it must be, is none."""
    did, allowed = document.get("id"), document.get("assertionMethod")
    methods = document.get("verificationMethod")
    if not isinstance(did, str) or not isinstance(methods, list) or not isinstance(allowed, list):
        return ()
    found = [each for each in methods if isinstance(each, dict) and each.get("id") in allowed]
    return tuple(key for each in found if (key := _listed(did, each)))


def _listed(did: str, method: Mapping[str, Any]) -> Listed | None:
    text = method.get("publicKeyMultibase")
    is_own = method.get("controller") == did and method.get("id") == f"{did}#{text}"
    if method.get("type") != "Multikey" or not isinstance(text, str) or not is_own:
        return None
    try:
        PublicKey.read(text)
    except ValueError:
        return None
    since, until, withdrawn = (
        str(method.get(word, ""))[:10] for word in ("usedFrom", "usedUntil", "revoked")
    )
    return Listed(text, since, until, withdrawn, did)
