"""A whole folder, built beside its target and put into its place in one step.

In: files by name, bytes. Out: the target with exactly these, and what is left in peace there; a
run that is killed, or runs out of disk, leaves the old tree whole. What the program wrote is
listed inside the tree, name and digest; a file that is not on the list, or was changed by hand, is
the maker's: it is named, never overwritten and never deleted.
"""

from __future__ import annotations

import hashlib
import os
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator, Set
from concurrent.futures import Executor, Future
from contextlib import contextmanager, suppress
from datetime import date, datetime
from pathlib import Path

from provenance.output import generations as kept
from provenance.output.files import disk_told, held_fast, settle, write_new
from provenance.output.holding import (
    LEFT_IN_PEACE,
    LIST_COMING,
    LIST_NAME,
    MAKING,
    Trusts,
    carry_over,
    link,
    look_into,
    look_into_peace,
    read_list,
    refuse,
)
from provenance.press.file_names import parts_of
from provenance.problems import Problem, Said, Slip


@contextmanager
def new_tree(
    target: Path, *, swaps: bool = True, trusts: Trusts | None = None, pool: Executor | None = None
) -> Iterator[Tree]:
    """A tree to put files into, that takes the place of `target` if all goes well (and `swaps`).

    Files that are not trusted to be as listed are read. A worker of the `pool` looks into former
    sites meanwhile. Slip when `target` holds files that are not the program's. Hold a lock
    meanwhile.
    """
    tree = Tree(Path(os.path.realpath(target)))
    with disk_told(tree.target):
        tree.begin(trusts)
        if pool and swaps:
            tree.look_at_former(pool)
    try:
        yield tree
        with disk_told(tree.target):
            if swaps:
                tree.finish()
            tree.leave()
    except BaseException:
        with suppress(OSError, Slip):  # the first fault is the one to tell
            tree.leave()
        raise


@contextmanager
def former_tree(target: Path, steps: int, *, swaps: bool = True) -> Iterator[Tree]:
    """The site of so many changes ago, that takes the place of `target` if all goes well.

    Slip when there is none, or it or `target` was changed by hand. Hold a lock meanwhile.
    """
    tree = Tree(Path(os.path.realpath(target)))
    with disk_told(tree.target):
        tree.look_back(steps)
    yield tree
    if swaps:
        with disk_told(tree.target):
            tree.put_in_place()


def lies_as_listed(target: Path, trusts: Trusts) -> bool:
    """Whether a tree lies in its place just as it was left, and nothing on its way beside it."""
    if any(os.path.lexists(kept.beside(target, word)) for word in ("new", "old")):
        return False
    with suppress(Slip, OSError):
        known = read_list(target)
        holding = look_into(target, known, trusts)
        return not holding.makers and len(holding.ours) == len(known) > 0
    return False


class Tree:
    """A tree in the making; use it by `new_tree`. `before` has the digests of the old tree,
    `remains` what was found on the way that the maker should know of."""

    def __init__(self, target: Path) -> None:
        parts_of(target.name)
        self.target = target
        self.before: dict[str, str] = {}
        self.remains: list[Problem] = []
        self._new = kept.beside(target, "new")
        self._digests: dict[str, str] = {}
        self._folded: dict[str, str] = {}
        self._written: list[Path] = []
        self._carried: dict[str, None] = {}  # in the order they came
        self._folders: set[str] = set()
        self._making = -1
        self._to_go: Path | None = None
        self._alike: Future[dict[str, int]] | None = None

    def put(self, name: str, content: bytes) -> str:
        """Add a file and give its SHA-256; one equal to the old tree's is not written again."""
        digest = hashlib.sha256(content).hexdigest()
        if not self.keep(name, digest):
            parts_of(name)
            self._claim(name, digest)
            with disk_told(self.target / name):
                self._note([name])
                path = self._place(name)
                write_new(Path(path), content)
            self._written.append(Path(path))
        return digest

    def keep(self, name: str, digest: str) -> bool:
        """Carry a file over from the old tree if it is there with this SHA-256 (hexadecimal)."""
        if self.before.get(name) != digest:
            return False
        self._claim(name, digest)
        self._carried[name] = None
        return True

    def changes(self) -> Iterator[tuple[str, str]]:
        """Every file that differs from the old tree, by name: new, changed or gone."""
        for name in sorted({*self.before, *self._digests}):
            if name not in self._digests:
                yield name, "gone"
            elif self.before.get(name) != self._digests[name]:
                yield name, "changed" if name in self.before else "new"

    def is_carried(self, name: str) -> bool:
        """Whether a file is as it was in the old tree."""
        return name in self._digests and self.before.get(name) == self._digests[name]

    @property
    def names(self) -> Set[str]:
        """The files of the tree that is to come."""
        return self._digests.keys()

    def digest(self, name: str) -> str:
        """The SHA-256 (hexadecimal) of a file of the tree that is to come."""
        return self._digests[name]

    def read(self, name: str) -> bytes:
        """A file of the tree that is to come."""
        place = self.target if name in self._carried else self._new
        return (place / name).read_bytes()

    @property
    def made_on(self) -> date:
        """The day on which the tree that is to come was finished."""
        return datetime.fromtimestamp((self._new / LIST_NAME).stat().st_mtime).date()

    def begin(self, trusts: Trusts | None = None) -> None:
        """Complete or clear away what a killed run left, look at the target, and make room."""
        self._look_at_target(trusts)
        self._new.mkdir(parents=True)
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_APPEND
        self._making = os.open(self._new / MAKING, flags, 0o666)

    def look_at_former(self, pool: Executor) -> None:
        """Have it found out which folders of the former site that will go are as they are now."""
        self._to_go = kept.to_go(self.target)
        if self._to_go:
            self._alike = pool.submit(kept.alike, self._to_go, self.target)

    def look_back(self, steps: int) -> None:
        """Look at the target, and find the former tree."""
        self._look_at_target()
        self._new = kept.former(self.target, steps)
        self._digests = read_list(self._new)

    def finish(self) -> None:
        """List the files, settle them on the disk, and change places with the old tree; a tree that
        is equal to the old one changes nothing."""
        if self._is_same():
            return
        listing, (former, folders) = self._new / LIST_COMING, self._taken_over()
        self._note([*self._carried, listing.name])
        for name in self._carried:
            if name.partition("/")[0] not in folders:
                link(f"{self.target}/{name}", self._place(name))
        listed = "".join(f"{self._digests[name]}  {name}\n" for name in sorted(self._digests))
        write_new(listing, listed.encode())
        settle([*self._written, listing])
        if former:
            kept.take_over(former, self._new, sorted(folders))
        listing.replace(self._new / LIST_NAME)
        self._close()
        (self._new / MAKING).unlink()
        self.put_in_place()

    def put_in_place(self) -> None:
        """Change places with the target; what the maker put there meanwhile stops it."""
        by_name = dict.fromkeys(self.before, "")
        refuse(self.target.name, look_into(self.target, by_name, lambda *_: True).makers)
        carry_over(self.target, self._new, look_into_peace(self.target))
        kept.replace(self._new, self.target)
        self.remains = kept.prune(self.target)

    def leave(self) -> None:
        """Clear an unfinished tree away."""
        self._close()
        kept.settle_left(self._new, self.target)

    def _look_at_target(self, trusts: Trusts | None = None) -> None:
        if os.path.ismount(self.target):
            raise held_fast(self.target)
        kept.complete(self.target)
        known = read_list(self.target)
        holding = look_into(self.target, known, trusts)
        refuse(self.target.name, holding.makers)
        self.before = {name: known[name] for name in holding.ours}

    def _taken_over(self) -> tuple[Path | None, Set[str]]:
        """The former site that would go now, and those of its folders that are just as they will
        be: they are moved, where file after file would have to be linked and the old one deleted.
        """
        alike = self._alike.result() if self._alike else {}
        if not (self._to_go and alike):
            return None, frozenset()
        every = (self.before, self._carried, self._digests)
        before, carried, coming = (Counter(n.partition("/")[0] for n in each) for each in every)
        found = {top for top, count in alike.items()
                 if count == before[top] == carried[top] == coming[top]}  # fmt: skip
        return (self._to_go, found) if found else (None, found)

    def _is_same(self) -> bool:
        is_listed = (self.target / LIST_NAME).exists()
        return is_listed and self._digests == self.before == read_list(self.target)

    def _close(self) -> None:
        if self._making >= 0:
            os.close(self._making)
            self._making = -1

    def _claim(self, name: str, digest: str) -> None:
        """Take a name. Slip where it is left in peace, or can't be told from another."""
        folded = (name if name.isascii() else unicodedata.normalize("NFC", name)).casefold()
        if name in (LIST_NAME, LIST_COMING, MAKING, *LEFT_IN_PEACE):
            raise Slip(Said("write.kept", name=name), Said("write.another_name"))
        if folded in self._folded:
            raise Slip(Said("write.twins", one=self._folded[folded], other=name))
        self._folded[folded] = name
        self._digests[name] = digest

    def _note(self, names: Iterable[str]) -> None:
        """Write down what will be in the tree before it is there."""
        waiting = "".join(f"{name}\n" for name in names).encode()
        while waiting:  # a disk that fills up takes a part, and says so only the next time
            waiting = waiting[os.write(self._making, waiting) :]

    def _place(self, name: str) -> str:
        """Where a file goes, in a folder that is there."""
        path = f"{self._new}/{name}"
        folder = path.rpartition("/")[0]
        if folder not in self._folders:
            Path(folder).mkdir(parents=True, exist_ok=True)
            self._folders.add(folder)
        return path
