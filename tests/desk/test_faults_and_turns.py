"""A fault of ours is told with its log; what takes long holds nothing up."""

from __future__ import annotations

import threading
from pathlib import Path

from provenance.desk import due as due_module
from tests.desk.open_desk import STUDIO, open_desk


def test_a_fault_is_told_and_logged(tmp_path: Path, write_studio_in, cache, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    monkeypatch.setattr("provenance.desk.answers.read_of", lambda *_: 1 / 0)
    with open_desk(write_studio_in(tmp_path / "pieces", STUDIO)) as asker:
        status, _, content = asker.get("/read/2026-001-ebb.yaml")
        (log,) = tmp_path.glob("provenance-*.log")
        assert status == 500
        assert str(log) in content.decode()
        assert "ZeroDivisionError" in log.read_text()
        assert asker.get("/pieces")[0] == 200


def test_the_list_comes_before_its_tags(
    tmp_path: Path, write_studio_in, cache, monkeypatch
) -> None:  # type: ignore[no-untyped-def]
    """While tags are worked out the list says so; once they are, it has them."""
    monkeypatch.setattr(due_module, "_PATIENCE", 0.0)
    begun, true = threading.Event(), due_module.tags_due

    def slow(border, numbers):  # type: ignore[no-untyped-def]
        begun.set()
        return true(border, numbers)

    monkeypatch.setattr(due_module, "tags_due", slow)
    with open_desk(write_studio_in(tmp_path / "pieces", STUDIO)) as asker:
        assert b"still being worked out" in asker.get("/")[2]
        assert begun.wait(20)
        monkeypatch.setattr(due_module, "_PATIENCE", 20.0)
        assert b"still being worked out" not in asker.get("/")[2]
