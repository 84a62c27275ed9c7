"""Keys of the seal: Ed25519 (RFC 8032) as Multikey text.

In: 32 bytes, or Multikey text. Out: keys that sign and check, and the short fingerprint that stands
on paper. Multikey: `z6Mk...` is a public key, `z3u2...` a secret one (Controlled Identifiers v1.0,
2.2.2). Any other text is refused (ValueError). What signs and checks is loaded when it is needed.
"""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from provenance.seal.letters import as_typed, in_letters
from provenance.seal.multibase import base58, from_base58

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

_PUBLIC, _SECRET = b"\xed\x01", b"\x80\x26"
_FINGERPRINT = 20  # letters of 5 bits: 100 bits are out of anyone's reach


@dataclass(frozen=True, slots=True)
class PublicKey:
    """A key that checks; `raw` are its 32 bytes."""

    raw: bytes

    @classmethod
    def read(cls, text: str) -> PublicKey:
        """From Multikey text."""
        return cls(_raw(text, _PUBLIC))

    @property
    def text(self) -> str:
        """As Multikey text."""
        return base58(_PUBLIC + self.raw)

    @property
    def fingerprint(self) -> str:
        """Twenty letters in fours: of the SHA-256 of the Multikey's bytes, the first 100 bits."""
        letters = in_letters(hashlib.sha256(_PUBLIC + self.raw).digest())[:_FINGERPRINT]
        return " ".join(letters[at : at + 4] for at in range(0, _FINGERPRINT, 4))

    def has_signed(self, message: bytes, signature: bytes) -> bool:
        """Whether this key's secret half signed just this."""
        from cryptography.exceptions import InvalidSignature
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

        try:
            Ed25519PublicKey.from_public_bytes(self.raw).verify(signature, message)
        except (InvalidSignature, ValueError):
            return False
        return True


@dataclass(frozen=True, slots=True)
class SecretKey:
    """A key that signs; never shown by `repr`."""

    seed: bytes = field(repr=False)

    @classmethod
    def new(cls) -> SecretKey:
        """A key that nobody ever had."""
        return cls(secrets.token_bytes(32))

    @classmethod
    def read(cls, text: str) -> SecretKey:
        """From Multikey text."""
        return cls(_raw(text, _SECRET))

    @classmethod
    def from_pem(cls, content: bytes, pass_phrase: bytes | None) -> SecretKey:
        """From PKCS#8; ValueError for a wrong pass-phrase or another kind of key, TypeError where
        one is missing or too many."""
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
        from cryptography.hazmat.primitives.serialization import load_pem_private_key

        found = load_pem_private_key(content, pass_phrase or None)
        if not isinstance(found, Ed25519PrivateKey):
            raise ValueError("no Ed25519 key")
        return cls(found.private_bytes_raw())

    @property
    def text(self) -> str:
        """As Multikey text."""
        return base58(_SECRET + self.seed)

    @property
    def public(self) -> PublicKey:
        """The half that may be shown."""
        return PublicKey(self._own.public_key().public_bytes_raw())

    def sign(self, message: bytes) -> bytes:
        """64 bytes, the same every time."""
        return self._own.sign(message)

    def pem(self, pass_phrase: bytes | None) -> bytes:
        """As PKCS#8, encrypted where there is a pass-phrase."""
        from cryptography.hazmat.primitives.serialization import (
            BestAvailableEncryption,
            Encoding,
            NoEncryption,
            PrivateFormat,
        )

        kept = BestAvailableEncryption(pass_phrase) if pass_phrase else NoEncryption()
        return self._own.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, kept)

    @property
    def _own(self) -> Ed25519PrivateKey:
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

        return Ed25519PrivateKey.from_private_bytes(self.seed)


def _raw(text: str, kind: bytes) -> bytes:
    found = from_base58(text)
    if len(found) != len(kind) + 32 or not found.startswith(kind):
        raise ValueError(text)
    return found[len(kind) :]


def same_fingerprint(one: str, other: str) -> bool:
    """Whether two fingerprints say the same, whatever their spaces, hyphens and capitals; O, I and
    L are read as the noughts and ones that they were taken for."""
    return _bare(one) == _bare(other)


def _bare(text: str) -> str:
    return as_typed("".join(text.replace("-", "").split()))
