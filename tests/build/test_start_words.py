"""Words of ours in the start files, as they are known from the templates that write them."""

import sys
from pathlib import Path

from provenance.build import start_words as words
from provenance.press import templates as door


def test_compiled_templates_beside_them_are_no_start_files(tmp_path: Path, monkeypatch) -> None:
    """What `start` leaves there once it has run, in a checkout or where it is installed."""
    records = tmp_path / "templates" / "records"
    records.mkdir(parents=True)
    (records / "note.yaml").write_text('{{ yours("Your farm") }}\n')
    for place in (door, words):
        monkeypatch.setattr(place, "shipped_templates", lambda: tmp_path / "templates")
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    environment = door._environment.__wrapped__(None)
    environment.get_template("records/note.yaml").render(yours=str)
    (compiled,) = (records / "__pycache__").iterdir()
    assert b"\x80" in compiled.read_bytes()
    assert words.start_words.__wrapped__() == {"Your farm"}
