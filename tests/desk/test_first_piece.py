"""From an empty folder to the published page of the first piece, as a new user would at the desk.

A step is what a person does: a command typed, something clicked, a text typed and saved, a file
dropped. They are counted. Building and publishing are child processes, as at the desk: that is most
of the time that this takes.
"""

from __future__ import annotations

import signal
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from provenance.commands.main import main
from provenance.desk.hands import Hands
from provenance.desk.saving import digest_of, save
from provenance.problems import Slip
from tests.deeds.conftest import DAY
from tests.desk.conftest import hands_on, picture, sent, told

YARN = """\
grey-2ply:
  fibre: wool
  weight: 1 kg
  cost: 40.00
"""
CLOTH = """\
size: 180 x 28 cm
weight: 190 g
finished: 2026-11-20
yarns: [{use: warp and weft, lot: grey-2ply, weight: 200 g}]
hours: {weaving: 6}
"""
ALT = "A grey scarf with a paler edge, folded once"


class NewUser:
    """What a new user does, counted."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.hands = folder, hands_on(folder)
        self.steps: list[str] = []

    def types(self, *words: str) -> None:
        self.steps.append(" ".join(words))
        said = CliRunner().invoke(main, ["--studio", str(self.folder), *words])
        assert said.exit_code == 0, said.output

    def looks(self, address: str) -> Mapping[str, Any]:
        self.steps.append(f"opens {address}")
        return self.hands.seen(address, {})

    def clicks(self, address: str, **told: Any) -> dict[str, Any]:
        self.steps.append(f"{address} {told.get('words', told.get('what', ''))}")
        return self.hands.do(address, told)

    def saves(self, name: str, old: str, new: str) -> None:
        """Types into a record that is open and saves it."""
        self.steps.append(f"types into {name}")
        before = (self.folder / name).read_bytes()
        assert old in before.decode()
        save(self.folder, name, before.decode().replace(old, new, 1), digest_of(before))

    def runs(self, **told: Any) -> dict[str, Any]:
        self.steps.append(f"/run {told['what']}")
        lines = list(self.hands.run(told))
        assert lines[-1]["done"] == 0, lines
        return lines[-1]


@pytest.fixture
def new_user(tmp_path, monkeypatch, kept_cache):
    """One whose letters are cut already: a studio is remembered by its folder, and this is new."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", DAY)
    monkeypatch.chdir(tmp_path)
    return NewUser(tmp_path / "pieces")


def test_the_first_piece_from_an_empty_folder_to_its_published_page(new_user, tmp_path):
    it = new_user
    it.types("start", "studio", "--name", "Brackenfold", "--maker", "Isla Wren")
    it.steps.append("desk")  # the command; the browser opens on today's list
    first = it.hands.seen("/", {})
    assert any("yarns.yaml" in each["words"] for group in first["groups"]
               for each in group["things"])  # fmt: skip
    it.looks("/studio")
    it.saves("studio/yarns.yaml", "# grey-2ply:", f"{YARN}\n# grey-2ply:")
    begun = it.clicks("/begin", what="piece", title="Saltmarsh", kind="scarf")
    assert begun["path"] == "2026-001-saltmarsh.yaml"
    it.saves(begun["path"], "status: in progress ", f"{CLOTH}status: available ")
    dropped = it.clicks("/photos", number="2026-001", name="IMG_7.jpg", data=sent(picture()))
    it.clicks("/alt", number="2026-001", path=dropped["path"], words=ALT)
    shown = it.clicks("/deed", words=["reprice", "2026-001", "240"])
    it.clicks("/deed/do", mark=shown["mark"])
    assert [each["number"] for each in it.looks("/pieces")["items"]] == ["2026-001"]
    it.runs(what="build")
    (it.folder / "studio" / "publish.yaml").write_text("folder: ../public\n")
    it.steps.append("writes studio/publish.yaml in an editor")
    (tmp_path / "public").mkdir()
    told_first = it.runs(what="publish", only_tell=True)
    it.runs(what="publish", mark=told_first["mark"])
    page = (tmp_path / "public" / "2026-001" / "index.html").read_text()
    for words in ("Saltmarsh", ALT, "£240", "2026-001"):
        assert words in page
    assert len(it.steps) == 15
    record = it.folder / begun["path"]
    record.write_text(record.read_text().replace("number: 2026-001", "number: 2026-007"))
    asked = list(it.hands.run({"what": "build"}))[-1]  # a printed address would be lost
    assert (asked["done"], asked["asks"]) == (1, "Is that meant?")


def test_nothing_is_published_that_was_not_told_first(new_user):
    new_user.types("start", "studio", "--name", "Brackenfold", "--maker", "Isla Wren")
    for mark in ("", "made-up"):
        with pytest.raises(Slip) as refused:
            new_user.hands.run({"what": "publish", "mark": mark, "yes": True})
        assert told(refused.value) == (
            "What was shown no longer holds",
            "let it tell first what it would publish",
        )


@pytest.mark.skipif(sys.platform == "win32", reason="a script that stands in for Python")
def test_a_run_waits_for_the_one_before_and_ends_with_the_desk(new_user, tmp_path, monkeypatch):
    stand_in = tmp_path / "python"
    stand_in.write_text("#!/bin/sh\necho begun\nexec sleep 600\n")
    stand_in.chmod(0o755)
    new_user.types("start", "studio", "--name", "Brackenfold", "--maker", "Isla Wren")
    monkeypatch.setattr(sys, "executable", str(stand_in))
    hands: Hands = new_user.hands
    lines = hands.run({"what": "build"})
    assert next(lines) == {"line": "begun"}
    with pytest.raises(Slip) as refused:
        hands.run({"what": "build"})
    assert told(refused.value)[0] == "Something is being built or published"
    hands.close()
    (last,) = lines
    assert (last["done"], last["words"]) == (-signal.SIGTERM, "Not done.")
