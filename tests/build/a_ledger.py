"""A studio of plain records, and what its list of printed numbers and its papers go through."""

from __future__ import annotations

import shutil
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

from provenance.build.doubts import doubts, refuse_doubt
from provenance.build.filing import file_paper
from provenance.build.ledger import begin_printing, list_path, note_printed
from provenance.build.recovering import Recovery, put_back, recovery
from provenance.build.witnesses import LISTING, listing_of, tells_more
from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.records.book import Book, read_book
from provenance.records.printed import printed_line

SITE = "https://brackenfold.example"
STUDIO = f"studio: Test\nmaker: Ann Tester\nsite: {SITE}\n"


def paper_with(note: str) -> bytes:
    """The least PDF that carries its lines as tags and certificates do."""
    said = note.encode("ascii", "backslashreplace").replace(b"\\", b"\\\\")
    info = said.replace(b"(", b"\\(").replace(b")", b"\\)").replace(b"\n", b"\\n")
    objects = (
        b"<</Type/Catalog/Pages 2 0 R>>",
        b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
        b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]>>",
        b"<</printed(" + info + b")>>" if note else b"<<>>",
    )
    content, places = b"%PDF-1.7\n", []
    for turn, each in enumerate(objects, 1):
        places.append(len(content))
        content += b"%d 0 obj%s\nendobj\n" % (turn, each)
    table = b"".join(b"%010d 00000 n \n" % place for place in places)
    end = b"xref\n0 5\n0000000000 65535 f \n%strailer<</Size 5/Root 1 0 R/Info 4 0 R>>\n" % table
    return content + end + b"startxref\n%d\n%%%%EOF\n" % len(content)


@dataclass
class Bench:
    """A studio's folder, the day, and what happens on it."""

    folder: Path
    day: date = date(2026, 10, 1)
    titles: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        shutil.rmtree(self.folder.parent, ignore_errors=True)
        (self.folder / "studio").mkdir(parents=True)
        (self.folder / "studio" / "studio.yaml").write_text(STUDIO)

    @property
    def list(self) -> Path:
        return list_path(self.folder)

    @property
    def site(self) -> Path:
        return self.folder.parent / "site"

    @property
    def book(self) -> Book:
        book, _ = read_book(self.folder)
        assert book
        return book

    def record(self, number: str, title: str = "Ebb") -> None:
        self.titles.setdefault(number, title)
        (self.folder / f"{number}.yaml").write_text(f"number: {number}\ntitle: {title}\n")

    def line(self, number: str, paper: str = "tag", **more: object) -> str:
        told_ = {"on": self.day, "paper": paper, "number": number, "title": self.titles[number]}
        return printed_line({**told_, "address": f"{SITE}/{number}/".upper(), **more})

    def tags(self, *numbers: str, price: str = "£400", noted: bool = True) -> None:
        """As `tags` does it: the paper first, then the lines."""
        refuse_doubt(self.book)
        lines = "".join(self.line(n, price=price, digest="0123456789abcdef") for n in numbers)
        begin_printing(self.folder, self.day)
        path = self.folder / "papers" / "tags.pdf"
        keeps_each = tells_more(self.book, path)
        file_paper(path, paper_with(lines), self.day, keeps_each=keeps_each)
        if noted:
            note_printed(self.folder, lines, self.day)

    def certificate(self, number: str, issue: int = 1, *, carries: bool = True) -> None:
        """As `certificate` does it: the line first, then the paper."""
        refuse_doubt(self.book)
        line = self.line(number, "certificate", digest=f"{issue:064}", issue=issue)
        note_printed(self.folder, line, self.day)
        path = self.folder / "papers" / f"certificate-{number}.pdf"
        file_paper(path, paper_with(line if carries else ""), self.day, keeps_each=True)

    def build(self) -> None:
        """As `build` does it, but for what stands on the pages."""
        refuse_doubt(self.book)
        book = self.book
        for number, piece in book.pieces.items():
            (self.site / number).mkdir(parents=True, exist_ok=True)
            (self.site / number / "piece.json").write_text(f'{{"title": "{piece.title}"}}')
        self.site.mkdir(exist_ok=True)
        (self.site / ".studio").write_text(f"Test\n{SITE}\n")
        (self.site / LISTING).write_bytes(listing_of(book.printed))

    def tomorrow(self) -> None:
        self.day += timedelta(days=1)

    def doubts(self) -> list[str]:
        return [told(each, british()) for each in doubts(self.book)]

    def doubt(self) -> str:
        """What is said first, without the remedy."""
        return "".join(self.doubts()).split("\n")[0]

    def recover(self) -> Recovery:
        book = self.book
        found = recovery(book, self.day)
        if found.is_needed:
            put_back(book, found, self.day)
        return found
