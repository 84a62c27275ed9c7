"""Accidents in any order: a number that anything still knows for printed is never given again.

What is left of the truth is looked for by a way of its own: the number as text in the list, in its
copies, in names and hidden lines of papers, in what the site says. While it is found anywhere,
`start` must refuse or give another, and its page must stay its own.
"""

from __future__ import annotations

import random
import shutil
import tempfile
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from provenance.build.ledger import COPIES
from provenance.build.starting import start_piece
from provenance.press.pdf.noted import note_in
from provenance.problems import Slip
from provenance.records.printed import Chain
from provenance.studio import Studio
from tests.build.a_ledger import Bench

SITE_FILE = ".printed"
some = st.integers(0, 10_000)


class Accidents(RuleBasedStateMachine):
    """A studio to which things happen."""

    def __init__(self) -> None:
        super().__init__()
        self.home = Path(tempfile.mkdtemp(prefix="accidents"))
        self.bench = Bench(self.home / "home" / "pieces")
        self.printed: dict[str, str] = {}
        self.turn = 0

    def teardown(self) -> None:
        shutil.rmtree(self.home)

    # What a maker does

    @rule(title=st.sampled_from(("Ebb", "Haws", "Spate")))
    def start(self, title: str) -> None:
        """The next piece: its number is one that nothing knows."""
        alive = self.alive()
        studio = Studio(self.bench.book, None, {}, self.bench.day)  # type: ignore[arg-type]
        try:
            new = start_piece(studio, None, title, None)
        except Slip:
            assert self.bench.doubts() or self.bench.book.is_broken("*", "printed")
            return
        number = new.file[:8]
        assert number not in alive, f"{number} was printed and is given again"
        self.bench.titles.pop(number, None)
        self.turn += 1
        self.bench.record(number, f"{title} {self.turn}")

    @rule(which=some, price=st.integers(1, 9), noted=st.booleans())
    def tags(self, which: int, price: int, noted: bool) -> None:
        """Tags are printed, or their run is killed before they are noted."""
        if number := self.some_record(which):
            try:
                self.bench.tags(number, price=f"£{price}", noted=noted)
            except Slip:
                return
            if noted:
                self.remember(number)

    @rule(which=some, carries=st.booleans())
    def certificate(self, which: int, carries: bool) -> None:
        if number := self.some_record(which):
            try:
                self.turn += 1
                self.bench.certificate(number, self.turn, carries=carries)
            except Slip:
                return
            self.remember(number)

    @rule()
    def build(self) -> None:
        """A page that was there stays with the piece whose number was printed."""
        try:
            self.bench.build()
        except Slip:
            return
        for number, title in self.printed.items():
            page = self.bench.site / number / "piece.json"
            if page.is_file() and number in self.alive():
                assert title in page.read_text(), f"the page of {number} is another piece's"

    @rule()
    def tomorrow(self) -> None:
        self.bench.tomorrow()

    @rule()
    def recover(self) -> None:
        """Nothing that is known is dropped; afterwards all is well, and stays so."""
        alive = self.alive()
        self.bench.recover()
        known = {str(line.number) for line in self.bench.book.printed}
        assert alive <= known | self.of_pages()
        assert self.bench.doubts() == []
        assert not self.bench.recover().is_needed

    # Accidents

    @rule(which=some)
    def remove_record(self, which: int) -> None:
        if number := self.some_record(which):
            (self.bench.folder / f"{number}.yaml").unlink()

    @rule(way=st.sampled_from(("delete", "empty", "cut", "line", "byte", "old")), at=some)
    def spoil_the_list(self, way: str, at: int) -> None:
        if self.bench.list.is_file():
            spoil(self.bench.list, way, at)

    @rule(way=st.sampled_from(("delete", "empty", "cut", "line", "byte", "all")), at=some)
    def spoil_a_copy(self, way: str, at: int) -> None:
        there = sorted((self.bench.folder / COPIES).glob("*.yaml"))
        if way == "all":
            shutil.rmtree(self.bench.folder / COPIES, ignore_errors=True)
        elif there:
            spoil(there[-1], way, at)

    @rule()
    def delete_papers(self) -> None:
        shutil.rmtree(self.bench.folder / "papers", ignore_errors=True)

    @rule()
    def delete_site(self) -> None:
        shutil.rmtree(self.bench.site, ignore_errors=True)

    @rule()
    @precondition(lambda self: self.bench.list.is_file())
    def written_but_not_copied(self) -> None:
        """The copy goes back to what it was a line ago, as after a run that was killed."""
        there = sorted((self.bench.folder / COPIES).glob("2*.yaml"))
        if there and Chain(there[-1].read_bytes()).count > 1:
            lines = there[-1].read_bytes().splitlines(keepends=True)
            there[-1].write_bytes(b"".join(lines[:-1]))

    # What is known of it

    @invariant()
    def silent_while_nothing_was_printed(self) -> None:
        if not self.printed and not (self.bench.folder / "papers").exists():
            assert self.bench.doubts() == []

    def remember(self, number: str) -> None:
        self.printed.setdefault(number, self.bench.titles[number])

    def some_record(self, which: int) -> str:
        there = sorted(path.stem for path in self.bench.folder.glob("*.yaml"))
        return there[which % len(there)] if there else ""

    def of_pages(self) -> set[str]:
        """Printed numbers that only a page of the site tells of: no list of addresses does."""
        pages = {path.name for path in self.bench.site.glob("2*")}
        return pages & set(self.printed)

    def alive(self) -> set[str]:
        """Printed numbers that anything still tells of."""
        texts = [path.read_bytes() for path in self.bench.folder.glob("studio/printed.yaml")]
        texts += [path.read_bytes() for path in (self.bench.folder / COPIES).glob("2*.yaml")]
        for path in (self.bench.folder / "papers").rglob("*.pdf"):
            texts += [path.name.encode(), note_in(path.read_bytes()).encode()]
        if (self.bench.site / SITE_FILE).is_file():
            texts.append((self.bench.site / SITE_FILE).read_bytes())
        return {each for each in self.printed if any(each.encode() in text for text in texts)}


def spoil(path: Path, way: str, at: int) -> None:
    """One accident to one file."""
    raw = path.read_bytes()
    lines = raw.splitlines(keepends=True)
    if way == "delete":
        path.unlink()
    elif way == "empty" or not lines:
        path.write_bytes(b"")
    elif way == "cut":
        path.write_bytes(raw[: at % len(raw)])
    elif way == "line":
        path.write_bytes(b"".join(lines[: at % len(lines)] + lines[at % len(lines) + 1 :]))
    elif way == "byte":
        place = at % len(raw)
        other = random.Random(at).choice([b for b in b"0123456789abcxyz " if b != raw[place]])
        path.write_bytes(raw[:place] + bytes([other]) + raw[place + 1 :])
    else:
        path.write_bytes(b"".join(lines[: at % (len(lines) + 1)]))


TestAccidents = Accidents.TestCase
TestAccidents.settings = settings(max_examples=20, stateful_step_count=25)
