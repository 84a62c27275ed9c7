"""The maker's own window tests: what a strip of yarn beside a blue wool strip tells.

In: `studio/light-tests.yaml` as records. Out: for each lot its latest finished test, and the blue
wools it leaves open. A window tells blue wool 1, 2, 3 and "above 3", no more: two months of bright
window (5000 lux for 8 hours a day) reach the dose of blue wool 3, and a strip that can't have
changed yet tells nothing of what changed less, which is remarked on.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from provenance.problems import Problem, Said
from provenance.records.book import Book
from provenance.records.light_tests import LightTest
from provenance.reference.light import blue_wools, museum

MOST_TOLD = 3


@dataclass(frozen=True, slots=True)
class WindowTest:
    """A finished test: which lot hung where, from when to when, and how it changed beside what.

    `beside` is a blue wool; `dye` names the yarn that stood for it, where no strip was at hand.
    """

    lot: str
    on: str
    first: date
    last: date
    beside: int
    dye: str
    changed: str

    @property
    def reach(self) -> int:
        """The highest blue wool whose dose the light of the test could reach; 0 for none."""
        window = museum("window")
        dose = window["lux"] * window["hours"] * self.days
        return max((wool.number for wool in blue_wools() if wool.uv <= dose), default=0)

    @property
    def days(self) -> int:
        """How long it hung."""
        return (self.last - self.first).days

    @property
    def bounds(self) -> tuple[int, int]:
        """The least and the highest blue wool the test leaves open."""
        if self.changed == "more":
            return 1, max(min(self.beside - 1, self.reach), 1)
        if self.changed == "same" and self.beside <= min(self.reach, MOST_TOLD + 1):
            return self.beside, self.beside
        return min(self.beside, self.reach, MOST_TOLD) + 1, 8


def window_tests(book: Book) -> dict[str, WindowTest]:
    """The finished test of each lot; of several the latest."""
    tests = [each for each in map(finished, book.light_tests.values()) if each]
    return {test.lot: test for test in sorted(tests, key=lambda test: test.last)}


def finished(record: LightTest) -> WindowTest | None:
    """The test of a record; None while it hangs."""
    if record.to is None or record.beside is None or record.changed is None:
        return None
    beside = record.beside
    return WindowTest(
        str(record.lot), str(record.on), record.from_, record.to,
        beside.blue_wool, beside.dye, str(record.changed),
    )  # fmt: skip


def check_light_tests(book: Book) -> Iterator[Problem]:
    """Remarks on blue wool strips that can't have changed in the days they hung."""
    for record in book.light_tests.values():
        beside, test = record.beside, finished(record)
        if test is None or beside is None or beside.dye or test.changed == "more":
            continue
        if test.beside > test.reach:
            key = "" if test.reach else "_none"
            about = {"days": test.days, "number": test.beside, "reach": test.reach}
            said = Said(f"review.strip_still{key}", **about)
            remedy = Said(f"review.lower_strip{key}", reach=test.reach)
            yield Problem(beside.place, said, remedy, is_remark=True)
