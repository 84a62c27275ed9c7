"""Proofs: a document in, the same document with a signature out, and whether one holds.

In: a JSON document, a key. Out: the document with a Data Integrity proof of the suite
`eddsa-jcs-2022` (Data Integrity EdDSA Cryptosuites v1.0, W3C Recommendation 15 May 2025, 3.3), over
canonical bytes of RFC 8785. The proof's hash comes first, then the document's.
"""

import hashlib
from collections.abc import Mapping
from typing import Any

import rfc8785

from provenance.seal.keys import PublicKey, SecretKey
from provenance.seal.multibase import base58, from_base58

SUITE = "eddsa-jcs-2022"
Document = Mapping[str, Any]


def canonical(value: Any) -> bytes:
    """The one way to write a JSON value; ValueError where there is none."""
    return rfc8785.dumps(value)


def hash_data(document: Document, options: Document) -> bytes:
    """What is signed: 64 bytes."""
    said = {word: value for word, value in document.items() if word != "proof"}
    return b"".join(hashlib.sha256(canonical(part)).digest() for part in (options, said))


def signed(document: Document, options: Document, key: SecretKey) -> dict[str, Any]:
    """The document with its proof; `options` are what the proof says besides its value."""
    value = base58(key.sign(hash_data(document, options)))
    return {**document, "proof": {**options, "proofValue": value}}


def options_for(document: Document, method: str, created: str = "") -> dict[str, Any]:
    """What a proof of ours says: suite, key, purpose, the document's own context; its day, where
    there is one."""
    return {
        "type": "DataIntegrityProof",
        "cryptosuite": SUITE,
        **({"created": created} if created else {}),
        "verificationMethod": method,
        "proofPurpose": "assertionMethod",
        "@context": document["@context"],
    }


def holds(document: Document, key: PublicKey) -> bool:
    """Whether the proof of a document is this key's, over just this document."""
    proof = document.get("proof")
    if not isinstance(proof, dict):
        return False
    try:
        options = {word: value for word, value in proof.items() if word != "proofValue"}
        signature = from_base58(str(proof.get("proofValue")))
        return key.has_signed(hash_data(document, options), signature)
    except (ValueError, RecursionError):
        return False
