"""For tests that read one paper of an outlet: that one is set, the others stay empty.

Nearly all the time of a paper goes into setting it. What is on each, its sums and the tables
beside it are worked out as ever; a test that reads a paper it did not ask for fails, for an empty
file is no PDF.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import pytest

from provenance.papers.sheets import frame
from provenance.reports import fair_private

_set = frame.sheet_pdf


@contextmanager
def set_only(wanted: Sequence[str] | None) -> Iterator[None]:
    """Within it, only the wanted files (`price-list.pdf`) are set; None: all."""

    def some(studio: Any, page: frame.Page, pieces: Any = ()) -> bytes:
        name = f"{page.name.replace('_', '-')}.pdf"
        return _set(studio, page, pieces) if wanted is None or name in wanted else b""

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(frame, "sheet_pdf", some)
        patch.setattr(fair_private, "sheet_pdf", some)
        yield
