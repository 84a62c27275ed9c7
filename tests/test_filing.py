"""What was handed out stays: papers of an earlier day are kept when a new one says otherwise."""

from datetime import date
from pathlib import Path

import pytest

from provenance.build.filing import announce, day_of, file_paper, is_announced

MAY, JUNE = date(2026, 5, 4), date(2026, 6, 1)


def papers(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def test_a_sheet_of_an_earlier_day_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "dale-fair" / "sheet.pdf"
    file_paper(path, b"five pieces", MAY)
    assert day_of(path) == MAY
    file_paper(path, b"six pieces", MAY)  # the same day: put right before it was handed out
    assert papers(tmp_path) == {"dale-fair/sheet.pdf": b"six pieces"}
    file_paper(path, b"two pieces", JUNE)
    assert papers(tmp_path) == {
        "dale-fair/sheet.pdf": b"two pieces",
        "dale-fair/kept/2026-05-04/sheet.pdf": b"six pieces",
    }
    assert day_of(path) == JUNE


def test_the_same_again_is_no_new_paper(tmp_path: Path) -> None:
    path = tmp_path / "tags.pdf"
    file_paper(path, b"as it was", MAY)
    before = path.stat().st_mtime_ns
    file_paper(path, b"as it was", JUNE)
    assert papers(tmp_path) == {"tags.pdf": b"as it was"}
    assert path.stat().st_mtime_ns == before


def test_every_issue_of_a_certificate_is_kept_of_one_day_too(tmp_path: Path) -> None:
    path = tmp_path / "certificate-2026-001.pdf"
    for content in (b"one", b"two", b"three"):
        file_paper(path, content, MAY, keeps_each=True)
    assert papers(tmp_path) == {
        "certificate-2026-001.pdf": b"three",
        "kept/2026-05-04/certificate-2026-001.pdf": b"one",
        "kept/2026-05-04/certificate-2026-001-2.pdf": b"two",
    }


def test_a_paper_that_was_announced_is_so_until_it_is_filed(tmp_path: Path) -> None:
    path = tmp_path / "certificate-2026-001.pdf"
    for content in (b"one", b"two", b"two"):  # the last finds it in its place already
        announce(path)
        assert is_announced(path)
        file_paper(path, content, MAY)
        assert not is_announced(path)
        assert papers(tmp_path) == {path.name: content}


def test_a_paper_stays_announced_while_the_half_written_one_is_taken_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A run killed there left an old certificate beside a line that tells of a new one."""
    path = tmp_path / "certificate-2026-001.pdf"
    path.write_bytes(b"one")
    announce(path)
    (tmp_path / f".{path.name}.new").write_bytes(b"tw")

    def killed(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("provenance.output.files.write_new", killed)
    with pytest.raises(KeyboardInterrupt):
        file_paper(path, b"two", MAY)
    assert is_announced(path)
    assert path.read_bytes() == b"one"


def test_what_is_kept_is_never_written_over(tmp_path: Path) -> None:
    path = tmp_path / "tags.pdf"
    for content, day in ((b"a", MAY), (b"b", JUNE), (b"a", MAY), (b"c", JUNE)):
        file_paper(path, content, day)
    assert papers(tmp_path) == {  # a clock that went backwards loses nothing
        "tags.pdf": b"c",
        "kept/2026-05-04/tags.pdf": b"a",
        "kept/2026-06-01/tags.pdf": b"b",
    }


def test_a_clock_that_went_backwards_loses_no_sheet_and_dates_none_before_the_last(
    tmp_path: Path,
) -> None:
    path = tmp_path / "sheet.pdf"
    file_paper(path, b"five pieces", JUNE)
    file_paper(path, b"six pieces", MAY)
    kept = {"sheet.pdf": b"six pieces", "kept/2026-06-01/sheet.pdf": b"five pieces"}
    assert papers(tmp_path) == kept
    assert day_of(path) == JUNE


def test_a_paper_that_waits_in_a_file_is_filed_as_one_in_memory(tmp_path: Path) -> None:
    path, waiting = tmp_path / "papers" / "book.pdf", tmp_path / "book.pdf"
    waiting.write_bytes(b"twelve plates")
    file_paper(path, waiting, MAY)
    before = path.stat()
    file_paper(path, waiting, MAY)
    assert path.stat().st_ino == before.st_ino  # an equal one is left as it is
    waiting.write_bytes(b"twelve prints")  # as long
    file_paper(path, waiting, JUNE)
    assert path.read_bytes() == waiting.read_bytes() == b"twelve prints"
    kept = path.parent / "kept" / MAY.isoformat() / "book.pdf"
    assert kept.read_bytes() == b"twelve plates"
