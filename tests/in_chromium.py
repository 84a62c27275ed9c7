"""The browser of the tests: Debian's Chromium, driven by Playwright; it asks nobody outside."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or ""
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


def skip_without_chromium() -> None:
    """For a module that needs it; in CI its tests fail where it is missing."""
    if not CHROMIUM and not os.environ.get("CI"):
        pytest.skip("needs Debian's chromium (apt-get install chromium)", allow_module_level=True)


@contextmanager
def chromium() -> Iterator[Any]:
    """The browser, open."""
    from playwright.sync_api import sync_playwright

    assert CHROMIUM, "CI must have Debian's chromium"
    with sync_playwright() as play:
        opened = play.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield opened
        opened.close()
