"""Where things made once are kept between builds: the platform's cache, never the records."""

from __future__ import annotations

import os
import sys
from pathlib import Path


def cache_folder() -> Path:
    """`provenance` in the user's cache directory (XDG, macOS and Windows conventions)."""
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA", str(Path.home() / "AppData" / "Local")))
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Caches"
    else:
        base = Path(os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache"))
    return base / "provenance"
