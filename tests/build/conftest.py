"""A studio whose list of printed numbers is looked at."""

from pathlib import Path

import pytest

from tests.build.a_ledger import Bench


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path / "home" / "pieces")
