"""Records longer than any maker's are answered in words and in time: chains, crowds, deep lines."""

from __future__ import annotations

import time

from provenance.records.chains import LONGEST
from provenance.records.reading import MOST_TOLD

HANG = 60  # seconds, on a machine that does other things too; before, minutes


def overdyed(times: int, bath: str = "") -> dict[str, str]:
    return {
        f"dyebook/over-{turn:04}.yaml": "date: 2026-03-12\nsteps: [{dyes: {weld: 1 %}}]\n"
        + bath.format(before=f"over-{turn - 1:04}" if turn else "")
        + f"dyed: [{{yarn: {f'over-{turn - 1}' if turn else 'gotland-2ply'}, weight: 1 g, "
        f"becomes: over-{turn}}}]\n"
        for turn in range(times)
    }


def test_a_chain_of_dyeings_is_reckoned_up_to_a_limit(studio_with, all_said):
    assert "chain" not in all_said(studio_with(overdyed(LONGEST)))


def test_a_chain_beyond_it_is_one_mistake_at_its_place(studio_with, all_said):
    begun = time.process_time()
    said = all_said(studio_with(overdyed(1500)))
    assert [line for line in said.split("\n") if "chain" in line] == [
        f"pieces/dyebook/over-{LONGEST:04}.yaml:3:15: "
        f"'over-{LONGEST - 1}' is the end of a chain of more than {LONGEST} baths"
    ]
    assert "Traceback" not in said and "no lot called" not in said
    assert time.process_time() - begun < HANG


def test_a_long_circle_is_told_by_its_beginning(studio_with, all_said):
    files = overdyed(300)
    first = "dyebook/over-0000.yaml"
    files[first] = files[first].replace("gotland-2ply", "over-299")
    said = all_said(studio_with(files))
    assert "'over-250' would be dyed from itself" in said
    assert "over-0 -> over-299 -> over-298" in said
    assert " -> ... -> over-0\n" in said


def test_of_a_crowd_of_unknown_words_the_first_are_told(studio_with, all_said):
    words = "".join(f"wieght{turn}: 3\n" for turn in range(60_000))
    begun = time.process_time()
    said = all_said(studio_with({"2026-020.yaml": f"number: 2026-020\ntitle: Ebb\n{words}"}))
    assert said.count("unknown word") == MOST_TOLD
    assert "2026-020.yaml:102:1: and very many more of the same kind\n    mend these first" in said
    assert time.process_time() - begun < HANG


def test_lines_indented_without_end_are_read_in_time(studio_with, all_said):
    lines = "".join(" " * turn + "a:\n" for turn in range(1, 1500))
    begun = time.process_time()
    said = all_said(studio_with({"2026-020.yaml": f"number: 2026-020\ntitle:\n{lines}"}))
    assert "2026-020.yaml:26:25: nested too deeply" in said
    assert time.process_time() - begun < HANG


def test_no_outlet_is_called_like_a_folder_of_the_makers_own(studio_with, all_said):
    for name in ("private", "Kept", "quotations", "due"):
        said = all_said(studio_with({"studio/outlets.yaml": f"{name}: {{kind: fair}}\n"}))
        assert (
            f"studio/outlets.yaml:1:1: an outlet can't be called '{name}': its sheets would lie "
            f"among papers of your own\n    call it otherwise, such as '{name}-view'"
        ) in said
    said = all_said(studio_with({"studio/outlets.yaml": "private-view: {kind: fair}\n"}))
    assert "can't be called" not in said


def printed(day: str, address: str = "") -> str:
    carried = f', address: "{address}"' if address else ""
    return f'- {{on: {day}, paper: "tag", number: "2026-014", title: "Saltmarsh"{carried}}}\n'


def test_a_clock_that_went_backwards_is_told_with_both_days(studio_with, all_said):
    said = all_said(studio_with({"studio/printed.yaml": printed("2027-03-01")}))
    assert (
        "studio/printed.yaml:1:3: remark: this computer says it is 2026-11-20, and this went out "
        "on 2027-03-01: its clock is wrong, or was then\n    set the clock;"
    ) in said
    said = all_said(studio_with({"studio/printed.yaml": printed("2026-11-21")}))
    assert "clock" not in said  # a journey to the west


def test_a_moved_site_names_every_address_and_where_it_leads(studio_with, all_said):
    site = "studio: B\nmaker: I\nsite: https://new.example\n"
    lines = printed("2026-10-01", "HTTPS://OLD.EXAMPLE/2026-014/")
    said = all_said(studio_with({"studio/studio.yaml": site, "studio/printed.yaml": lines}))
    assert "studio/studio.yaml:3:7: remark: 1 printed paper carries https://old.example" in said
    assert "https://old.example/2026-014/ -> https://new.example/2026-014/" in said
