"""Light tests as the maker writes them: begun, read, held against the light, put before books."""

import json

import pypdfium2
import pytest
from click.testing import CliRunner

from provenance.commands.main import main

TODAY = {"SOURCE_DATE_EPOCH": "1795608000"}  # 25 November 2026
STUDIO = "studio: Fold\nmaker: Isla Wren\nlabels for: UK\n"
BATH = """\
date: 2026-03-21
dyed:
  - {yarn: mill-yarn, weight: 100 g, becomes: furze}
  - {yarn: mill-yarn, weight: 100 g, becomes: pale-sky, dips: DIPS}
steps:
  - {mordants: {alum: 12 %}}
  - {dyes: {DYE: 60 %}, dips: 5}
"""
PIECE = """\
number: 2026-001
title: Ling
kind: scarf
finished: 2026-06-01
yarns:
  - {use: weft, lot: LOT, weight: 80 g}
"""
TEST = """\
weld-wool: {lot: furze, on: window, from: 2025-05-01, to: 2025-09-01, beside: blue wool 3, \
changed: CHANGED}
"""


@pytest.fixture
def studio(tmp_path):
    def written(*, dye="weld", lot="furze", dips="5", fibre="wool", test=""):
        files = {
            "studio/studio.yaml": STUDIO,
            "studio/yarns.yaml": f"mill-yarn: {{fibre: {fibre}, weight: 1 kg, cost: 20}}\n",
            "studio/dyestuffs.yaml": f"{dye}: {{weight: 1 kg, cost: 5}}\n",
            "studio/mordants.yaml": "alum: {weight: 1 kg, cost: 5}\n",
            "dyebook/2026-03.yaml": BATH.replace("DYE", dye).replace("DIPS", dips),
            "2026-001.yaml": PIECE.replace("LOT", lot),
        }
        files |= {"studio/light-tests.yaml": test} if test else {}
        for name, text in files.items():
            path = tmp_path / "pieces" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return tmp_path / "pieces"

    return written


def run(folder, *words):
    return CliRunner().invoke(main, ["--studio", str(folder), *words], env=TODAY)


def blue_wool(folder):
    return json.loads(run(folder, "cost", "2026-001", "--json").stdout)["light"]["blue wool"]


@pytest.mark.parametrize(
    ("changed", "ends"), [("more", [2, 2]), ("same", [3, 3]), ("less", [4, 4])]
)
def test_the_makers_own_test_is_what_the_piece_is_rated_by(studio, changed, ends):
    assert blue_wool(studio()) == [2, 4]
    folder = studio(test=TEST.replace("CHANGED", changed))
    assert blue_wool(folder) == ends
    assert "light-tests" not in run(folder, "check").output


def test_a_test_is_for_its_own_lot(studio):
    assert blue_wool(studio(lot="pale-sky", test=TEST.replace("CHANGED", "more"))) == [2, 4]


def test_a_short_dip_is_lower_than_a_full_blue(studio):
    """Elnagar, Tera and Mohamed: deeper dyeing holds longer."""
    assert blue_wool(studio(dye="indigo", lot="pale-sky")) == [5, 7]
    assert blue_wool(studio(dye="indigo", lot="pale-sky", dips="1")) == [3, 5]
    assert blue_wool(studio(dye="indigo", lot="furze", dips="1")) == [5, 7]


def test_linen_is_a_class_lower_than_wool(studio):
    """Elnagar, Tera and Mohamed: wool best, silk next, cotton worst."""
    assert blue_wool(studio(dye="madder")) == [3, 5]
    assert blue_wool(studio(dye="madder", fibre="linen")) == [2, 4]
    assert blue_wool(studio(dye="madder", fibre="{wool: 60 %, silk: 40 %}")) == [2, 5]


def test_while_it_hangs_it_changes_nothing(studio):
    folder = studio(test="weld-wool: {lot: furze, from: 2026-11-01}\n")
    assert blue_wool(folder) == [2, 4] and "light-tests" not in run(folder, "check").output


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("{lot: furz, from: 2026-05-01}", "no lot called 'furz'"),
        ("{lot: furze, from: 2026-05-01, to: 2026-04-01}", "a light test ends after it began"),
        (
            "{lot: furze, from: 2026-05-01, changed: more}",
            "a result needs the day it came down and the strip beside it",
        ),
        ("{lot: furze, from: 2026-05-01, beside: blue wool 9}", "'blue wool 9' is no strip"),
        ("{lot: furze, from: 2026-05-01, changed: much}", "'much'"),
        (
            "{lot: furze, from: 2026-05-01, to: 2026-05-31, beside: blue wool 3, changed: less}",
            "in 30 days of window blue wool 3 has hardly changed yet; such a test tells blue wool 1"
            " to 2",
        ),
        (
            "{lot: furze, from: 2026-05-01, to: 2026-05-05, beside: blue wool 1, changed: same}",
            "in 4 days of window no blue wool strip has changed yet",
        ),
    ],
)
def test_what_is_wrong_is_told_at_its_place(studio, entry, said):
    """5000 lux x 8 h x 30 days = 1.2 million lux-hours: past the dose of blue wool 2, 0.6, not that
    of 3, 1.5 (CIE 157)."""
    output = " ".join(run(studio(test=f"one: {entry}\n"), "check").output.split())
    assert said in output and "studio/light-tests.yaml:1:" in output


def test_start_begins_one_and_adds_the_next_without_touching_the_first(studio):
    folder = studio()
    path = folder / "studio" / "light-tests.yaml"
    assert run(folder, "start", "light-test", "furze").exit_code == 0
    first = path.read_bytes()
    assert b"furze-window:\n  lot: furze\n  on: window\n  from: 2026-11-25\n" in first
    assert run(folder, "start", "light-test", "furze").exit_code == 0
    assert path.read_bytes().startswith(first)
    assert b"\nfurze-window-2:\n" in path.read_bytes()[len(first) :]
    assert "no mistakes" in run(folder, "check").output


def test_start_knows_its_lots(studio):
    result = run(studio(), "start", "light-test", "furz")
    assert result.exit_code == 1
    assert "no lot called 'furz'\n    did you mean 'furze'?" in result.output


def test_a_card_for_the_window(studio):
    """A5, ten places, two of them for strips that are known, the lots that have not hung yet."""
    folder = studio(test=TEST.replace("CHANGED", "same"))
    result = run(folder, "papers", "--light-card")
    assert result.exit_code == 0, result.output
    card = pypdfium2.PdfDocument(folder / "papers" / "private" / "light-card.pdf")
    assert [[round(side / 72 * 25.4) for side in page.get_size()] for page in card] == [
        [148, 210], [148, 210],
    ]  # fmt: skip
    front, back = (" ".join(page.get_textpage().get_text_range().split()) for page in card)
    assert "1 2 3 4 5 6 7 8 9 10" in front and "the lower half of each stays in the dark" in front
    assert "Blue wool 2, or turmeric" in back and "Blue wool 3" in back
    assert "Pale sky" in back and "Furze" not in back
