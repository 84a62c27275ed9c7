"""Bytes as text, as the standards of the seal write them.

In: bytes or text. Out: the other. Base58 of Bitcoin with `z` before it for keys and signatures,
base64url with `u` before it for digests (Controlled Identifiers v1.0, W3C Recommendation 15 May
2025, 2.4 Multibase and 2.5 Multihash). What is not written just so is refused (ValueError).
"""

import base64
import hashlib

_LETTERS = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz"
_SHA_256 = b"\x12\x20"  # multihash: sha2-256, 32 bytes
_MOST = 128  # no key and no signature is longer


def base58(content: bytes) -> str:
    """Bytes in base58 with `z` before them."""
    number, told = int.from_bytes(content), ""
    while number:
        number, rest = divmod(number, 58)
        told = _LETTERS[rest] + told
    leading = len(content) - len(content.lstrip(b"\0"))
    return f"z{_LETTERS[0] * leading}{told}"


def from_base58(text: str) -> bytes:
    """The bytes again; ValueError for what is no base58."""
    if not text.startswith("z") or len(text) > _MOST:
        raise ValueError(text[:_MOST])
    number = 0
    for letter in text[1:]:
        number = number * 58 + _LETTERS.index(letter)
    leading = len(text) - 1 - len(text[1:].lstrip(_LETTERS[0]))
    return b"\0" * leading + number.to_bytes((number.bit_length() + 7) // 8)


def digest_of_bytes(content: bytes) -> str:
    """SHA-256 as `digestMultibase`."""
    return digest_text(hashlib.sha256(content).hexdigest())


def digest_text(hexadecimal: str) -> str:
    """A SHA-256 that is known already, as `digestMultibase`."""
    hashed = _SHA_256 + bytes.fromhex(hexadecimal)
    return "u" + base64.urlsafe_b64encode(hashed).decode().rstrip("=")
