"""The seal against what others published: W3C, the authors of RFC 8785 and RFC 8032, Wycheproof.

Each file in `tests/truth/seal/` names its source.
"""

from __future__ import annotations

import json
import math
import random
import shutil
import struct
import subprocess
from pathlib import Path
from typing import Any

import pytest

from provenance.seal.keys import PublicKey, SecretKey
from provenance.seal.multibase import base58, digest_of_bytes, from_base58
from provenance.seal.proof import canonical, hash_data, holds, signed

NODE = shutil.which("node")
TRUTH = Path(__file__).parents[1] / "truth" / "seal"


def told(name: str) -> Any:
    return json.loads((TRUTH / f"{name}.json").read_text(encoding="utf-8"))


W3C = told("eddsa-jcs-2022")
WYCHEPROOF = told("wycheproof-ed25519")


def test_the_worked_example_of_the_w3c_comes_out_value_for_value() -> None:
    key, options = SecretKey.read(W3C["keyPair"]["privateKeyMultibase"]), W3C["proofConfig"]
    document = W3C["unsigned"]
    assert key.public.text == W3C["keyPair"]["publicKeyMultibase"]
    assert canonical(document).decode() == W3C["canonDoc"]
    assert canonical(options).decode() == W3C["proofCanon"]
    both = hash_data(document, options)
    assert both[32:].hex() == W3C["docHash"]
    assert both[:32].hex() == W3C["proofHash"]
    assert both.hex() == W3C["combinedHash"]
    assert key.sign(both).hex() == W3C["sigHex"]
    assert base58(key.sign(both)) == W3C["sigBTC58"]
    assert signed(document, options, key) == W3C["signed"]
    assert holds(W3C["signed"], key.public)


@pytest.mark.parametrize("pair", told("ed25519-multikey-pairs")["pairs"])
def test_key_pairs_of_the_w3c(pair: dict[str, str]) -> None:
    secret = SecretKey.read(pair["privateKeyMultibase"])
    assert secret.public.text == pair["publicKeyMultibase"]
    assert secret.text == pair["privateKeyMultibase"]
    assert PublicKey.read(pair["publicKeyMultibase"]) == secret.public


@pytest.mark.parametrize("case", told("rfc8785-jcs")["cases"], ids=lambda case: case["name"])
def test_canonical_json_of_rfc_8785(case: dict[str, str]) -> None:
    assert canonical(json.loads(case["input_text"])).hex() == case["output_hex"]


def test_numbers_are_written_as_the_author_of_the_rfc_has_them() -> None:
    for bits, text in told("rfc8785-jcs")["es6_numbers_sample"]:
        (number,) = struct.unpack(">d", bytes.fromhex(bits.zfill(16)))
        if abs(number) < 2**53 or "e" in text:
            assert canonical(number).decode() == text


@pytest.mark.skipif(NODE is None, reason="needs node: another implementation of ECMAScript numbers")
def test_numbers_are_written_as_ecmascript_writes_them() -> None:
    """RFC 8785, 3.2.2.3: of any bits, and of amounts as people write them."""
    chance = random.Random(8785)
    numbers = [struct.unpack(">d", chance.randbytes(8))[0] for _ in range(3000)]
    numbers += [chance.randrange(10**9) / 10 ** chance.randrange(12) for _ in range(3000)]
    known = [each for each in numbers if math.isfinite(each)]
    script = "console.log(JSON.stringify(JSON.parse(require('fs').readFileSync(0)).map(String)))"
    given = json.dumps(known)
    said = subprocess.run([str(NODE), "-e", script], input=given, capture_output=True, check=True,
                          text=True)  # fmt: skip
    texts = json.loads(said.stdout)
    pairs = [(n, t) for n, t in zip(known, texts, strict=True) if abs(n) < 2**53 or "e" in t]
    assert len(pairs) > 5900
    assert [(n, t) for n, t in pairs if canonical(n).decode() != t] == []


def test_digests_as_the_w3c_writes_them() -> None:
    for case in told("digest-multibase")["cases"]:
        assert digest_of_bytes(case["input_utf8"].encode()) == case["digestMultibase"]


@pytest.mark.parametrize("case", told("rfc8032-ed25519")["cases"], ids=lambda c: c["rfc8032"])
def test_signatures_of_rfc_8032(case: dict[str, str]) -> None:
    seed, message = bytes.fromhex(case["seed"].zfill(64)), bytes.fromhex(case["message"])
    key = SecretKey(seed)
    assert key.public.raw.hex() == case["publicKey"]
    assert key.sign(message).hex() == case["signature"]
    assert key.public.has_signed(message, bytes.fromhex(case["signature"]))


def test_every_verdict_of_wycheproof() -> None:
    agreed = 0
    for group in WYCHEPROOF["testGroups"]:
        key = PublicKey(bytes.fromhex(group["publicKey"]["pk"]))
        for case in group["tests"]:
            found = key.has_signed(bytes.fromhex(case["msg"]), bytes.fromhex(case["sig"]))
            assert found == (case["result"] == "valid"), case
            agreed += 1
    assert agreed == WYCHEPROOF["numberOfTests"] == 151


@pytest.mark.parametrize("text", ["", "z", "z6Mk", "u6MkrJV", "z0OIl", "z" + "2" * 200])
def test_what_is_no_key_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        PublicKey.read(text)
    assert from_base58(base58(b"\0\0\1")) == b"\0\0\1"
