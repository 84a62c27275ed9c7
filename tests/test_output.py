"""Files and trees are seen whole or not at all; runs are killed and starved for real."""

import errno
import hashlib
import os
import shutil
import signal
import stat
import subprocess
import sys
import textwrap
import time
from pathlib import Path

import pytest

from provenance.language.phrases import british
from provenance.output import LIST_NAME, append_text, new_tree, read_list, write_file
from provenance.output.exchange import exchanged
from provenance.output.holding import LIST_COMING, MAKING
from provenance.problems import Slip

ROOT = Path(__file__).parents[1]
LINUX = pytest.mark.skipif(sys.platform != "linux", reason="uses signals and limits of Linux")


def swap_tree(target, files):
    """Make a folder hold exactly these files."""
    with new_tree(target) as tree:
        for name, content in files.items():
            tree.put(name, content)


def said(caught):
    return british().tell(caught.value.what)


def tree_of(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != LIST_NAME and not is_kept(path.relative_to(folder))
    }


def is_kept(path):
    """Whether it is part of a former tree."""
    return path.parts[0].endswith(".kept")


def run(code, *arguments, **settings):
    command = [sys.executable, "-c", textwrap.dedent(code), *map(str, arguments)]
    return subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, **settings
    )


def hidden(folder):
    """What lies beside a tree, but for the former ones that are kept."""
    names = (path.name for path in folder.iterdir())
    return [name for name in names if name.startswith(".") and not name.endswith(".kept")]


# One file


def test_a_file_is_written_and_nothing_is_left_beside_it(tmp_path):
    path = tmp_path / "papers" / "tag é.pdf"
    write_file(path, b"one")
    write_file(path, b"two")
    assert tree_of(tmp_path) == {"papers/tag é.pdf": b"two"}


def test_an_equal_file_keeps_its_date(tmp_path):
    path = tmp_path / "a"
    write_file(path, b"one")
    os.utime(path, (1, 1))
    write_file(path, b"one")
    assert path.stat().st_mtime == 1


def test_a_link_is_replaced_not_followed(tmp_path):
    (tmp_path / "outside").write_bytes(b"mine")
    (tmp_path / "a").symlink_to(tmp_path / "outside")
    write_file(tmp_path / "a", b"new")
    assert (tmp_path / "outside").read_bytes() == b"mine"
    assert not (tmp_path / "a").is_symlink()


@pytest.mark.parametrize("name", ["con", "NUL.txt", "lpt1", "a.", "a ", "a:b", "a\x07b"])
def test_names_that_windows_refuses_are_refused(tmp_path, name):
    # Microsoft, "Naming Files, Paths, and Namespaces"; from memory.
    with pytest.raises(Slip):
        write_file(tmp_path / name, b"")
    with pytest.raises(Slip):
        swap_tree(tmp_path / "site", {f"x/{name}": b""})
    assert list(tmp_path.iterdir()) == []


def test_text_is_added_on_a_line_of_its_own(tmp_path):
    path = tmp_path / "printed.yaml"
    append_text(path, "- a\n")
    append_text(path, "- b")
    append_text(path, "- c\n")
    assert path.read_text() == "- a\n- b\n- c\n"


def test_a_folder_that_may_not_be_written(tmp_path):
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(Slip) as caught:
        write_file(tmp_path / "file" / "a", b"")
    assert said(caught).startswith(f"{tmp_path / 'file' / 'a'} cannot be written: ")


def test_text_is_added_to_no_name_that_windows_refuses(tmp_path):
    with pytest.raises(Slip):
        append_text(tmp_path / "con", "- a\n")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("write", [write_file, lambda path, _: append_text(path, "new")])
def test_what_a_killed_run_left_beside_is_not_followed(tmp_path, write):
    (tmp_path / "outside").write_bytes(b"mine")
    (tmp_path / ".a.new").symlink_to(tmp_path / "outside")
    write(tmp_path / "a", b"new")
    assert tree_of(tmp_path) == {"a": b"new", "outside": b"mine"}


def refusing(monkeypatch, error):
    def refuse(*_):
        raise error

    monkeypatch.setattr("provenance.output.files.write_new", refuse)
    monkeypatch.setattr("provenance.output.trees.write_new", refuse)


@pytest.mark.parametrize("number", [errno.EACCES, errno.EPERM, errno.EROFS])
def test_what_may_not_be_written_is_told(tmp_path, monkeypatch, number):
    refusing(monkeypatch, OSError(number, os.strerror(number)))
    with pytest.raises(Slip) as caught:
        write_file(tmp_path / "a", b"x")
    assert said(caught) == f"{tmp_path / 'a'} may not be written"
    with pytest.raises(Slip) as caught:
        swap_tree(tmp_path / "site", {"b": b"x"})
    assert said(caught) == f"{tmp_path / 'site' / 'b'} may not be written"
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("error", "why"),
    [
        (OSError(errno.EIO, "Input/output error"), "Input/output error"),
        (OSError("the disk hums"), "the disk hums"),
    ],
)
def test_any_other_fault_is_told_in_the_systems_words(tmp_path, monkeypatch, error, why):
    refusing(monkeypatch, error)
    with pytest.raises(Slip) as caught:
        write_file(tmp_path / "a", b"x")
    assert said(caught) == f"{tmp_path / 'a'} cannot be written: {why}"


# What is written is on the disk before it is seen


class Settled:
    """What was settled: each file or folder by its number on the disk, and how often all was."""

    def __init__(self, monkeypatch, look):
        self.seen, self.looks, self.whole = [], [], 0
        true, self.look = os.fsync, look
        monkeypatch.setattr(os, "fsync", lambda handle: (self.one(handle), true(handle)))
        monkeypatch.setattr(os, "sync", self.all, raising=False)

    def one(self, handle):
        self.seen.append(os.fstat(handle).st_ino)
        self.looks.append(self.look())

    def all(self):
        self.whole += 1
        self.looks.append(self.look())


def test_a_file_is_settled_and_then_moved_and_then_its_folder_is_settled(tmp_path, monkeypatch):
    path = tmp_path / "a"
    write_file(path, b"old")
    settled = Settled(monkeypatch, path.read_bytes)
    write_file(path, b"new")
    assert settled.seen == [path.stat().st_ino, tmp_path.stat().st_ino]
    assert settled.looks == [b"old", b"new"]


def test_a_small_tree_is_settled_file_by_file(tmp_path, monkeypatch):
    site = tmp_path / "site"
    swap_tree(site, {"a": b"1", "b": b"1"})
    settled = Settled(monkeypatch, lambda: tree_of(site))
    swap_tree(site, {"a": b"1", "b": b"2", "c": b"2"})
    new = {(site / name).stat().st_ino for name in ("b", "c", LIST_NAME)}
    assert set(settled.seen[:-1]) == new
    assert settled.seen[-1] == tmp_path.stat().st_ino
    assert settled.looks[:-1] == [{"a": b"1", "b": b"1"}] * 3
    assert settled.looks[-1] == {"a": b"1", "b": b"2", "c": b"2"}
    assert settled.whole == 0


def test_a_large_tree_is_settled_at_once(tmp_path, monkeypatch):
    site = tmp_path / "site"
    swap_tree(site, {"a": b"1"})
    settled = Settled(monkeypatch, lambda: len(tree_of(site)))
    swap_tree(site, {f"{number}": b"2" for number in range(300)})
    assert (settled.whole, settled.looks) == (1, [1, 300])
    assert settled.seen == [tmp_path.stat().st_ino]


@LINUX
def test_no_file_stays_open(tmp_path):
    before = len(list(Path("/proc/self/fd").iterdir()))
    write_file(tmp_path / "a", b"1")
    swap_tree(tmp_path / "site", {"a": b"1", "b": b"1"})
    assert len(list(Path("/proc/self/fd").iterdir())) == before


# A tree


def test_a_tree_is_built_and_built_again(tmp_path):
    site = tmp_path / "site"
    swap_tree(site, {"index.html": b"1", "2026-014/index.html": b"a", "gone.html": b"x"})
    swap_tree(site, {"index.html": b"2", "2026-014/index.html": b"a"})
    assert tree_of(site) == {"index.html": b"2", "2026-014/index.html": b"a"}
    assert hidden(tmp_path) == []


def test_only_what_changed_is_written(tmp_path):
    site = tmp_path / "site"
    swap_tree(site, {"a": b"1", "b": b"1"})
    before = {name: (site / name).stat() for name in "ab"}
    swap_tree(site, {"a": b"1", "b": b"2"})
    assert (site / "a").stat().st_ino == before["a"].st_ino
    assert (site / "a").stat().st_mtime_ns == before["a"].st_mtime_ns
    assert (site / "b").stat().st_ino != before["b"].st_ino


def test_a_file_can_be_kept_by_its_digest(tmp_path):
    site = tmp_path / "site"
    swap_tree(site, {"a": b"1"})
    with new_tree(site) as tree:
        assert tree.before == {"a": hashlib.sha256(b"1").hexdigest()}
        assert tree.keep("a", hashlib.sha256(b"1").hexdigest())
        assert not tree.keep("b", hashlib.sha256(b"1").hexdigest())
        tree.put("b", b"2")
    assert tree_of(site) == {"a": b"1", "b": b"2"}


def test_it_is_told_what_a_new_tree_changes(tmp_path):
    site = tmp_path / "site"
    swap_tree(site, {"same": b"1", "other": b"1", "no more": b"1"})
    with new_tree(site) as tree:
        tree.put("same", b"1")
        tree.put("other", b"2")
        tree.put("fresh", b"1")
        assert list(tree.changes()) == [("fresh", "new"), ("no more", "gone"), ("other", "changed")]


def test_folders_are_made_where_there_are_none(tmp_path):
    site = tmp_path / "a" / "b" / "site"
    swap_tree(site, {"x/y/z": b"1", "x/y/w": b"1"})
    assert tree_of(site) == {"x/y/w": b"1", "x/y/z": b"1"}


def test_a_tree_may_be_empty(tmp_path):
    site = tmp_path / "site"
    swap_tree(site, {})
    assert (site.is_dir(), read_list(site), tree_of(site)) == (True, {}, {})
    swap_tree(site, {"a": b"1"})
    swap_tree(site, {})
    assert (tree_of(site), hidden(tmp_path)) == ({}, [])


def test_an_old_tree_that_a_killed_run_left_is_cleared_away(tmp_path):
    site = tmp_path / "site"
    swap_tree(site, {"a": b"1", "x/b": b"1"})
    shutil.copytree(site, tmp_path / ".site.old")
    with new_tree(site) as tree:
        assert hidden(tmp_path) == [".site.new"]
        tree.put("a", b"2")
    assert (tree_of(site), hidden(tmp_path)) == ({"a": b"2"}, [])


def test_a_tree_gets_no_name_that_windows_refuses(tmp_path):
    with pytest.raises(Slip):
        swap_tree(tmp_path / "con", {"a": b"1"})
    assert list(tmp_path.iterdir()) == []


def test_a_name_may_hold_two_spaces(tmp_path):
    site = tmp_path / "site"
    swap_tree(site, {"a  b  c": b"1"})
    assert read_list(site) == {"a  b  c": hashlib.sha256(b"1").hexdigest()}
    swap_tree(site, {"a": b"2"})
    assert tree_of(site) == {"a": b"2"}


def test_the_list_is_what_sha256sum_reads(tmp_path):
    site = tmp_path / "site"
    swap_tree(site, {"b c": b"2", "a": b"1"})
    assert (site / LIST_NAME).read_text() == (
        f"{hashlib.sha256(b'1').hexdigest()}  a\n{hashlib.sha256(b'2').hexdigest()}  b c\n"
    )
    done = subprocess.run(
        ["sha256sum", "--check", "--quiet", LIST_NAME], cwd=site, capture_output=True, check=False
    )
    assert done.returncode == 0


def test_two_trees_of_the_same_files_are_equal_byte_for_byte(tmp_path):
    for name in ("one", "two"):
        swap_tree(tmp_path / name, {"a": b"1", "b/c": b"2"})
    swap_tree(tmp_path / "two", {"a": b"x"})
    swap_tree(tmp_path / "two", {"b/c": b"2", "a": b"1"})
    assert tree_of(tmp_path / "one") == tree_of(tmp_path / "two")
    assert (tmp_path / "one" / LIST_NAME).read_bytes() == (
        tmp_path / "two" / LIST_NAME
    ).read_bytes()


def test_the_readme_at_the_top_is_left_in_peace(tmp_path):
    site = tmp_path / "site"
    site.mkdir()
    (site / "README.md").write_text("committed")
    swap_tree(site, {"a": b"1"})
    swap_tree(site, {"a": b"2"})
    assert tree_of(site) == {"README.md": b"committed", "a": b"2"}
    with pytest.raises(Slip):
        swap_tree(site, {"README.md": b"ours"})
    assert tree_of(site) == {"README.md": b"committed", "a": b"2"}


def test_foreign_files_are_named_and_nothing_is_touched(tmp_path):
    site = tmp_path / "site"
    (site / "holiday").mkdir(parents=True)
    for number in range(7):
        (site / "holiday" / f"{number}.jpg").write_bytes(b"mine")
    with pytest.raises(Slip) as caught:
        swap_tree(site, {"a": b"1"})
    assert said(caught) == (
        "site/ holds files that were not written here: holiday/0.jpg, holiday/1.jpg, "
        "holiday/2.jpg, holiday/3.jpg, holiday/4.jpg and 2 more"
    )
    assert len(tree_of(site)) == 7
    assert hidden(tmp_path) == []


@pytest.mark.parametrize(("count", "end"), [(5, ", 4"), (6, ", 4 and 1 more")])
def test_at_most_five_foreign_files_are_named(tmp_path, count, end):
    for number in range(count):
        (tmp_path / f"{number}").write_bytes(b"mine")
    with pytest.raises(Slip) as caught:
        swap_tree(tmp_path, {"a": b"1"})
    assert said(caught) == (
        f"{tmp_path.name}/ holds files that were not written here: 0, 1, 2, 3{end}"
    )


def test_a_file_changed_by_hand_is_the_makers(tmp_path):
    site = tmp_path / "site"
    swap_tree(site, {"a": b"1", "b": b"1"})
    (site / "b").write_bytes(b"mine")
    with pytest.raises(Slip) as caught:
        swap_tree(site, {"a": b"2", "b": b"2"})
    assert said(caught) == "site/ holds files that were not written here: b"
    assert tree_of(site) == {"a": b"1", "b": b"mine"}


def test_a_link_in_the_tree_is_foreign(tmp_path):
    site = tmp_path / "site"
    swap_tree(site, {"a": b"1"})
    (site / "out").symlink_to(tmp_path)
    with pytest.raises(Slip) as caught:
        swap_tree(site, {"a": b"2"})
    assert said(caught) == "site/ holds files that were not written here: out"


def test_what_file_browsers_drop_is_nobodys(tmp_path):
    site = tmp_path / "site"
    swap_tree(site, {"x/a": b"1"})
    (site / "x" / ".DS_Store").write_bytes(b"")
    swap_tree(site, {"a": b"2"})
    assert tree_of(site) == {"a": b"2"}
    assert hidden(tmp_path) == []


def test_a_file_put_in_while_the_build_runs_is_not_lost(tmp_path):
    site = tmp_path / "site"
    swap_tree(site, {"a": b"1"})
    with pytest.raises(Slip) as caught, new_tree(site) as tree:
        tree.put("a", b"2")
        (site / "late.txt").write_text("mine")
    assert said(caught) == "site/ holds files that were not written here: late.txt"
    assert tree_of(site) == {"a": b"1", "late.txt": b"mine"}
    assert hidden(tmp_path) == []


@pytest.mark.parametrize("name", ["../x", "/x", "a/../../x", "a\\b", "", "a//b", "./a", "C:/x"])
def test_nothing_is_written_outside(tmp_path, name):
    with pytest.raises(Slip):
        swap_tree(tmp_path / "site", {"a": b"1", name: b"x"})
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("one", "other"), [("Madder", "madder"), ("café", "cafe\u0301")])
def test_names_that_some_disks_take_for_one(tmp_path, one, other):
    with pytest.raises(Slip) as caught:
        swap_tree(tmp_path / "site", {one: b"1", other: b"2"})
    assert said(caught) == f"two files would be called '{one}' and '{other}'"


def test_an_error_while_building_leaves_the_old_tree(tmp_path):
    site = tmp_path / "site"
    swap_tree(site, {"a": b"1"})
    with pytest.raises(RuntimeError), new_tree(site) as tree:
        tree.put("a", b"2")
        raise RuntimeError
    assert tree_of(site) == {"a": b"1"}
    assert hidden(tmp_path) == []


def test_a_target_that_is_a_link_is_followed(tmp_path):
    (tmp_path / "disk").mkdir()
    (tmp_path / "site").symlink_to(tmp_path / "disk")
    swap_tree(tmp_path / "site", {"a": b"1"})
    assert tree_of(tmp_path / "disk") == {"a": b"1"}
    assert (tmp_path / "site").is_symlink()


def test_without_the_systems_exchange(tmp_path, monkeypatch):
    monkeypatch.setattr("provenance.output.exchange.exchanged", lambda *_: False)
    site = tmp_path / "site"
    swap_tree(site, {"a": b"1"})
    swap_tree(site, {"a": b"2"})
    assert tree_of(site) == {"a": b"2"}
    # Killed between the two steps: the old tree is beside, the target is not there.
    site.rename(tmp_path / ".site.old")
    (tmp_path / ".site.new").mkdir()
    (tmp_path / ".site.new" / "half").write_bytes(b"")
    (tmp_path / ".site.new" / MAKING).write_text("half\n")
    with new_tree(site) as tree:
        assert tree_of(site) == {"a": b"2"}
        tree.put("a", b"3")
    assert tree_of(site) == {"a": b"3"}
    assert hidden(tmp_path) == []


@LINUX
def test_the_system_can_exchange_here(tmp_path):
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    (tmp_path / "a" / "x").write_bytes(b"")
    assert exchanged(tmp_path / "a", tmp_path / "b")
    assert (tmp_path / "b" / "x").exists()


@pytest.mark.parametrize("answer", [0, -1])
def test_a_mac_exchanges_by_a_call_of_its_own(tmp_path, monkeypatch, answer):
    site, asked = tmp_path / "site", []
    swap_tree(site, {"a": b"1"})

    class System:
        """macOS: renamex_np(from, to, RENAME_SWAP = 2), 0 when it was done (rename(2))."""

        def __init__(self, *_, **__):
            pass

        def renamex_np(self, one, other, flags):
            asked.append((Path(os.fsdecode(other)), flags))
            if answer == 0:
                Path(os.fsdecode(one)).rename(tmp_path / "aside")
                Path(os.fsdecode(other)).rename(os.fsdecode(one))
                (tmp_path / "aside").rename(os.fsdecode(other))
            return answer

    monkeypatch.setattr(sys, "platform", "darwin")
    monkeypatch.setattr("ctypes.CDLL", System)
    swap_tree(site, {"a": b"2"})
    assert asked == [(site, 2)]
    assert tree_of(tmp_path) == {"site/a": b"2"}
    assert hidden(tmp_path) == []


def test_where_no_system_call_is_known_two_steps_do(tmp_path, monkeypatch):
    monkeypatch.setattr(sys, "platform", "sunos5")
    site = tmp_path / "site"
    swap_tree(site, {"a": b"1"})
    swap_tree(site, {"a": b"2"})
    assert tree_of(tmp_path) == {"site/a": b"2"}
    assert hidden(tmp_path) == []


BUILD_FOR_EVER = """
    import sys
    from pathlib import Path
    from provenance.output import new_tree
    turn = 0
    while True:
        turn += 1
        with new_tree(Path(sys.argv[1])) as tree:
            for number in range(120):
                tree.put(f"{number}/index.html", b"%d" % turn)
        print(turn, flush=True)
"""


@LINUX
def test_a_killed_run_never_leaves_half_a_tree(tmp_path):
    site = tmp_path / "site"
    for moment in range(12):
        process = run(BUILD_FOR_EVER, site)
        process.stdout.readline()
        time.sleep(0.011 * moment)
        process.send_signal(signal.SIGKILL)
        process.communicate()
        seen = tree_of(site)
        assert len(seen) == 120
        assert len(set(seen.values())) == 1
        assert sorted(read_list(site)) == sorted(seen)
    swap_tree(site, {"a": b"1"})
    assert tree_of(site) == {"a": b"1"}
    assert hidden(tmp_path) == []


def test_a_run_killed_while_it_listed_the_tree_is_cleared_away(tmp_path):
    left = tmp_path / ".site.new"
    left.mkdir()
    (left / "a").write_bytes(b"1")
    (left / MAKING).write_bytes(f"a\n{LIST_COMING}\nanders\u00fc".encode()[:-1])
    (left / LIST_COMING).write_bytes(hashlib.sha256(b"1").hexdigest()[:20].encode())
    swap_tree(tmp_path / "site", {"a": b"2"})
    assert tree_of(tmp_path / "site") == {"a": b"2"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_disk_that_takes_half_of_the_names_keeps_nothing_of_the_tree(tmp_path, monkeypatch):
    site, files = tmp_path / "site", {f"{number}/index.html": b"1" for number in range(9)}
    swap_tree(site, {"gone": b"1", **files})
    true, linked = os.write, []
    monkeypatch.setattr(os, "write", lambda handle, text: true(handle, text[: len(text) // 2 + 1]))

    def full(path, _):
        linked.extend(path.parent.rglob("*.html"))
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("provenance.output.trees.write_new", full)
    with pytest.raises(Slip):
        swap_tree(site, files)
    assert len(linked) == 9
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


@LINUX
def test_a_full_disk_leaves_the_old_tree_and_file(tmp_path):
    # A limit on file size makes the system itself refuse, as a full disk does.
    site = tmp_path / "site"
    swap_tree(site, {"a": b"1"})
    write_file(tmp_path / "paper", b"old")
    code = """
        import resource, sys
        from pathlib import Path
        from provenance.language.phrases import british
        from provenance.output import append_text, new_tree, write_file
        from provenance.problems import Slip
        resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
        here = Path(sys.argv[1])
        def swap():
            with new_tree(here / "site") as tree:
                tree.put("a", b"2")
                tree.put("big", b"x" * 5000)
        for attempt in (
            swap,
            lambda: write_file(here / "paper", b"x" * 5000),
            lambda: append_text(here / "paper", "x" * 5000),
        ):
            try:
                attempt()
            except Slip as slip:
                print(british().tell(slip.what), "|", british().tell(slip.remedy))
    """
    printed, faults = run(code, tmp_path).communicate()
    assert faults == ""
    full = "the disk is full: {} was not written, what was there before is whole"
    assert printed.splitlines() == [
        f"{full.format(name)} | make room and run again" for name in ("big", "paper", "paper")
    ]
    assert tree_of(site) == {"a": b"1"}
    assert (tmp_path / "paper").read_bytes() == b"old"
    assert hidden(tmp_path) == []


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write all")
def test_a_read_only_place_is_named(tmp_path):
    tmp_path.chmod(stat.S_IRUSR | stat.S_IXUSR)
    try:
        with pytest.raises(Slip) as caught:
            write_file(tmp_path / "a", b"")
    finally:
        tmp_path.chmod(stat.S_IRWXU)
    assert said(caught) == f"{tmp_path / 'a'} may not be written"
