"""The checking page's own functions in Chromium, against what others published and against the
program: every verdict of the page is the one that Python gives."""

from __future__ import annotations

import base64
import json
from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest

from provenance.site.checking import checking_script
from provenance.site.whole import Site
from tests.in_chromium import skip_without_chromium
from tests.site import a_statement

skip_without_chromium()

_JUDGE = """async keys => {
  const said = {};
  for (const [name, coded] of Object.entries(files)) {
    const letters = atob(coded), content = new Uint8Array(letters.length);
    for (let at = 0; at < content.length; at++) content[at] = letters.charCodeAt(at);
    said[name] = (await checking.judge(content, keys)).verdict;
  }
  return said;
}"""
_HOLDS = """async cases => {
  const bytes = text => Uint8Array.from(text.match(/../g) ?? [], two => parseInt(two, 16));
  return Promise.all(cases.map(([key, signature, message]) =>
    checking.holds(bytes(key), bytes(signature), bytes(message))));
}"""
_SIGNED = """async ([statement, key]) => {
  const read = checking.parse(statement);
  return [await checking.isSignedBy(read, key), Array.from(await checking.signedBytes(read))];
}"""


def told(name: str) -> Any:
    return json.loads((a_statement.TRUTH / f"{name}.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory, browser: Any) -> Any:
    """An empty page from disk with the script of the checking page in it; what it is to judge lies
    beside it (handed over in a call, many files take ten times as long as judging them)."""
    home = tmp_path_factory.mktemp("script")
    ((_, script),) = checking_script(None).items()
    (home / "checking.js").write_bytes(script)
    (home / "index.html").write_text(
        "<!doctype html><title>t</title><script src=checking.js></script>"
    )
    opened = browser.new_page()
    opened.goto((home / "index.html").as_uri())
    opened.home = home
    return opened


def by_page(page: Any, files: Mapping[str, bytes]) -> Mapping[str, str]:
    coded = {name: base64.b64encode(content).decode() for name, content in files.items()}
    (page.home / "files.js").write_text(f"var files = {json.dumps(coded)}")
    page.add_script_tag(url=(page.home / "files.js").as_uri())
    return dict(page.evaluate(_JUDGE, asdict(a_statement.BELIEVED)["keys"]))


def test_canonical_json_of_rfc_8785(page: Any) -> None:
    for case in told("rfc8785-jcs")["cases"]:
        said = page.evaluate("text => checking.canonical(checking.parse(text))", case["input_text"])
        assert said.encode().hex() == case["output_hex"], case["name"]


def test_numbers_are_written_as_the_author_of_the_rfc_has_them(page: Any) -> None:
    number = """bits => checking.canonical(
      new DataView(BigUint64Array.of(BigInt("0x" + bits)).buffer).getFloat64(0, true))"""
    for bits, text in told("rfc8785-jcs")["es6_numbers_sample"]:
        assert page.evaluate(number, bits) == text


def test_the_worked_example_of_the_w3c(page: Any) -> None:
    example = told("eddsa-jcs-2022")
    key = example["keyPair"]["publicKeyMultibase"]
    holds, both = page.evaluate(_SIGNED, [json.dumps(example["signed"]), key])
    assert bytes(both).hex() == example["combinedHash"]
    assert holds is True
    canonical = "text => checking.canonical(JSON.parse(text))"
    assert page.evaluate(canonical, json.dumps(example["unsigned"])) == example["canonDoc"]
    assert page.evaluate(canonical, json.dumps(example["proofConfig"])) == example["proofCanon"]
    decoded = page.evaluate("t => Array.from(checking.fromBase58(t))", example["sigBTC58"])
    assert bytes(decoded).hex() == example["sigHex"]


def test_key_pairs_of_the_w3c(page: Any) -> None:
    from provenance.seal.keys import PublicKey

    for pair in a_statement.PAIRS:
        text = pair["publicKeyMultibase"]
        assert bytes(page.evaluate("t => Array.from(checking.publicKey(t))", text)) == (
            PublicKey.read(text).raw
        )
        assert page.evaluate("t => checking.publicKey(t)", pair["privateKeyMultibase"]) is None


@pytest.mark.parametrize("text", ["", "z", "z6Mk", "u6MkrJV", "z0OIl", "z" + "2" * 200])
def test_what_is_no_key_is_refused(page: Any, text: str) -> None:
    assert page.evaluate("t => checking.publicKey(t)", text) is None


def test_every_verdict_of_wycheproof(page: Any) -> None:
    groups = told("wycheproof-ed25519")
    given, wanted = [], []
    for group in groups["testGroups"]:
        for case in group["tests"]:
            given.append([group["publicKey"]["pk"], case["sig"], case["msg"]])
            wanted.append(case["result"] == "valid")
    assert page.evaluate(_HOLDS, given) == wanted
    assert len(wanted) == groups["numberOfTests"] == 151


def test_digests_as_the_w3c_writes_them(page: Any) -> None:
    digest = "text => checking.digestOf(new TextEncoder().encode(text))"
    for case in told("digest-multibase")["cases"]:
        assert page.evaluate(digest, case["input_utf8"]) == case["digestMultibase"]


def test_the_page_and_the_program_say_the_same_of_every_statement(
    page: Any, demo_parts: Site, tmp_path: Path
) -> None:
    cases = a_statement.cases(demo_parts)
    wanted = {name: word for name, (_, word) in cases.items()}
    assert len(wanted) > 150  # every leaf of it among them
    said = {name: a_statement.by_python(content, tmp_path) for name, (content, _) in cases.items()}
    assert said == wanted
    assert by_page(page, {name: content for name, (content, _) in cases.items()}) == wanted


def test_certificates_are_read_however_they_are_written(
    page: Any, demo_parts: Site, tmp_path: Path
) -> None:
    cases = a_statement.paper_cases(demo_parts)
    wanted = {name: word for name, (_, word) in cases.items()}
    said = {name: a_statement.by_python(content, tmp_path) for name, (content, _) in cases.items()}
    assert said == wanted
    assert by_page(page, {name: content for name, (content, _) in cases.items()}) == wanted


def test_differences_are_told_by_their_places(page: Any, demo_parts: Site) -> None:
    mine, other = a_statement.bare(demo_parts), a_statement.bare(demo_parts)
    other["credentialSubject"]["name"] = "Sea Wall"
    del other["credentialSubject"]["care"][-1]
    from provenance.seal.reading import differences

    places = page.evaluate(
        "([a, b]) => checking.differences(a, b).map(each => each[0])", [mine, other]
    )
    assert places == differences(mine, other)
    assert places[0] == "credentialSubject.name"
