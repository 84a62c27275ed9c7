"""A record folder that came from elsewhere: no link and no list in it leads the program out."""

import errno
import hashlib
import json
import os
import sys

import pytest
from click.testing import CliRunner

from provenance.commands.main import main
from provenance.deeds import journal
from provenance.language.phrases import british
from provenance.lock import LOCK_NAME, lock
from provenance.output import LIST_NAME, append_text, new_tree, true_place, write_file
from provenance.problems import Slip
from provenance.records.checks_outlets import check_outlet_names

STUDIO = "studio: Brackenfold\nmaker: Isla Wren\nlabels for: [UK]\npay: {any: 20}\n"


def refused(call, *words):
    with pytest.raises(Slip) as caught:
        call(*words)
    return f"{british().tell(caught.value.what)} | {british().tell(caught.value.remedy)}"


def in_turn(folder, call, *words):
    """Do something in the folder as a command does, in its turn."""
    with lock(folder, "tags"):
        call(*words)


def swap(target, **files):
    with new_tree(target) as tree:
        for name, content in files.items():
            tree.put(name, content.encode())


@pytest.fixture
def victim(tmp_path):
    path = tmp_path / "outside" / "victim.txt"
    path.parent.mkdir()
    path.write_text("mine")
    return path


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "pieces" / "studio").mkdir(parents=True)
    (tmp_path / "pieces" / "studio" / "studio.yaml").write_text(STUDIO)
    return tmp_path / "pieces"


def line_of(path, name):
    return f"{hashlib.sha256(path.read_bytes()).hexdigest()}  {name}\n"


# The lock


def test_a_lock_that_is_a_link_empties_nothing(folder, victim):
    (folder / LOCK_NAME).symlink_to(victim)
    assert refused(in_turn, folder, print) == (
        f"{folder / LOCK_NAME} is a link or no file: it would be emptied | "
        "take it away and run again"
    )
    assert victim.read_text() == "mine"


def test_a_lock_that_leads_nowhere_makes_no_file(folder, victim):
    (folder / LOCK_NAME).symlink_to(victim.with_name("new"))
    refused(in_turn, folder, print)
    assert [*victim.parent.iterdir()] == [victim]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such files there")
def test_a_lock_that_is_no_file_holds_nothing_up(folder):
    os.mkfifo(folder / LOCK_NAME)
    assert "is a link or no file" in refused(in_turn, folder, print)


# Files of the record folder


@pytest.mark.parametrize(
    ("link", "file"),
    [
        ("papers", "papers/tags.pdf"),
        ("papers/dale-fair", "papers/dale-fair/private/list.csv"),
        ("papers/tags.pdf", "papers/tags.pdf"),
        ("studio/printed.yaml", "studio/printed.yaml"),
        ("studio", "studio/printed.yaml"),
    ],
)
@pytest.mark.parametrize("write", [lambda path: write_file(path, b"x"),
                                   lambda path: append_text(path, "x")])  # fmt: skip
def test_nothing_is_written_through_a_link_that_leads_out(folder, victim, link, file, write):
    to = victim if link.endswith(("f", "l")) else victim.parent
    (folder / link).parent.mkdir(exist_ok=True)
    if link == "studio":
        (folder / "studio").rename(folder / "was")
    (folder / link).symlink_to(to)
    assert refused(in_turn, folder, write, folder / file) == (
        f"'{link}' is a link that leads out of pieces/, to "
        f"{os.path.realpath(folder / file)}: nothing is written there | put a folder or file of "
        f"its own there; to have {link} elsewhere too, let a link there lead here"
    )
    assert [*victim.parent.iterdir()] == [victim]
    assert victim.read_text() == "mine"
    assert (folder / link).is_symlink()


def test_a_link_that_stays_inside_is_followed_and_stays(folder):
    (folder / "ledger.yaml").write_text("- a\n")
    (folder / "studio" / "printed.yaml").symlink_to("../ledger.yaml")
    in_turn(folder, append_text, folder / "studio" / "printed.yaml", "- b\n")
    assert (folder / "ledger.yaml").read_text() == "- a\n- b\n"
    assert (folder / "studio" / "printed.yaml").is_symlink()


def test_a_record_folder_may_itself_be_reached_by_a_link(folder):
    (folder.parent / "work").symlink_to(folder)
    work = folder.parent / "work"
    in_turn(work, write_file, work / "papers" / "a", b"x")
    assert (folder / "papers" / "a").read_bytes() == b"x"


def test_the_rule_ends_with_the_turn(folder, victim):
    (folder / "a").symlink_to(victim)
    in_turn(folder, print)
    write_file(folder / "a", b"x")
    assert victim.read_text() == "mine"
    assert not (folder / "a").is_symlink()
    assert true_place(folder / "a") == folder / "a"


def test_a_command_says_so(folder, victim, monkeypatch):
    (folder / "papers").symlink_to(victim.parent)
    monkeypatch.chdir(folder.parent)
    said = CliRunner().invoke(main, ["stock", "--count-sheet"])
    assert said.exit_code == 1
    assert said.stderr.startswith("'papers' is a link that leads out of pieces/, to ")
    assert [*victim.parent.iterdir()] == [victim]


def test_a_deed_is_taken_back_in_no_file_outside(folder, victim):
    digest = hashlib.sha256(b"mine").hexdigest()
    file = {"file": "../outside/victim.txt", "line": 1, "was": "0" * 64, "is": digest}
    entry = {"on": "2026-11-01", "deed": "sell", "files": [{**file, "signs": []}]}
    (folder / "studio" / "deeds.yaml").write_text(f"- {json.dumps(entry)}\n")
    assert refused(journal.undoing, folder).startswith(
        "'../outside/victim.txt' leads out of its folder | "
    )


# Lists of a site


@pytest.mark.parametrize("name", ["../outside/victim.txt", "/{}", "a/../../outside/victim.txt"])
@pytest.mark.parametrize("where", ["site", ".site.new", ".site.old", ".site.kept/1"])
def test_no_list_leads_out(tmp_path, victim, where, name):
    site = tmp_path / "site"
    for turn in "1234":
        swap(site, a=turn)
    folder = tmp_path / where
    folder.mkdir(exist_ok=True)
    with (folder / LIST_NAME).open("a") as listed:
        listed.write(line_of(victim, name.format(victim)))
    for turn in "5678":
        swap(site, a=turn)
    assert (site / "a").read_text() == "8"
    assert victim.read_text() == "mine"


@pytest.mark.parametrize("word", ["new", "old", "kept"])
def test_no_folder_beside_the_site_is_a_link(tmp_path, victim, word):
    (victim.parent / LIST_NAME).write_text(line_of(victim, "victim.txt"))
    (tmp_path / f".site.{word}").symlink_to(victim.parent)
    assert refused(swap, tmp_path / "site") == (
        f".site.{word} beside the site is no folder of ours | take it away and run again"
    )
    assert victim.read_text() == "mine"


@pytest.mark.parametrize("where", [".site.new", ".site.old", ".site.kept/1"])
def test_no_link_in_a_folder_beside_the_site_is_followed(tmp_path, victim, where):
    site = tmp_path / "site"
    for turn in "1234":
        swap(site, a=turn)
    folder = tmp_path / where
    folder.mkdir(exist_ok=True)
    (folder / "in").symlink_to(victim.parent)
    (folder / LIST_NAME).write_text(line_of(victim, "in/victim.txt"))
    for turn in "5678":
        try:
            swap(site, a=turn)
        except Slip:
            assert where == ".site.new"
    assert victim.read_text() == "mine"


@pytest.mark.parametrize("spoil", [
    lambda path: path.write_bytes(b"\xff\xfe\x00"),
    lambda path: path.mkdir(),
    lambda path: path.symlink_to("a"),
])  # fmt: skip
def test_a_list_that_cannot_be_read_is_told(tmp_path, spoil):
    site = tmp_path / "site"
    swap(site, a="1")
    (site / LIST_NAME).unlink()
    spoil(site / LIST_NAME)
    assert refused(swap, site) == (
        "site/.provenance-files, the list of what was written there, can't be read | "
        "move site/ elsewhere and run again"
    )
    assert (site / "a").read_text() == "1"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such files there")
def test_a_pipe_in_the_site_holds_nothing_up(tmp_path):
    swap(tmp_path / "site", a="1")
    (tmp_path / "site" / "a").unlink()
    os.mkfifo(tmp_path / "site" / "a")
    assert "not written here: a" in refused(swap, tmp_path / "site")


# Names of outlets


def outlets(folder, text):
    from datetime import date

    from provenance.build.opening import open_studio

    (folder / "studio" / "outlets.yaml").write_text(text)
    book = open_studio(folder, date(2026, 11, 25)).book
    tell = british().tell
    return [
        f"{each.place.short}: {tell(each.what)} | {tell(each.remedy)}"
        for each in check_outlet_names(book)
    ]


def test_outlets_whose_folder_could_not_be_everywhere_are_mistakes(folder):
    other = "give the outlet another name, here and in the records that name it"
    text = "".join(
        f"{name}: {{kind: fair}}\n" for name in ("con", "Fair", "fair", '"dale."', "dale", "quay")
    )
    assert outlets(folder, text) == [
        "pieces/studio/outlets.yaml:1: 'con' is a name that Windows keeps for a device: "
        f"papers/con/ could not be there | {other}",
        "pieces/studio/outlets.yaml:3: 'fair' and 'Fair' are one folder in papers/ on Windows and "
        f"Macs | {other}",
        "pieces/studio/outlets.yaml:4: 'dale.' ends with a space or point, which Windows cuts off "
        "the folder papers/dale./ | write 'dale', here and in the records that name it",
    ]
    said = CliRunner().invoke(main, ["--studio", str(folder), "check"])
    assert said.exit_code == 1
    assert "'con' is a name that Windows keeps for a device" in said.output


# The disk's limits


@pytest.mark.parametrize("number", [errno.EFBIG, errno.EDQUOT, errno.EROFS])
def test_what_the_system_refuses_anywhere_is_no_fault_of_ours(monkeypatch, capsys, number):
    from provenance.commands.faults import faults_told

    monkeypatch.setattr(sys, "stdout", sys.stdout)
    with pytest.raises(SystemExit) as ended, faults_told():
        raise OSError(number, os.strerror(number))
    assert ended.value.code == 1
    assert os.strerror(number) in capsys.readouterr().err
