"""The list of printed numbers comes back from whatever knows of it, be it one witness or all.

What was there before is what comes back; nothing is dropped that can be read, nothing is made up.
"""

import shutil

import pytest

from provenance.build.ledger import COPIES
from provenance.records.printed import Chain, printed_line
from tests.build.a_ledger import SITE, Bench, paper_with


def written(bench: Bench) -> list[str]:
    """What the list says, line by line, without the chain."""
    return [printed_line(line) for line in bench.book.printed]


def whole(bench: Bench) -> list[str]:
    """A studio that has printed on three days and built its site."""
    bench.record("2026-001")
    bench.record("2026-002", "Åkern, „Łódź“ 🧶")
    bench.tags("2026-001", "2026-002")
    bench.tomorrow()
    bench.certificate("2026-002")
    bench.tomorrow()
    bench.certificate("2026-002", issue=2)
    bench.tags("2026-001", price="£450")
    bench.build()
    return written(bench)


def is_whole(bench: Bench) -> bool:
    """Nothing is in doubt, and recovering again does nothing."""
    chain = Chain(bench.list.read_bytes())
    copy = sorted((bench.folder / COPIES).glob("2*.yaml"))[-1].read_bytes()
    again = bench.recover()
    return not (
        bench.doubts() or chain.broken or again.is_needed or copy != bench.list.read_bytes()
    )


def test_nothing_to_do(bench):
    before = whole(bench)
    raw = bench.list.read_bytes()
    found = bench.recover()
    assert (found.is_needed, [each.key for each in found.told]) == (
        False,
        ["ledger.nothing_missing"],
    )
    assert (bench.list.read_bytes(), written(bench)) == (raw, before)


def test_nothing_to_do_in_a_new_studio(bench):
    assert not bench.recover().is_needed
    assert not bench.list.exists()


@pytest.mark.parametrize("size", [0, 40, 200, 500])
def test_from_the_copy_as_it_was(bench, size):
    before = whole(bench)
    raw = bench.list.read_bytes()
    bench.list.write_bytes(raw[:size])
    bench.recover()
    assert (bench.list.read_bytes(), written(bench)) == (raw, before)
    assert is_whole(bench)


def test_from_the_papers_as_it_was(bench):
    before = whole(bench)
    bench.list.unlink()
    shutil.rmtree(bench.folder / COPIES)
    found = bench.recover()
    assert sorted(written(bench)) == sorted(before)
    assert {name for name, _ in found.missing} == {
        "pieces/papers/certificate-2026-002.pdf",
        "pieces/papers/kept/2026-10-02/certificate-2026-002.pdf",
        "pieces/papers/kept/2026-10-01/tags.pdf",
        "pieces/papers/tags.pdf",
    }
    assert is_whole(bench)


def test_from_certificates_that_carry_nothing(bench):
    """By their names alone: neither day nor title is made up; the next issue counts on."""
    bench.record("2026-001")
    bench.certificate("2026-001", carries=False)
    bench.list.unlink()
    shutil.rmtree(bench.folder / COPIES)
    bench.recover()
    assert written(bench) == ['- {paper: "certificate", number: "2026-001"}\n']
    assert is_whole(bench)


def test_from_the_site_alone(bench):
    whole(bench)
    for path in (bench.folder / COPIES, bench.folder / "papers"):
        shutil.rmtree(path)
    bench.list.unlink()
    bench.recover()
    assert [
        (line.paper, line.number, line.title, line.address, line.on, line.price)
        for line in bench.book.printed
    ] == [
        ("site", "2026-001", "Ebb", f"{SITE}/2026-001/".upper(), None, None),
        ("site", "2026-002", "Åkern, „Łódź“ 🧶", f"{SITE}/2026-002/".upper(), None, None),
    ]
    assert is_whole(bench)
    bench.build()
    assert is_whole(bench)


def test_a_changed_line_gives_way_to_the_one_that_was_written(bench):
    """A number that was damaged is no number that was printed."""
    before = whole(bench)
    raw = bench.list.read_bytes().replace(b'number: "2026-002"', b'number: "2026-902"', 1)
    bench.list.write_bytes(raw)
    found = bench.recover()
    assert written(bench) == before
    kept = [path.read_bytes() for path in (bench.folder / COPIES).glob("before-*.yaml")]
    assert kept == [raw]
    assert "ledger.unreadable" in [each.key for each in found.told if hasattr(each, "key")]
    assert is_whole(bench)


def test_a_line_that_came_after_the_copy_stays(bench):
    before = whole(bench)
    copy = bench.folder / COPIES / "2026-10-03.yaml"
    old = copy.read_bytes()
    bench.tags("2026-002", price="£77")
    copy.write_bytes(old)
    newest = written(bench)[-1]
    bench.list.write_bytes(bench.list.read_bytes().replace(b"Ebb", b"Elb", 1))
    bench.recover()
    assert written(bench) == [*before, newest]
    assert is_whole(bench)


def test_both_branches_of_a_fork_stay(bench):
    whole(bench)
    raw = bench.list.read_bytes()
    bench.tags("2026-002", price="£77")
    one = written(bench)
    copy = (bench.folder / COPIES / "2026-10-03.yaml").read_bytes()
    bench.list.write_bytes(raw)
    shutil.rmtree(bench.folder / COPIES)
    bench.tags("2026-002", price="£88")
    other = written(bench)
    (bench.folder / COPIES / "2026-10-05.yaml").write_bytes(copy)
    bench.recover()
    assert sorted(written(bench)) == sorted({*one, *other})
    assert is_whole(bench)


def test_what_the_site_knew_in_another_order_is_settled(bench):
    """Two lines that nobody has any more: the list is settled without them, and the site is too."""
    whole(bench)
    raw = bench.list.read_bytes().splitlines(keepends=True)
    for path in (bench.folder / COPIES, bench.folder / "papers"):
        shutil.rmtree(path)
    bench.list.write_bytes(b"".join(raw[:2]))
    assert "the site was built from another list" in bench.doubt()
    bench.recover()
    assert bench.list.read_text().startswith("# 2026-10-03: recovered; the site was built from")
    assert is_whole(bench)
    bench.tags("2026-001", price="£5")
    assert bench.doubts() == []


def test_tags_whose_run_was_killed_are_offered_and_nothing_else_said(bench):
    bench.record("2026-001")
    bench.tags("2026-001", noted=False)
    assert bench.doubts() == []
    assert [name for name, _ in bench.recover().missing] == ["pieces/papers/tags.pdf"]
    assert is_whole(bench)


def test_a_paper_that_is_no_pdf_stops_nothing(bench):
    whole(bench)
    (bench.folder / "papers" / "tags-old.pdf").write_bytes(b"no PDF")
    (bench.folder / "papers" / "tags-empty.pdf").write_bytes(paper_with(""))
    bench.list.unlink()
    bench.recover()
    assert is_whole(bench)
