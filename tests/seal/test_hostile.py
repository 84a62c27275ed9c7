"""Files, folders and key lists that somebody made to deceive, or that a disk spoilt."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from provenance.build.verifying import check, trusted_from
from provenance.press.pdf.inside import attachments_in
from provenance.problems import Slip
from provenance.records.seal_keys import line_of, with_days, with_line
from provenance.seal.context import context_of
from provenance.seal.did import Listed, did_document, did_of
from provenance.seal.keys import SecretKey, same_fingerprint
from provenance.seal.proof import options_for, signed

SITE = "https://brackenfold.example"
OWN, FORGER = SecretKey(b"\1" * 32), SecretKey(b"\2" * 32)
LISTED = Listed(OWN.public.text, "2026-01-01", did=did_of(SITE))


def said(**more: Any) -> dict[str, Any]:
    return {
        "@context": context_of(SITE),
        "id": f"{SITE}/2026-014/statement.json",
        "type": ["VerifiableCredential", "TextileStatement"],
        "issuer": {"id": did_of(SITE)},
        "credentialSubject": {"identifier": "2026-014", "name": "Saltmarsh"},
        **more,
    }


def put(folder: Path, document: Mapping[str, Any], key: SecretKey) -> Path:
    """A statement, and the list of just its key beside it."""
    options = options_for(document, f"{did_of(SITE)}#{key.public.text}")
    (folder / "did.json").write_text(json.dumps(did_document(SITE, [Listed(key.public.text)])))
    path = folder / "statement.json"
    path.write_text(json.dumps(signed(document, options, key)))
    return path


def test_a_forgers_keys_beside_the_file_never_come_before_the_studios_own(tmp_path: Path) -> None:
    path = put(tmp_path, said(), FORGER)
    assert check(path, None, [LISTED]).verdict.word == "unknown key"
    alone = check(path, None, [])
    assert (alone.verdict.word, alone.keys, alone.is_sure) == ("genuine", "beside", False)
    own = check(put(tmp_path, said(), OWN), None, [LISTED])
    assert (own.verdict.word, own.keys, own.is_sure) == ("genuine", "own", True)


def test_a_withdrawal_that_is_known_beats_a_fingerprint(tmp_path: Path) -> None:
    path = put(tmp_path, said(), OWN)
    asked = trusted_from(None, [OWN.public.fingerprint])
    gone = Listed(OWN.public.text, withdrawn="2026-02-01", did=did_of(SITE))
    assert check(path, asked, [gone]).verdict.word == "unknown key"
    assert check(path, asked, [LISTED]).verdict.word == "genuine"


@pytest.mark.parametrize("more", [
    {"issue": {"issueNumber": "²"}}, {"issue": "1"}, {"credentialSubject": "x"},
    {"credentialSubject": {"identifier": "1" * 5000}, "issue": {"issueNumber": "1"}},
    {"relatedResource": [{"a": "b"}, "x"]}, {"relatedResource": "x"},
])  # fmt: skip
def test_odd_members_are_judged_and_never_a_fault(more: dict[str, Any], tmp_path: Path) -> None:
    assert check(put(tmp_path, said(**more), OWN), None, [LISTED]).verdict.word == "genuine"


def test_an_original_that_is_no_json_is_none(tmp_path: Path) -> None:
    path = put(tmp_path, said(id=f"{SITE}/index.html"), OWN)
    (tmp_path / "index.html").write_text("<html>")
    path.write_text(path.read_text().replace("Saltmarsh", "Sea Wall"))
    assert check(path, None, [LISTED]).verdict.word == "changed"


def test_of_a_page_only_the_statement_beside_it_is_judged(tmp_path: Path) -> None:
    put(tmp_path, said(), OWN)
    (tmp_path / "index.html").write_text("<html>")
    assert check(tmp_path / "index.html", None, [LISTED]).is_page
    assert not check(tmp_path / "statement.json", None, [LISTED]).is_page


@pytest.mark.parametrize("files", [5, pikepdf.Array([]), pikepdf.Dictionary(Names=5)])
def test_a_list_of_files_that_is_none_is_told(files: Any) -> None:
    into = io.BytesIO()
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        pdf.Root.Names = pikepdf.Dictionary(EmbeddedFiles=files)
        pdf.save(into)
    try:
        assert attachments_in(into.getvalue()) == []
    except Slip as slip:
        assert "broken_pdf" in repr(slip.what)


def test_a_small_file_that_unpacks_to_a_huge_one_is_refused() -> None:
    into = io.BytesIO()
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        pdf.attachments["statement.json"] = b" " * 20_000_001
        pdf.save(into, compress_streams=True)
    with pytest.raises(Slip):
        attachments_in(into.getvalue())


def test_a_key_comes_into_the_list_beside_all_that_stands_there() -> None:
    old, new = OWN.public.text, FORGER.public.text
    text = f"# ours\n{line_of(old, date(2026, 1, 5))}- {{key: broken}}\n"
    ended = with_days(text, old, until=date(2026, 2, 1))
    assert f'{old}", from: 2026-01-05, until: 2026-02-01}}' in ended
    whole = with_line(ended, line_of(new, date(2026, 2, 1)))
    assert "# ours" in whole and "- {key: broken}" in whole and new in whole


def test_letters_that_a_hand_takes_for_others_are_read() -> None:
    assert same_fingerprint("09W9 QFTE 1FBJ", "o9w9-qfte-IFBJ")
