"""A desk as a maker opens it: the command as a process, a studio copied aside, its key in the
browser."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

DAY = "1795608000"  # 2026-11-25
HIGH = 2400  # every line of a record is drawn: those out of sight are not
_ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/\S*")


@contextmanager
def desk_of(folder: Path, *words: str) -> Iterator[str]:
    """The address that lets a browser in; the desk ends with the block."""
    call = [sys.executable, "-m", "provenance.commands.main", "--studio", str(folder), "desk"]
    env = {**os.environ, "SOURCE_DATE_EPOCH": DAY, "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(
        [*call, "--no-browser", *words], stdout=subprocess.PIPE, text=True, env=env
    ) as desk:
        try:
            assert desk.stdout
            found = _ADDRESS.search(desk.stdout.readline())
            assert found, "the desk tells its address first"
            yield found[0]
        finally:
            desk.send_signal(signal.SIGINT)
            desk.wait(20)


class Sitting:
    """One tab at the desk, with all that it said, asked for and was forbidden."""

    def __init__(self, browser: Any, key: str, scheme: str = "light") -> None:
        self.key, self.home = key, key.split("/?")[0]
        self.said: list[str] = []
        self.asked: list[str] = []
        self.context = browser.new_context(
            viewport={"width": 1280, "height": HIGH}, color_scheme=scheme, reduced_motion="reduce"
        )
        self.page = self.context.new_page()
        self.page.set_default_timeout(10_000)
        self.page.on("console", self._hear)
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.on("request", lambda request: self.asked.append(request.url))
        # The cookie alone; that the page of the key opens is looked at by who comes in by it.
        self.context.request.get(key, max_redirects=0)

    def _hear(self, message: Any) -> None:
        self.said.append(f"{message.text} {message.location['url']}")

    def is_wide(self, width: int) -> None:
        """The window, drawn to a width."""
        self.page.set_viewport_size({"width": width, "height": HIGH})

    def go(self, path: str) -> Any:
        """Another page of the desk."""
        self.page.goto(self.home + path, wait_until="domcontentloaded")
        return self.page

    @property
    def wrong(self) -> list[str]:
        """What a browser complained of; the page of a piece may not run its script in the frame."""
        return [each for each in self.said if "frame is sandboxed" not in each]

    @property
    def foreign(self) -> list[str]:
        """Requests that left the desk."""
        return [each for each in self.asked if not each.startswith((self.home, "data:", "about:"))]

    def __enter__(self) -> Sitting:
        return self

    def __exit__(self, *_: object) -> None:
        self.context.close()
