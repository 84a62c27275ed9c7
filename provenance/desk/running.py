"""Building and publishing from the desk, as child processes of this Python.

In: what is run. Out: its lines as they come, then its exit code and, where it stopped to ask, the
question. One at a time; what runs when the desk ends is ended with it, as every command of ours
may be ended at any moment. Publishing tells first what it would do, and only then, by the mark of
that, does it.
"""

import os
import secrets
import subprocess
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from threading import Lock
from typing import Any

import provenance
from provenance.language.phrases import Phrases
from provenance.problems import Said, Slip, WrongWish

_RUNS = ("build", "publish")
_ASKING = ("build.if_meant",)
_PATIENCE = 5.0  # seconds that a run has to end by itself


class Runs:
    """What runs for the desk: one at a time."""

    def __init__(self, folder: Path) -> None:
        self._folder, self._turn = folder, Lock()
        self._child: subprocess.Popen[str] | None = None
        self._told = ""

    def run(self, sent: Mapping[str, Any], phrases: Phrases) -> Iterator[dict[str, Any]]:
        """Begin it and yield its lines. Raises Slip, at once, for what can't be run now."""
        words = self._words(sent)
        if self._turn.locked():
            raise Slip(Said("desk_hands.runs"), Said("desk_hands.wait"))
        return self._lines(words, phrases)

    def _words(self, sent: Mapping[str, Any]) -> list[str]:
        what = sent.get("what")
        if what not in _RUNS:
            raise WrongWish(Said("desk_hands.run_what"), Said("desk_hands.run_such"))
        words = [str(what)]
        if sent.get("only_tell") is True:
            return [*words, "--only-tell"]
        if what == "publish" and (not self._told or sent.get("mark") != self._told):
            raise Slip(Said("desk_hands.stale"), Said("desk_hands.tell_first"))
        is_told = what == "publish"  # what it would do was shown: the mark is the maker's yes
        return [*words, "--yes"] if is_told or sent.get("yes") is True else words

    def _lines(self, words: list[str], phrases: Phrases) -> Iterator[dict[str, Any]]:
        """In its turn, which it takes when somebody reads the first line."""
        said: list[str] = []
        with self._turn:
            try:
                with self._begun(words) as child:
                    for line in child.stdout or ():
                        said.append(line.rstrip("\n"))
                        yield {"line": said[-1]}
                    code = child.wait()
            finally:
                self._end()
            yield self._came_of(words, code, said, phrases)

    def _begun(self, words: list[str]) -> subprocess.Popen[str]:
        home = str(Path(provenance.__file__).parent.parent)
        path = os.pathsep.join(filter(None, (home, os.environ.get("PYTHONPATH", ""))))
        self._child = subprocess.Popen(
            [sys.executable, "-P", "-m", "provenance", "--studio", str(self._folder), *words],
            stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
            encoding="utf-8", errors="replace",
            env={**os.environ, "PYTHONPATH": path, "PYTHONUNBUFFERED": "1",
                 "PYTHONIOENCODING": "utf-8", "COLUMNS": "100"},
        )  # fmt: skip
        return self._child

    def _came_of(
        self, words: list[str], code: int, said: list[str], phrases: Phrases
    ) -> dict[str, Any]:
        text = " ".join(" ".join(said).split())
        asking = [" ".join(phrases.say(key).split()) for key in _ASKING]
        asks = code == 1 and any(each in text for each in asking)
        if words[0] == "publish":
            is_told = code == 0 and "--only-tell" in words
            self._told = secrets.token_urlsafe(16) if is_told else ""
        key = "asks" if asks else ("done" if code == 0 else "not_done")
        return {
            "done": code, "words": phrases.say(f"desk_hands.run_{key}"),
            "asks": phrases.say("desk_hands.run_ask") if asks else "",
            "mark": self._told if words[0] == "publish" else "",
        }  # fmt: skip

    def _end(self) -> None:
        child, self._child = self._child, None
        if child and child.poll() is None:
            child.terminate()
            try:
                child.wait(_PATIENCE)
            except subprocess.TimeoutExpired:
                child.kill()
                child.wait()

    def close(self) -> None:
        """End what runs."""
        self._end()
