"""The verdict on a statement: genuine, changed, of an unknown key, unsigned, or none of ours.

In: a document, the keys that are trusted (from the studio's published document, or a fingerprint
that somebody read on paper). Out: a `Verdict`. A key is never trusted because a statement names
it; the context must be just ours; form, issuer and key must fit each other. The page that checks
in a browser (`templates/site/checking.js`) asks the same questions in the same order.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from provenance.problems import SILENCE, Said
from provenance.seal import context
from provenance.seal.did import Listed, address_of
from provenance.seal.keys import PublicKey, same_fingerprint
from provenance.seal.proof import SUITE, holds, options_for
from provenance.seal.reading import differences
from provenance.seal.statement import TYPES

GENUINE, CHANGED, UNKNOWN, UNSIGNED, NOT_OURS = VERDICTS = (
    "genuine", "changed", "unknown key", "unsigned", "not ours",
)  # fmt: skip
_WORDS = {*options_for({"@context": []}, "", "day"), "proofValue"}


@dataclass(frozen=True, slots=True)
class Trusted:
    """Whom a checker believes: keys of a published document, or fingerprints read on paper. `known`
    are other keys at hand: believed for the days that they went out of use on, and nothing else."""

    keys: Sequence[Listed] = ()
    fingerprints: Sequence[str] = ()
    known: Sequence[Listed] = ()

    def listed(self, key: PublicKey, issuer: str) -> Listed | None:
        """The entry of a key that is trusted to speak for an issuer; an earlier end that is known
        at hand counts, whoever gave the key."""
        found = next((each for each in self.keys if _is(each, key, issuer)), None)
        if found is None and not self.is_pinned(key):
            return None
        entries = [found or Listed(key.text), *(e for e in self.known if _is(e, key, issuer))]
        until, withdrawn = (
            min(filter(None, days), default="")
            for days in zip(*((each.until, each.withdrawn) for each in entries), strict=True)
        )
        return replace(entries[0], until=until, withdrawn=withdrawn)

    def is_pinned(self, key: PublicKey) -> bool:
        """Whether somebody read its fingerprint."""
        return any(same_fingerprint(key.fingerprint, each) for each in self.fingerprints)

    def known_by(self, fingerprint: str) -> bool:
        """Whether a list at hand tells the days of a key."""
        listed = (PublicKey.read(each.key) for each in (*self.keys, *self.known))
        return any(each.fingerprint == fingerprint for each in listed)


def _is(listed: Listed, key: PublicKey, issuer: str) -> bool:
    return listed.key == key.text and listed.did in ("", issuer)


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a checker says: one of `VERDICTS`, why, by which key (its fingerprint), and the places
    at which the statement differs from another that is at hand. `document` is what was checked."""

    word: str
    why: Said = SILENCE
    fingerprint: str = ""
    differs: tuple[str, ...] = ()
    document: Mapping[str, Any] = field(default_factory=dict)


def verdict(document: Mapping[str, Any], trusted: Trusted) -> Verdict:
    """The verdict on a document that was read strictly."""
    if document.get("type") != TYPES:
        return Verdict(NOT_OURS, Said("seal.other_kind"))
    if "proof" not in document:
        return Verdict(UNSIGNED, Said("seal.no_proof"), document=document)
    if wrong := _wrong_form(document):
        return Verdict(CHANGED, wrong, document=document)
    did, _, text = _method(document).partition("#")
    key = PublicKey.read(text)
    said = Verdict(GENUINE, SILENCE, key.fingerprint, document=document)
    listed = trusted.listed(key, did)
    if listed is None:
        return _as(said, UNKNOWN, "seal.unknown_key")
    if listed.withdrawn:
        return _as(said, UNKNOWN, "seal.withdrawn_key", day=listed.withdrawn)
    if not holds(document, key):
        return _as(said, CHANGED, "seal.broken")
    created = str(document["proof"].get("created", ""))[:10]
    if listed.until and not created:
        return _as(said, UNKNOWN, "seal.undated", day=listed.until)
    if listed.until and created > listed.until:
        return _as(said, UNKNOWN, "seal.after_its_time", day=listed.until)
    return said


def _as(said: Verdict, word: str, why: str, **values: str) -> Verdict:
    return Verdict(word, Said(why, **values), said.fingerprint, document=said.document)


def compared(found: Verdict, original: Mapping[str, Any]) -> Verdict:
    """A verdict with the places at which the statement differs from an original."""
    places = tuple(differences(original, found.document))
    return Verdict(found.word, found.why, found.fingerprint, places, found.document)


def _method(document: Mapping[str, Any]) -> str:
    proof = document["proof"]
    return str(proof.get("verificationMethod", "")) if isinstance(proof, dict) else ""


def _wrong_form(document: Mapping[str, Any]) -> Said:
    """What no statement of ours is like, before any signature is looked at."""
    proof, issuer = document["proof"], document.get("issuer")
    did, _, key = _method(document).partition("#")
    if not isinstance(proof, dict) or not isinstance(issuer, dict) or issuer.get("id") != did:
        return Said("seal.other_issuer")
    site = address_of(did)
    if not site or document.get("@context") != context.context_of(site):
        return Said("seal.other_context")
    wanted = options_for(document, f"{did}#{key}", str(proof.get("created", "")))
    said = {word: value for word, value in proof.items() if word != "proofValue"}
    if said != wanted or not {*proof} <= _WORDS or proof.get("cryptosuite") != SUITE:
        return Said("seal.other_proof")
    try:
        PublicKey.read(key)
    except ValueError:
        return Said("seal.other_key")
    return SILENCE
