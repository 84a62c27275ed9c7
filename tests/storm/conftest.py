"""What the faults have in common: one loaded program, and homes that are made once."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))  # the suite's own modules, as `make storm` has them

from runs import Runner
from trials import COMMANDS, Homes, Trial

LINUX = sys.platform == "linux"


@pytest.fixture(scope="session")
def homes(
    tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest
) -> Iterator[Homes]:
    """Homes whose letters are cut already."""
    if not LINUX:
        pytest.skip("audits and kills processes as Linux has them")
    kept_cache: Path = request.getfixturevalue("kept_cache")
    once = request.getfixturevalue("once")
    folder = tmp_path_factory.mktemp("storm")
    with Runner() as runner:
        homes = Homes(runner, folder, kept_cache)
        homes.base = once("storm", homes.make_base)
        yield homes
    shutil.rmtree(folder)


@pytest.fixture(scope="session")
def trial_of(homes: Homes) -> Callable[[str], Trial]:
    """`trial_of("build")`: a command, and what it does undisturbed; made once."""
    made: dict[str, Trial] = {}

    def trial(words: str) -> Trial:
        if words not in made:
            made[words] = Trial(
                homes, next(each for each in COMMANDS if " ".join(each.words) == words)
            )
        return made[words]

    return trial
