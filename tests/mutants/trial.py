"""One session of pytest in which break after break is tried, each in a child of its own.

In: breaks of modules, each with the lines of its statement. Out: for each, whether a test noticed.
The tests are collected once; a first child runs them all and tells which lines each reaches and how
long it takes. For a break, a child gives the loaded functions their broken code and runs only the
tests that reach the broken statement, quickest first, until one fails.
"""

from __future__ import annotations

import gc
import multiprocessing
import os
import pickle
import shutil
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from importlib.machinery import SourceFileLoader
from multiprocessing.connection import wait
from multiprocessing.process import BaseProcess
from pathlib import Path
from types import CodeType, FrameType, FunctionType
from typing import Any

import hypothesis
import pytest
from mutate import Mutant, is_run_on_import, lines_of_statement

SURVIVED, NOTICED = 10, 11
WORDS = (
    "-x", "-s", "-p", "no:cacheprovider", "-p", "no:xdist",
    "-W", "ignore::pytest.PytestAssertRewriteWarning",
)  # fmt: skip
EXAMPLES = 6  # of random tests; the same each time, and none is made smaller
FORK = multiprocessing.get_context("fork")
SLOW = 1.0  # seconds
Line = tuple[str, int]


@dataclass(frozen=True)
class Break:
    """A mutant of a module, whose whole text is at hand."""

    path: str
    source: str
    mutant: Mutant

    def broken(self) -> str:
        return self.mutant.apply(self.source)

    def is_run_on_import(self) -> bool:
        return is_run_on_import(self.source, self.mutant.line)

    def lines(self) -> set[Line]:
        """Where its statement stands."""
        return {(self.path, line) for line in lines_of_statement(self.source, self.mutant.line)}


Told = Callable[[Break, bool], None]


class Reach:
    """Which lines of the modules each test runs, its fixtures included, and its seconds."""

    def __init__(self, modules: frozenset[str]) -> None:
        self.modules = modules
        self.now: set[Line] = set()
        self.fixtures: dict[str, set[Line]] = {}
        self.lines: dict[str, set[Line]] = {}
        self.seconds: dict[str, float] = {}

    def __call__(self, frame: FrameType, event: str, arg: object) -> Any:
        """Python's tracer: follows the lines of the modules, and of nothing else."""
        if frame.f_code.co_filename not in self.modules:
            return None
        self.now.add((frame.f_code.co_filename, frame.f_lineno))
        return self

    @contextmanager
    def told_apart(self, into: set[Line]) -> Iterator[None]:
        before, self.now = self.now, into
        try:
            yield
        finally:
            self.now = before

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        began, own = time.monotonic(), set[Line]()
        with self.told_apart(own):
            yield
        for name in getattr(item, "fixturenames", ()):
            own |= self.fixtures.get(name, set())
        self.lines[item.nodeid], self.seconds[item.nodeid] = own, time.monotonic() - began

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            print(f"\n{report.nodeid}\n{report.longreprtext}", flush=True)

    @pytest.hookimpl(wrapper=True)
    def pytest_fixture_setup(self, fixturedef: pytest.FixtureDef[Any]) -> Iterator[Any]:
        # A shared fixture is made for the first test; the others that use it reach as much.
        with self.told_apart(self.fixtures.setdefault(fixturedef.argname, set())):
            return (yield)


class Sparing:
    """A plugin that gives random tests few examples."""

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        for item in items:
            spare_examples(item)


class Trial(Sparing):
    """A plugin that tries breaks instead of running the tests once."""

    def __init__(self, chosen: Sequence[Break], folder: Path, jobs: int, told: Told) -> None:
        self.waiting, self.folder, self.jobs, self.told = list(chosen), folder, jobs, told
        self.running: dict[int, tuple[BaseProcess, Break, float]] = {}

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        self.items = session.items
        self.reach = self.traced(session)
        self.waiting.reverse()
        while self.waiting or self.running:
            while self.waiting and len(self.running) < self.jobs:
                self.begin(session, self.waiting.pop())
            self.end_some()
        return True

    def traced(self, session: pytest.Session) -> Reach:
        """Every test once, unbroken; ends the run when one fails."""
        kept = self.folder / "reach"

        def follow() -> int:
            reach = Reach(frozenset(each.path for each in self.waiting))
            session.config.pluginmanager.register(reach)
            threading.settrace(reach)
            sys.settrace(reach)
            code = passed(session, session.items, lambda _: 0)
            sys.settrace(None)
            kept.write_bytes(pickle.dumps((reach.lines, reach.seconds)))
            return code

        process = self.child(follow)
        process.join()
        if process.exitcode != SURVIVED:
            pytest.exit("A test fails unbroken: mend it first.", 1)
        reach = Reach(frozenset())
        reach.lines, reach.seconds = pickle.loads(kept.read_bytes())
        return reach

    def begin(self, session: pytest.Session, each: Break) -> None:
        tests = self.tests_of(each)
        if not tests:
            self.told(each, True)
            return

        def attempt() -> int:
            os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
            if each.is_run_on_import():
                return passed_anew(each, tests)
            break_loaded(each)
            return passed(session, tests, self.limit)

        limit = sum(map(self.limit, tests))
        process = self.child(attempt)
        self.running[process.sentinel] = process, each, time.monotonic() + limit

    def limit(self, item: pytest.Item) -> float:
        """How many seconds a test may take."""
        return 3 * self.reach.seconds[item.nodeid] + 2

    def tests_of(self, each: Break) -> list[pytest.Item]:
        """The tests that reach a statement: the quickest file first and within it the quickest
        test; slow tests last."""
        if each.is_run_on_import():
            found = self.tests_beside(each)
        else:
            lines = each.lines()
            found = [item for item in self.items if self.reach.lines[item.nodeid] & lines]
        files: dict[Path, float] = {}
        for item in found:
            files[item.path] = files.get(item.path, 0.0) + self.reach.seconds[item.nodeid]

        def turn(item: pytest.Item) -> tuple[bool, float, Path, float]:
            seconds = self.reach.seconds[item.nodeid]
            return seconds > SLOW, files[item.path], item.path, seconds

        return sorted(found, key=turn)

    def tests_beside(self, each: Break) -> list[pytest.Item]:
        """Every test of the files that reach a module at all: they may read what stands in it."""
        files = {
            item.path
            for item in self.items
            if any(path == each.path for path, _ in self.reach.lines[item.nodeid])
        }
        return [item for item in self.items if item.path in files]

    def end_some(self) -> None:
        """Waits until a child is done or its time is up; what hangs has been noticed."""
        if not self.running:
            return
        soonest = min(limit for _, _, limit in self.running.values())
        done = wait(list(self.running), max(0.0, soonest - time.monotonic()))
        for sentinel, (process, each, limit) in list(self.running.items()):
            if sentinel in done or time.monotonic() > limit:
                del self.running[sentinel]
                self.told(each, ended(process) == SURVIVED)

    def child(self, do: Callable[[], int]) -> BaseProcess:
        """A copy of this process that does one thing in a folder of its own for passing things."""
        passing = self.folder / "passing"

        def work() -> None:
            os.setsid()
            own = passing / str(os.getpid())
            own.mkdir(parents=True)
            os.environ["PYTEST_DEBUG_TEMPROOT"] = str(own)
            code = do()
            sys.stdout.flush()
            shutil.rmtree(own, ignore_errors=True)
            os._exit(code)

        process = FORK.Process(target=work)
        process.start()
        return process


def ended(process: BaseProcess) -> int:
    """How a child ended, and with it all that it started: what was stopped has been noticed."""
    with suppress(ProcessLookupError):
        os.killpg(process.pid or 0, signal.SIGKILL)
    process.join()
    if process.exitcode not in (SURVIVED, NOTICED, -signal.SIGKILL, -signal.SIGVTALRM):
        raise RuntimeError(f"a break could not be tried: {process.exitcode}")
    return process.exitcode


def passed(
    session: pytest.Session, items: Sequence[pytest.Item], limit: Callable[[pytest.Item], float]
) -> int:
    """Runs tests until one fails; ends this process when one works for longer than its limit."""
    for item, after in zip(items, [*items[1:], None], strict=True):
        signal.setitimer(signal.ITIMER_VIRTUAL, limit(item))
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
        if session.testsfailed:
            return NOTICED
    return SURVIVED


def spare_examples(item: pytest.Item) -> None:
    """Few examples for a random test."""
    test = getattr(item, "obj", None)
    test = getattr(test, "__func__", test)
    if hypothesis.is_hypothesis_test(test):
        own = getattr(test, "_hypothesis_internal_use_settings", hypothesis.settings.default)
        test._hypothesis_internal_use_settings = hypothesis.settings(
            own,
            max_examples=min(own.max_examples, EXAMPLES),
            phases=(hypothesis.Phase.explicit, hypothesis.Phase.generate),
            database=None,
            derandomize=True,
        )


def passed_anew(each: Break, items: Sequence[pytest.Item]) -> int:
    """Runs tests until one fails, with everything imported anew and a module broken."""
    read = SourceFileLoader.get_code

    def get_code(self: SourceFileLoader, name: str) -> CodeType | None:
        if self.path == each.path:
            return compile(each.broken(), each.path, "exec", dont_inherit=True)
        return read(self, name)

    SourceFileLoader.get_code = get_code  # type: ignore[method-assign]
    here = f"{Path.cwd()}{os.sep}"
    for name, module in list(sys.modules.items()):
        if (getattr(module, "__file__", None) or "").startswith(here):
            del sys.modules[name]
    code = pytest.main([*WORDS, *(item.nodeid for item in items)], [Sparing()])
    return NOTICED if code else SURVIVED


def break_loaded(each: Break) -> None:
    """Gives the loaded functions of a module the code of its broken text."""
    new = dict(codes(compile(each.broken(), each.path, "exec", dont_inherit=True)))
    for function in gc.get_objects():
        if isinstance(function, FunctionType) and function.__code__.co_filename == each.path:
            code = new.get(place(function.__code__))
            if code is not None and code != function.__code__:
                function.__code__ = code


def codes(code: CodeType) -> Iterator[tuple[tuple[str, int], CodeType]]:
    """Every code within a code, by its place."""
    for each in code.co_consts:
        if isinstance(each, CodeType):
            yield place(each), each
            yield from codes(each)


def place(code: CodeType) -> tuple[str, int]:
    return code.co_qualname, code.co_firstlineno
