"""Certificates that are made and not issued yet, while the site waits to know which can't be.

In: what workers hand over, one by one. Out: the same again, in the same order. The papers lie on
the disk meanwhile, in a file without a name, since memory might not hold those of a large studio.
"""

from collections.abc import Iterable, Iterator
from pathlib import Path
from tempfile import TemporaryFile, gettempdir

from provenance.output import disk_told
from provenance.papers.certificates.certificate import Certificate, Issue
from provenance.problems import Slip

Made = tuple[Certificate, Issue, bytes]


class Aside:
    """What was made, or why not; `slips` tells it alone. Slip when the disk is full."""

    def __init__(self, made: Iterable[Made | Slip]) -> None:
        with disk_told(Path(gettempdir())):
            self._file = TemporaryFile()  # noqa: SIM115 (open until the last is read)
        self._told = [
            each if isinstance(each, Slip) else (*each[:2], self._put(each[2])) for each in made
        ]

    @property
    def slips(self) -> tuple[bool, ...]:
        """Whether each can't be made."""
        return tuple(isinstance(each, Slip) for each in self._told)

    def _put(self, content: bytes) -> int:
        with disk_told(Path(gettempdir())):
            self._file.write(content)
            self._file.flush()
        return len(content)

    def __iter__(self) -> Iterator[Made | Slip]:
        with self._file as file:
            file.seek(0)
            for each in self._told:
                yield each if isinstance(each, Slip) else (*each[:2], file.read(each[2]))
