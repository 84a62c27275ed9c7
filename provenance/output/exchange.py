"""Two folders change places: in one step where the system can (Linux, macOS), else in two.

In: the tree to come, the target, the name that the old tree takes in between. Out: where the old
tree is now. A run that is killed between two steps leaves the old tree under that name.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path


def change_places(new: Path, target: Path, old: Path) -> Path:
    """`new` takes the place of `target`; where the tree is that stood there, if one did."""
    if not target.exists():
        new.rename(target)
        return new
    if exchanged(new, target):
        return new
    target.rename(old)
    try:
        new.rename(target)
    except BaseException:
        old.rename(target)
        raise
    return old


def exchanged(one: Path, other: Path) -> bool:
    """Let two names change places in one step (renameat2, renamex_np); False where none can."""
    import ctypes

    here, names = -100, (os.fsencode(one), os.fsencode(other))
    with suppress(AttributeError, OSError, TypeError):
        system = ctypes.CDLL(None, use_errno=True)
        if sys.platform == "linux":
            return bool(system.renameat2(here, names[0], here, names[1], 2) == 0)
        if sys.platform == "darwin":
            return bool(system.renamex_np(*names, 2) == 0)
    return False
