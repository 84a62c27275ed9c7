"""One state for a run: the flow, each piece's cost and each piece's public facts once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from contextlib import nullcontext
from datetime import date
from pathlib import Path
from typing import Any

import pytest

import provenance.studio as state
from provenance.build import opening
from provenance.build.crew import crew
from provenance.build.whole import build_all
from provenance.figures.flow import gather
from provenance.problems import Said, Slip
from provenance.public import border as border_module
from provenance.public.border import Border

STUDIO = (
    "studio: Brackenfold\nmaker: Isla Wren\nsite: https://brackenfold.example\nlabels for: UK\n"
)
YARNS = "plain: {fibre: wool, weight: 9 kg, cost: 90}\n"
OUTLETS = "quay: {kind: gallery, commission: 40 %}\n"
PIECE = """
number: 2026-00{n}
title: Piece {n}
kind: scarf
size: 180 x 28 cm
yarns: [{{use: weft, lot: plain, weight: 100 g}}]
hours: {{weaving: 10}}
at: quay
"""


class _Bar:
    def tell(self, done: int, whole: int) -> None:
        """Nobody looks."""


def counting(monkeypatch: pytest.MonkeyPatch, module: Any, name: str, by: int) -> Counter[str]:
    """How often a function was called, by the number of the piece in its place `by`."""
    counts: Counter[str] = Counter()
    real = getattr(module, name)

    def counted(*given: Any) -> Any:
        counts[str(given[by].number) if by >= 0 else name] += 1
        return real(*given)

    monkeypatch.setattr(module, name, counted)
    return counts


@pytest.mark.usefixtures("kept_cache")
def test_flow_cost_and_facts_are_worked_out_once(
    write_studio: Callable[[dict[str, str]], Path],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    pieces = {f"2026-00{n}.yaml": PIECE.format(n=n) for n in (1, 2, 3)}
    files = {"studio/studio.yaml": STUDIO, "studio/yarns.yaml": YARNS}
    folder = write_studio({**files, "studio/outlets.yaml": OUTLETS, **pieces})
    flows = counting(monkeypatch, gather, "studio_flow", -1)
    costs = counting(monkeypatch, state, "cost_sheet", 2)
    facts = counting(monkeypatch, border_module, "public_piece", 1)
    studio = opening.open_studio(folder, date(2026, 11, 25))
    with crew() as hands:
        built = build_all(
            Border(studio),
            tmp_path / "site",
            hands,
            lambda _: nullcontext(_Bar()),
            allow=lambda *_: None,
        )
    assert built.problems == ()
    assert flows == {"studio_flow": 1}
    assert costs == facts == {f"2026-00{n}": 1 for n in (1, 2, 3)}
    again = opening.open_studio(folder, date(2026, 11, 25))  # nothing was found in that flow before
    assert flows == {"studio_flow": 1}
    assert again.flow == studio.flow
    assert flows == {"studio_flow": 2}


def test_a_number_nobody_knows_is_refused(write_studio: Callable[..., Path]) -> None:
    studio = opening.open_studio(write_studio({}), date(2026, 11, 25))
    with pytest.raises(Slip) as refused:
        studio.piece("2026-999")
    assert refused.value.what == Said("find.no_piece", number="2026-999")


def test_a_piece_whose_file_cannot_be_read_is_not_called_unknown(
    write_studio: Callable[[dict[str, str]], Path],
) -> None:
    """Its number stands at the beginning of the file's name."""
    pieces = {"2026-001-ebb.yaml": "notes: [[\n", "2026-002.yaml": PIECE.format(n=2)}
    folder = write_studio({"studio/yarns.yaml": YARNS, "studio/outlets.yaml": OUTLETS, **pieces})
    studio = opening.open_studio(folder, date(2026, 11, 20))
    for number, key in (("2026-001", "find.broken"), ("2026-003", "find.no_piece")):
        with pytest.raises(Slip) as slip:
            studio.piece(number)
        assert isinstance(slip.value.what, Said) and slip.value.what.key == key
