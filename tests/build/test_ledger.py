"""The list of printed numbers: how it is written and copied, and what is told when it is in doubt.

Each state has its message in full, with place and remedy; and where nothing is wrong, silence.
"""

import errno
import shutil
from datetime import date, timedelta
from hashlib import sha256

import pytest

from provenance.build.doubts import numbers_known, refuse_doubt, to_recover
from provenance.build.ledger import COPIES, NOTHING_YET, catch_up, copies
from provenance.build.starting import start_piece
from provenance.build.witnesses import LISTING, listing_of, tell_site
from provenance.output.generations import retire
from provenance.problems import Slip
from provenance.records.book import read_book
from provenance.records.printed import Chain
from provenance.studio import Studio
from tests.build.a_ledger import SITE, Bench

RECOVER = (
    "\n    'provenance recover' shows what it can put back, and asks; until then nothing is "
    "printed and no number given"
)
AFRESH = (
    "\n    'provenance recover' shows what it can put back, and asks; {}. Until then nothing is "
    "printed and no number given"
)
MOVE_PAPERS = AFRESH.format("if no such number was ever handed out, move these papers elsewhere")
MOVE_SITE = AFRESH.format(
    "if you begin afresh and no such number was ever handed out, move the site elsewhere, "
    "with .site.kept/ beside it"
)


def three(bench: Bench) -> list[bytes]:
    """Three tags on three days."""
    for turn in (1, 2, 3):
        bench.record(f"2026-00{turn}")
        bench.tags(f"2026-00{turn}")
        bench.tomorrow()
    return bench.list.read_bytes().splitlines(keepends=True)


def alone(bench: Bench) -> None:
    """Nothing but the list."""
    for path in (bench.folder / COPIES, bench.folder / "papers", bench.site):
        shutil.rmtree(path, ignore_errors=True)


# Written


def test_every_line_is_tied_to_all_before_it_and_the_copy_says_the_same(bench):
    three(bench)
    chain = Chain(bench.list.read_bytes())
    assert (chain.count, chain.broken) == (3, None)
    assert len({text.rpartition(b"chain")[2] for text in chain.texts}) == 3
    assert copies(bench.folder)[0][1].raw == bench.list.read_bytes()
    assert bench.doubts() == []


def test_a_list_of_an_earlier_version_is_covered_by_the_first_line_that_is_tied(bench):
    bench.record("2026-001")
    bench.list.write_text(bench.line("2026-001") * 2)
    assert bench.doubts() == []
    bench.tags("2026-001")
    alone(bench)
    assert bench.doubts() == []
    bench.list.write_bytes(bench.list.read_bytes().replace(b"Ebb", b"Elb", 1))
    assert bench.doubts() == [
        "pieces/studio/printed.yaml:3:1: this line no longer fits those before it: one of them was "
        "changed, put in or taken out" + RECOVER
    ]


def test_line_ends_and_blank_lines_are_nobodys_business(bench):
    lines = three(bench)
    bench.list.write_bytes(b"\xef\xbb\xbf" + b"\n".join(lines).replace(b"\n", b"\r\n") + b" \r\n")
    assert bench.doubts() == []
    bench.tags("2026-001", price="£410")
    assert bench.doubts() == []


def test_the_last_three_days_are_kept(bench):
    bench.record("2026-001")
    for price in ("£1", "£2", "£3", "£4"):
        bench.tags("2026-001", price=price)
        bench.tags("2026-001", price=f"{price}.50")
        bench.tomorrow()
    found = copies(bench.folder)
    names = [f"{COPIES}/2026-10-0{day}.yaml" for day in (4, 3, 2)]
    assert [(name, chain.count) for name, chain in found] == list(
        zip(names, (8, 6, 4), strict=True)
    )


def test_a_clock_that_went_back_does_not_write_over_an_older_day(bench):
    three(bench)
    bench.day = bench.day.replace(year=2020)
    bench.tags("2026-001", price="£410")
    names = sorted(path.name for path in (bench.folder / COPIES).iterdir())
    assert names == ["2026-10-01.yaml", "2026-10-02.yaml", "2026-10-03.yaml"]
    assert copies(bench.folder)[0][1].count == 4


def test_a_copy_that_leads_out_of_the_folder_is_not_written(bench, tmp_path):
    bench.record("2026-001")
    (tmp_path / "elsewhere").mkdir()
    (bench.folder / COPIES).symlink_to(tmp_path / "elsewhere")
    with pytest.raises(Slip):
        bench.tags("2026-001")
    assert list((tmp_path / "elsewhere").iterdir()) == []


def test_what_lies_where_copies_go_is_told_before_anything_is_printed(bench, tmp_path):
    """Else the paper is out, and the line in the list, when the copy can't be written."""
    bench.record("2026-001")
    (bench.folder / COPIES).write_text("x")
    said = "pieces/.printed: this is no folder of the studio: copies of the list of printed "
    assert bench.doubt().startswith(said)
    with pytest.raises(Slip):
        refuse_doubt(bench.book)
    (bench.folder / COPIES).unlink()
    (bench.folder / COPIES).symlink_to(tmp_path)
    assert bench.doubt().startswith(said)


def test_a_number_on_tags_stays_known_though_list_and_copies_come_from_an_older_day(bench):
    """The tags of the same day are kept: nothing else knows of it by then."""
    for number in ("2026-001", "2026-002"):
        bench.record(number)
    bench.tags("2026-001")
    older = {path: path.read_bytes() for path in (bench.list, *(bench.folder / COPIES).iterdir())}
    bench.tags("2026-002")
    for path, content in older.items():
        path.write_bytes(content)
    (bench.folder / "2026-002.yaml").unlink()
    bench.tags("2026-001", price="£420")
    assert "2026-002" in numbers_known(bench.book)


# In doubt


def test_gone_where_the_copy_knows(bench):
    three(bench)
    for spoil in (bench.list.unlink, bench.list.touch, lambda: bench.list.write_text("[]\n")):
        spoil()
        assert bench.doubts() == [
            "pieces/studio/printed.yaml: no printed number stands here any more; "
            ".printed/2026-10-03.yaml has 3 lines" + RECOVER
        ]


def test_gone_where_the_newest_copy_is_empty_too(bench):
    three(bench)
    bench.list.unlink()
    (bench.folder / COPIES / "2026-10-03.yaml").write_text("")
    assert bench.doubt().endswith(".printed/2026-10-02.yaml has 2 lines")


@pytest.mark.parametrize("name", ["certificate-2026-001.pdf", "tags.pdf"])
def test_gone_where_papers_know(bench, name):
    three(bench)
    bench.certificate("2026-001")
    alone(bench)
    bench.list.unlink()
    (bench.folder / "papers").mkdir()
    (bench.folder / "papers" / name).write_bytes(b"%PDF-")
    assert bench.doubts() == [
        "pieces/studio/printed.yaml: no printed number stands here, and there are printed papers: "
        f"pieces/papers/{name}{MOVE_PAPERS}"
    ]


def test_gone_where_the_site_knows(bench):
    three(bench)
    bench.build()
    shutil.copytree(bench.site, bench.folder.parent / "kept")
    alone(bench)
    (bench.folder.parent / "kept").rename(bench.site)
    bench.list.unlink()
    assert bench.doubts() == [
        "pieces/studio/printed.yaml: no printed number stands here, and the site knows printed "
        f"addresses: 2026-001, 2026-002, 2026-003{MOVE_SITE}"
    ]


def test_gone_where_the_former_sites_know(bench):
    three(bench)
    for _ in range(2):
        bench.build()
        retire(bench.site, bench.site)
    bench.build()
    tell_site(bench.site, bench.book)
    alone(bench)
    bench.list.unlink()
    said = "no printed number stands here, and the site knows printed addresses"
    assert bench.doubt() == f"pieces/studio/printed.yaml: {said}: 2026-001, 2026-002, 2026-003"
    bench.recover()
    assert [(line.number, line.title) for line in bench.book.printed] == [
        (f"2026-00{turn}", "Ebb") for turn in (1, 2, 3)
    ]
    assert bench.doubts() == []


@pytest.mark.parametrize(("left", "place", "said"), [
    (2, "3:1", "1 line is missing from here on; .printed/2026-10-03.yaml has it"),
    (1, "2:1", "2 lines are missing from here on; .printed/2026-10-03.yaml has them"),
])  # fmt: skip
def test_shortened(bench, left, place, said):
    lines = three(bench)
    bench.list.write_bytes(b"".join(lines[:left]))
    assert bench.doubts() == [f"pieces/studio/printed.yaml:{place}: {said}{RECOVER}"]


def test_shortened_by_what_an_older_copy_has(bench):
    lines = three(bench)
    bench.list.write_bytes(lines[0])
    (bench.folder / COPIES / "2026-10-03.yaml").write_text("")
    assert bench.doubt() == (
        "pieces/studio/printed.yaml:2:1: 1 line is missing from here on; "
        ".printed/2026-10-02.yaml has it"
    )


def test_a_certificate_without_a_line(bench):
    lines = three(bench)
    bench.certificate("2026-002")
    bench.list.write_bytes(b"".join(lines))
    shutil.rmtree(bench.folder / COPIES)
    assert bench.doubts() == [
        "pieces/studio/printed.yaml: no line tells of the certificate of 2026-002: "
        f"pieces/papers/certificate-2026-002.pdf{MOVE_PAPERS}"
    ]


def test_a_printed_address_without_a_line(bench):
    lines = three(bench)
    bench.build()
    bench.list.write_bytes(lines[0])
    shutil.rmtree(bench.folder / COPIES)
    assert bench.doubts() == [
        "pieces/studio/printed.yaml: no line tells of printed addresses that the site knows: "
        f"2026-002, 2026-003{MOVE_SITE}"
    ]


def test_a_site_that_was_built_from_more_lines(bench):
    lines = three(bench)
    bench.tags("2026-001", price="£410")
    bench.build()
    bench.list.write_bytes(b"".join(lines))
    shutil.rmtree(bench.folder / COPIES)
    assert bench.doubts() == [
        "pieces/studio/printed.yaml: the site was built from another list: it knows 4 printed "
        f"papers in another order, or more{MOVE_SITE}"
    ]


def test_a_changed_line_is_told_where_it_was_changed(bench):
    lines = three(bench)
    bench.list.write_bytes(b"".join(lines).replace("£400".encode(), "£480".encode(), 1))
    column = lines[0].decode().index("£400") + 3
    assert bench.doubts() == [
        f"pieces/studio/printed.yaml:1:{column}: this line is not as it was written: it was "
        f"changed, put in or taken out{RECOVER}"
    ]


@pytest.mark.parametrize("spoil", [
    lambda lines: [lines[0], lines[2]],
    lambda lines: lines[1:],
    lambda lines: [lines[0], lines[0], *lines[1:]],
    lambda lines: [lines[1], lines[0], lines[2]],
    lambda lines: [*lines, b'- {on: 2026-10-09, paper: "tag", number: "2026-009", title: "A"}\n'],
])  # fmt: skip
def test_a_line_taken_out_put_in_or_moved_is_seen_without_any_copy(bench, spoil):
    lines = three(bench)
    alone(bench)
    bench.list.write_bytes(b"".join(spoil(lines)))
    assert "this line no longer fits those before it" in bench.doubt()


def test_forked(bench):
    lines = three(bench)
    kept = bench.list.read_bytes()
    bench.list.write_bytes(b"".join(lines[:2]))
    shutil.rmtree(bench.folder / COPIES)
    bench.day = date(2026, 10, 3)
    bench.tags("2026-001", price="£999")
    (bench.folder / COPIES / "2026-10-09.yaml").write_bytes(kept)
    column = lines[2].decode().index("2026-003") + len("2026-00") + 1
    assert bench.doubts() == [
        f"pieces/studio/printed.yaml:3:{column}: from here on .printed/2026-10-09.yaml says "
        f"something else, and both have lines that the other lacks{RECOVER}"
    ]


# Silence


def test_a_new_studio_and_its_first_tags(bench):
    bench.record("2026-001")
    assert bench.doubts() == []
    bench.tags("2026-001", noted=False)  # the run was killed before it noted them
    assert bench.doubts() == []
    bench.tags("2026-001")
    assert bench.doubts() == []


@pytest.mark.parametrize("gone", ["papers", COPIES, "../site"])
def test_papers_copies_or_site_taken_away(bench, gone):
    three(bench)
    bench.certificate("2026-001")
    bench.build()
    shutil.rmtree(bench.folder / gone)
    assert bench.doubts() == []


def test_a_run_killed_before_the_copy(bench, monkeypatch):
    three(bench)

    def killed(*_):
        raise KeyboardInterrupt

    with monkeypatch.context() as patch, pytest.raises(KeyboardInterrupt):
        patch.setattr("provenance.build.ledger.keep_copy", killed)
        bench.tags("2026-001", price="£410")
    assert copies(bench.folder)[0][1].count == 3
    assert bench.doubts() == []
    bench.tags("2026-001", price="£420")
    assert copies(bench.folder)[0][1].count == 5


def test_a_copy_that_was_damaged_is_written_anew(bench):
    three(bench)
    copy = bench.folder / COPIES / "2026-10-03.yaml"
    copy.write_bytes(copy.read_bytes()[:-30])
    assert bench.doubts() == []
    bench.tags("2026-001", price="£410")
    assert copies(bench.folder)[0][1].raw == bench.list.read_bytes()


def test_the_site_of_another_studio_says_nothing(bench):
    three(bench)
    bench.build()
    alone_list = bench.list.read_bytes().splitlines(keepends=True)[0]
    (bench.site / ".studio").write_text("Another\nhttps://other.example\n")
    shutil.rmtree(bench.folder / COPIES)
    bench.list.write_bytes(alone_list)
    assert bench.doubts() == []


def test_a_site_of_an_earlier_version_says_nothing(bench):
    three(bench)
    bench.build()
    (bench.site / LISTING).unlink()
    alone_list = bench.list.read_bytes().splitlines(keepends=True)[0]
    shutil.rmtree(bench.folder / COPIES)
    bench.list.write_bytes(alone_list)
    assert bench.doubts() == []


def test_certificates_kept_of_one_day_are_known_by_their_number(bench):
    bench.record("2026-001")
    for issue in (1, 2, 3):
        bench.certificate("2026-001", issue)
    kept = {path.name for path in (bench.folder / "papers" / "kept").rglob("*.pdf")}
    assert kept == {"certificate-2026-001.pdf", "certificate-2026-001-2.pdf"}
    assert bench.doubts() == []


def test_a_copy_that_a_killed_run_left_behind_is_brought_up_to_date(bench):
    three(bench)
    (name, chain), *_ = copies(bench.folder)
    behind = b"".join(chain.raw.splitlines(keepends=True)[:1])
    for left, then in (
        (behind, chain.raw),
        (NOTHING_YET, chain.raw),
        (b'- {paper: "tag"}\n', b'- {paper: "tag"}\n'),  # another's: nothing that we may lose
    ):
        (bench.folder / name).write_bytes(left)
        catch_up(bench.folder, bench.day - timedelta(days=1))  # the day of the last copy
        assert (bench.folder / name).read_bytes() == then


# What the site tells


def test_the_listing_holds_public_facts_alone(bench):
    bench.record("2026-001", "Secret")
    bench.tags("2026-001", price="£4321")
    bench.build()
    first, *rest = (bench.site / LISTING).read_text().splitlines()
    assert rest == [f"2026-001 {SITE.upper()}/2026-001/"]
    assert first == f"1 {sha256(b'2026-001' + bytes([10])).hexdigest()[:32]}"


def test_the_listing_lies_outside_the_site_until_it_is_whole(bench, monkeypatch):
    three(bench)
    bench.build()
    (bench.site / LISTING).write_bytes(b"0 0\n")
    written = []

    def full(path, _):
        written.append(path)
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch, pytest.raises(Slip):
        patch.setattr("provenance.output.files.write_new", full)
        tell_site(bench.site, bench.book)
    assert written == [bench.site.with_name(".site.printed")]
    tell_site(bench.site, bench.book)
    assert (bench.site / LISTING).read_bytes() == listing_of(bench.book.printed)
    assert not written[0].exists()


# Numbers


@pytest.mark.parametrize("witness", [
    "list", "copy", "certificate", "tags", "listing", "page", "former page",
])  # fmt: skip
def test_a_number_is_known_whoever_knows_it(bench, witness):
    bench.record("2026-001")
    bench.record("2026-044")
    bench.tags("2026-001")
    if witness in ("list", "copy", "tags", "listing"):
        bench.tags("2026-044", noted=witness != "tags")
    if witness == "certificate":
        bench.certificate("2026-044")
    if witness in ("listing", "page", "former page"):
        bench.build()
    if witness.startswith("former"):
        retire(bench.site, bench.site)
    (bench.folder / "2026-044.yaml").unlink()
    assert "2026-044" in numbers_known(bench.book)


def test_no_number_is_given_while_the_list_is_in_doubt(bench):
    three(bench)
    studio = Studio(bench.book, None, {}, bench.day)  # type: ignore[arg-type]
    assert start_piece(studio, None, "Ebb", None).file == "2026-004-ebb.yaml"
    bench.list.unlink()
    with pytest.raises(Slip):
        start_piece(studio, None, "Ebb", None)


def test_a_list_that_cannot_be_read_is_refused(bench):
    three(bench)
    bench.list.write_bytes(bench.list.read_bytes()[:-40])
    with pytest.raises(Slip) as refused:
        refuse_doubt(bench.book)
    assert refused.value.what.key == "ledger.unread"


@pytest.mark.parametrize("is_there", [True, False])
def test_a_list_that_leads_out_has_one_remedy(bench, tmp_path, is_there):
    three(bench)
    outside = bench.list.rename(tmp_path / "outside.yaml")
    bench.list.symlink_to(outside if is_there else tmp_path / "nowhere.yaml")
    (told_,) = to_recover(bench.book, read_book(bench.folder)[1])
    assert (told_.what.key, told_.remedy.key) == ("file.leads_out", "ledger.unlink")
    for refused in (bench.recover, lambda: bench.tags("2026-001")):
        with pytest.raises(Slip) as slip:
            refused()
        assert slip.value.remedy.key == "ledger.unlink"
    bench.list.unlink()
    if is_there:
        outside.rename(bench.list)
    assert bench.recover().is_needed != is_there
    assert bench.doubts() == []
