"""A signed statement, the studio's keys, and all that may happen to the file of one.

The key is the W3C's published test key (`tests/truth/seal/`), so that everybody can see it is none.
"""

from __future__ import annotations

import io
import json
import zlib
from collections.abc import Iterator, Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from provenance.build.verifying import check
from provenance.seal.checking import Trusted
from provenance.seal.context import context_of
from provenance.seal.did import Listed, did_document, did_of, keys_in
from provenance.seal.keys import PublicKey, SecretKey
from provenance.seal.proof import options_for, signed
from provenance.seal.reading import leaves
from provenance.seal.statement import LIVING, OfIssue, Pictured, statement
from provenance.site.checking import Trusted as Believed
from provenance.site.checking import TrustedKey
from provenance.site.whole import Site

TRUTH = Path(__file__).parents[1] / "truth" / "seal"
SITE = "https://brackenfold.example"
DID = did_of(SITE)
PAIRS = json.loads((TRUTH / "ed25519-multikey-pairs.json").read_text(encoding="utf-8"))["pairs"]
KEY, RETIRED, WITHDRAWN, FOREIGN = (
    SecretKey.read(pair["privateKeyMultibase"]) for pair in PAIRS[:4]
)
KEYS = (
    Listed(KEY.public.text, "2026-06-01"),
    Listed(RETIRED.public.text, "2020-01-01", until="2026-05-31"),
    Listed(WITHDRAWN.public.text, "2019-01-01", withdrawn="2019-12-31"),
)
DOCUMENT = did_document(SITE, KEYS)
BELIEVED = Believed(
    DID,
    tuple(context_of(SITE)),
    tuple(
        TrustedKey(k.key, PublicKey.read(k.key).fingerprint, k.since, k.until, k.withdrawn, DID)
        for k in KEYS
    ),
    LIVING,
)
Case = tuple[bytes, str]
Pictures = tuple[Pictured, ...]


def sealed(document: Mapping[str, Any], key: SecretKey = KEY, on: str = "2026-11-20") -> bytes:
    """A document with its proof, as a file."""
    created = f"{on}T00:00:00Z"
    return signed_by(document, key, created)


def signed_by(document: Mapping[str, Any], key: SecretKey, created: str, did: str = DID) -> bytes:
    options = options_for(document, f"{did}#{key.public.text}", created)
    return written(signed(document, options, key))


def written(document: Any) -> bytes:
    return json.dumps(document, ensure_ascii=False, indent=1).encode()


def bare(site: Site, number: str = "2026-014", issue: int = 0, pictures: Pictures = ()) -> Any:
    """What is said of a piece of the demo, or by an issue of its certificate, not yet signed."""
    (piece,) = (each.facts for each in site.pieces if each.card.number == number)
    of_issue = OfIssue(issue, date(2026, 11, 20)) if issue else None
    return statement(site.studio, piece, pictures, of_issue)


def by_python(content: bytes, folder: Path) -> str:
    """The verdict of the program on a file."""
    path = folder / "certificate"
    path.write_bytes(content)
    return check(path, Trusted(keys_in(DOCUMENT)), ()).verdict.word


def cases(site: Site) -> Mapping[str, Case]:
    """Files that are statements or look like some, each with its verdict."""
    document = bare(site)
    good = sealed(document)
    return {
        "as it was signed": (good, "genuine"),
        **dict(_same_data(json.loads(good))),
        **dict(_mutated(json.loads(good))),
        **dict(_forged(document)),
        **dict(_no_statements(good)),
    }


def _same_data(document: Any) -> Iterator[tuple[str, Case]]:
    """Other bytes that say the same."""
    yield "names in another order", (written(turned(document)), "genuine")
    yield "without white space", (json.dumps(document, separators=(",", ":")).encode(), "genuine")


def turned(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: turned(value[name]) for name in reversed(value)}
    return [turned(each) for each in value] if isinstance(value, list) else value


def _mutated(document: Any) -> Iterator[tuple[str, Case]]:
    """Every text changed by one letter. Its kind, and the key it names, are asked for first."""
    told = written(document).decode()
    for place, _ in leaves(document):
        changed = json.loads(told)
        _change(changed, place)
        word = "not ours" if place.startswith("type[") else "changed"
        if place == "proof.verificationMethod":
            word = "changed"  # what it names is no key any more
        yield f"changed: {place}", (written(changed), word)


def _change(document: Any, place: str) -> None:
    *way, last = [
        int(step) if step.isdigit() else step for step in place.replace("[", ".[").split(".")
        for step in [step.strip("[]")]
    ]  # fmt: skip
    for step in way:
        document = document[step]
    text = document[last]
    document[last] = ("x" if text[:1] != "x" else "y") + text[1:]


def _forged(document: Any) -> Iterator[tuple[str, Case]]:
    yield "another's key", (sealed(document, FOREIGN), "unknown key")
    yield "a key that has gone out of use", (sealed(document, RETIRED, "2026-05-31"), "genuine")
    yield "signed by it afterwards", (sealed(document, RETIRED, "2026-06-01"), "unknown key")
    yield "a key that was withdrawn", (sealed(document, WITHDRAWN, "2019-02-01"), "unknown key")
    yield "a key out of use, on no day", (signed_by(document, RETIRED, ""), "unknown key")
    stranger = "https://stranger.example"
    named = {**document, "@context": context_of(stranger), "issuer": {"id": did_of(stranger)}}
    yield "our key for a stranger", (signed_by(named, KEY, "", did_of(stranger)), "unknown key")
    further = {**document, "@context": [*context_of(SITE), {"x": "https://example.org/x"}]}
    yield "a term more, signed", (sealed(further), "changed")
    appended = json.loads(sealed(document))
    appended["@context"].append({"name": "https://example.org/else"})
    yield "a term more, appended", (written(appended), "changed")
    elsewhere = {**document, "issuer": {"id": "did:web:other.example", "name": "Brackenfold"}}
    yield "another issuer, signed", (sealed(elsewhere), "changed")
    more = json.loads(sealed(document))
    more["proof"]["nonce"] = "1"
    yield "a word more in the proof", (written(more), "changed")
    gone = json.loads(sealed(document))
    del gone["credentialSubject"]["weight"]
    yield "a word less", (written(gone), "changed")
    half = json.loads(sealed(document))
    half["name"] = "\ud83e"
    yield "half a letter", (json.dumps(half).encode(), "changed")
    yield "no signature", (written(document), "unsigned")


def _no_statements(good: bytes) -> Iterator[tuple[str, Case]]:
    text = good.decode()
    twice = text.replace('"name": "Saltmarsh"', '"name": "Sea Wall",\n"name": "Saltmarsh"', 1)
    assert twice != text
    bad = {
        "a name twice": twice.encode(),
        "an escaped name twice": twice.replace('"name": "S', '"n\\u0061me": "S', 1).encode(),
        "cut short": good[:-40],
        "two of them": good + good,
        "something after it": good + b"x",
        "a number": text.replace('"124"', "124", 1).encode(),
        "a word that is no text": text.replace('"124"', "null", 1).encode(),
        "not a number": text.replace('"124"', "NaN", 1).encode(),
        "not UTF-8": good.replace(b"Saltmarsh", b"Salt\xffmarsh"),
        "with a mark of order": b"\xef\xbb\xbf" + good,
        "a line in a text": text.replace("Saltmarsh", "Salt\nmarsh").encode(),
        "a list": b"[" + good + b"]",
        "a text": b'"statement"',
        "nothing": b"",
        "a picture": b"\x89PNG\r\n\x1a\n",
        "two million bytes and more": good + b" " * 2_000_000,
        "another kind": sealed({"@context": context_of(SITE), "type": ["VerifiableCredential"],
                                "issuer": {"id": DID}}),
    }  # fmt: skip
    yield from ((name, (content, "not ours")) for name, content in bad.items())


@cache
def plain_paper() -> bytes:
    """A page as PDF."""
    import weasyprint

    page = "<html lang=en><title>Certificate</title><h1>Certificate</h1></html>"
    return bytes(weasyprint.HTML(string=page).write_pdf(pdf_variant="pdf/ua-1"))


NOTE = '- {paper: "certificate", number: "%s", title: "Salt, number: \\"9\\"", issue: "%s"}'


NOTED = NOTE % ("2026-014", "1")


def carrying(*files: bytes, note: str = NOTED, **saving: Any) -> bytes:
    """A PDF with files inside, and a note of what it is."""
    import pikepdf

    with pikepdf.open(io.BytesIO(plain_paper())) as pdf:
        for turn, content in enumerate(files):
            name = f"statement{turn or ''}.json"
            pdf.attachments[name] = pikepdf.AttachedFileSpec(pdf, content, filename=name)
        pdf.docinfo["/printed"] = note
        into = io.BytesIO()
        pdf.save(into, **saving)
    return into.getvalue()


def paper_cases(site: Site) -> Mapping[str, Case]:
    """Certificates, and what may have happened to them."""
    import pikepdf

    good, second = (sealed(bare(site, issue=issue)) for issue in (1, 2))
    packed, plain = pikepdf.ObjectStreamMode.generate, pikepdf.ObjectStreamMode.disable
    other = sealed(bare(site, "2026-012", 1))
    paper = carrying(good, object_stream_mode=packed)
    opening, shut = (pikepdf.Encryption(owner="o", user=user) for user in ("", "u"))
    changed = good.replace(b"Saltmarsh", b"Sea Wall")
    return {
        "objects packed": (paper, "genuine"),
        "objects plain": (carrying(good, object_stream_mode=plain), "genuine"),
        "for the web": (carrying(good, linearize=True), "genuine"),
        "nothing compressed": (carrying(good, compress_streams=False), "genuine"),
        "a changed statement inside": (carrying(changed), "changed"),
        "another piece's inside": (carrying(other), "changed"),
        "another issue's inside": (carrying(second), "changed"),
        "that of no certificate inside": (carrying(sealed(bare(site))), "changed"),
        "a paper that notes nothing": (carrying(good, note=""), "changed"),
        "a paper that notes two": (carrying(good, note=f"{NOTED}\n{NOTED}"), "changed"),
        "a line more at its end": (paper + b"\r\n", "genuine"),
        "two under one name": (_doubled(good, other), "not ours"),
        "locked, open to read": (carrying(good, encryption=opening), "not ours"),
        "another kind of file beside it": (carrying(good, b"plain"), "not ours"),
        "none inside": (plain_paper(), "not ours"),
        "two inside": (carrying(good, good), "not ours"),
        "one of another piece beside it": (carrying(good, other), "not ours"),
        "cut short": (paper[:-200], "not ours"),
        "cut in the middle": (paper[: len(paper) // 2], "not ours"),
        "only its head": (b"%PDF-1.7", "not ours"),
        "locked": (carrying(good, encryption=shut), "not ours"),
        "the file inside cut short": (_cut_inside(good), "not ours"),
    }  # fmt: skip


def _doubled(first: bytes, second: bytes) -> bytes:
    """Two files under one name in the list of names."""
    import pikepdf

    with pikepdf.open(io.BytesIO(carrying(first, second))) as pdf:
        names = pdf.Root.Names.EmbeddedFiles
        listed = (names.Kids[0] if "/Kids" in names else names).Names
        listed[2] = listed[0]
        into = io.BytesIO()
        pdf.save(into)
    return into.getvalue()


def _cut_inside(good: bytes) -> bytes:
    """Noughts in the middle of the compressed file inside; everything else is as it was."""
    paper = bytearray(carrying(good, compress_streams=True))
    starts = (at for at in range(len(paper)) if paper.startswith(b"stream\n", at))
    at = next(at + 7 for at in starts if _inflated(paper[at + 7 :]) == good)
    paper[at + 300 : at + 420] = bytes(120)
    return bytes(paper)


def _inflated(content: bytes) -> bytes:
    try:
        return zlib.decompressobj().decompress(content)
    except zlib.error:
        return b""
