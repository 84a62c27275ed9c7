"""Former sites: kept, put back, cleared away; killed for real at every step on the way."""

import errno
import os
import shutil
import signal
import subprocess
import sys
from concurrent.futures import Executor, Future
from pathlib import Path

import pytest

from provenance.language.phrases import british
from provenance.output import former_tree, new_tree, read_list, trees
from provenance.output.exchange import exchanged
from provenance.output.generations import generations
from provenance.output.holding import MAKING, link
from provenance.problems import Slip

LINUX = pytest.mark.skipif(sys.platform != "linux", reason="forks and is killed by signals")
PEACE = {
    "README.md": b"committed",
    "CNAME": b"brackenfold.example",
    ".htaccess": b"Options -Indexes",
    ".git/HEAD": b"ref: refs/heads/main",
    ".git/objects/ab/cd": b"blob",
    ".well-known/acme/token": b"theirs",
}


class AtOnce(Executor):
    """Does work where it stands."""

    def submit(self, work, /, *words, **named):
        done = Future()
        done.set_result(work(*words, **named))
        return done


def build(site, **files):
    """A site of pages; the first `_` of a name parts a folder from what lies in it."""
    with new_tree(site, pool=AtOnce()) as tree:
        for name, content in files.items():
            tree.put(f"{name.replace('_', '/', 1)}.html", content.encode())
    return tree


def back(site, steps=1, *, swaps=True):
    with former_tree(site, steps, swaps=swaps) as tree:
        return [f"{name} {how}" for name, how in tree.changes()]


def seen(site):
    """What the program wrote there, without what is left in peace."""
    names = {name: name.removesuffix(".html").replace("/", "_") for name in read_list(site)}
    return {short: (site / name).read_text() for name, short in names.items()}


def kept(site):
    return [seen(each) for each in generations(site)]


def refused(call, *words, **named):
    with pytest.raises(Slip) as caught:
        call(*words, **named)
    return f"{british().tell(caught.value.what)} | {british().tell(caught.value.remedy)}"


def put_in_peace(site):
    for name, content in PEACE.items():
        (site / name).parent.mkdir(parents=True, exist_ok=True)
        (site / name).write_bytes(content)


def in_peace(folder):
    return {name: (folder / name).read_bytes() for name in PEACE if (folder / name).is_file()}


@pytest.fixture
def site(tmp_path):
    """A site that was built four times."""
    for turn in "1234":
        build(tmp_path / "site", a=turn, same="x")
    return tmp_path / "site"


# Kept


def test_the_last_three_sites_are_kept_whole(site):
    assert kept(site) == [{"a": turn, "same": "x"} for turn in "123"]
    build(site, a="5")
    assert kept(site) == [{"a": turn, "same": "x"} for turn in "234"]


def test_a_folder_that_stays_the_same_is_moved_from_the_site_that_goes(tmp_path, monkeypatch):
    site, linked = tmp_path / "site", []
    for turn in "1234":
        build(site, a=turn, one_page="x", one_facts="y", two_page="x", two_facts=turn)
    before = (site / "one" / "page.html").stat().st_ino
    monkeypatch.setattr(
        trees, "link", lambda source, target: linked.append(target) or link(source, target)
    )
    build(site, a="5", one_page="x", one_facts="y", two_page="x", two_facts="5")
    new = {"a": "5", "one_page": "x", "one_facts": "y", "two_page": "x", "two_facts": "5"}
    assert seen(site) == new
    assert (site / "one" / "page.html").stat().st_ino == before
    assert linked == [f"{tmp_path}/.site.new/two/page.html"], "one/ was moved as it is"
    assert [each.name for each in generations(site)] == ["2", "3", "4"]
    assert [each["two_facts"] for each in kept(site)] == ["2", "3", "4"]
    assert all(len(each) == 5 for each in kept(site))


@pytest.mark.parametrize("what", ["a file of one's own", "a page changed by hand", "a link"])
def test_nothing_is_moved_from_a_former_site_that_is_not_whole(site, what):
    for turn in "5678":
        build(site, a=turn, one_page="x")
    former = generations(site)[0]
    mine = former / "one" / ("notes.txt" if what == "a file of one's own" else "page.html")
    if what == "a link":
        mine.unlink()
        mine.symlink_to(site / "one" / "page.html")
    else:
        mine.unlink(missing_ok=True)
        mine.write_text("mine")
    tree = build(site, a="9", one_page="x")
    assert seen(site) == {"a": "9", "one_page": "x"}
    assert tree.remains
    assert mine.is_symlink() or mine.read_text() == "mine"
    assert (former / "a.html").read_text() == "5"


def test_files_that_stay_the_same_are_one_file_on_the_disk(site):
    assert {each.stat().st_ino for each in site.parent.rglob("same.html")} == {
        (site / "same.html").stat().st_ino
    }


def test_a_build_that_changes_nothing_makes_no_generation(site):
    before = {path: path.stat().st_ino for path in site.parent.rglob("*")}
    build(site, a="4", same="x")
    assert {path: path.stat().st_ino for path in site.parent.rglob("*")} == before


def test_a_file_deleted_by_hand_comes_back_though_the_records_are_the_same(site):
    (site / "a.html").unlink()
    build(site, a="4", same="x")
    assert seen(site) == {"a": "4", "same": "x"}


def test_a_folder_without_a_site_is_no_former_site(tmp_path):
    (tmp_path / "site").mkdir()
    (tmp_path / "site" / "README.md").write_text("committed")
    build(tmp_path / "site", a="1")
    assert kept(tmp_path / "site") == []
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


# Put back


def test_the_last_site_is_put_back_and_back_again(site):
    assert back(site) == ["a.html changed"]
    assert seen(site) == {"a": "3", "same": "x"}
    assert kept(site) == [{"a": turn, "same": "x"} for turn in "124"]
    back(site)
    assert seen(site) == {"a": "4", "same": "x"}
    assert kept(site) == [{"a": turn, "same": "x"} for turn in "123"]


def test_two_changes_back_and_forward_again(site):
    back(site, 2)
    assert seen(site) == {"a": "2", "same": "x"}
    back(site)
    assert seen(site) == {"a": "4", "same": "x"}


def test_it_is_told_without_being_done(site):
    assert back(site, 3, swaps=False) == ["a.html changed"]
    assert seen(site) == {"a": "4", "same": "x"}
    assert kept(site) == [{"a": turn, "same": "x"} for turn in "123"]


def test_a_site_lost_from_its_place_comes_back(site):
    shutil.rmtree(site)
    back(site)
    assert seen(site) == {"a": "3", "same": "x"}


def test_there_may_be_none(tmp_path, site):
    remedy = "mend the records, and 'provenance build' makes the site anew"
    assert refused(back, tmp_path / "other") == (
        f"no site before that of other/ is kept | {remedy}"
    )
    assert refused(back, site, 4) == (f"only 3 sites before that of site/ are kept | {remedy}")


def test_a_former_site_that_is_not_whole_is_not_put_back(site):
    (site.parent / ".site.kept" / "3" / "a.html").unlink()
    said = "the former site in .site.kept/3 was changed by hand: a.html | "
    assert refused(back, site).startswith(said.replace("kept/3", "kept/3/"))
    (site.parent / ".site.kept" / "3" / "a.html").write_text("mine")
    assert refused(back, site).startswith(said.replace("kept/3", "kept/3/"))
    assert seen(site) == {"a": "4", "same": "x"}


def test_files_of_ones_own_in_the_site_are_not_swapped_out(site):
    (site / "holiday.jpg").write_bytes(b"mine")
    assert refused(back, site).startswith(
        "site/ holds files that were not written here: holiday.jpg"
    )


# What hosts want, and the maker's own


def test_what_is_left_in_peace_stays_with_the_site(site):
    put_in_peace(site)
    head = (site / ".git" / "HEAD").stat().st_ino
    for step in (lambda: build(site, a="5"), lambda: back(site), lambda: build(site, a="6")):
        step()
        assert in_peace(site) == PEACE
        assert [in_peace(each) for each in generations(site)] == [{}, {}, {}]
    assert (site / ".git" / "HEAD").stat().st_ino == head, "moved, not copied"


def test_what_is_left_in_peace_may_be_changed_and_taken_away(site):
    put_in_peace(site)
    build(site, a="5")
    (site / "CNAME").write_bytes(b"ebb.example")
    (site / ".htaccess").unlink()
    back(site)
    assert (site / "CNAME").read_bytes() == b"ebb.example"
    assert not (site / ".htaccess").exists()


def test_a_git_of_a_submodule_is_a_file(site):
    (site / ".git").write_text("gitdir: ../.git/modules/site")
    build(site, a="5")
    assert (site / ".git").read_text() == "gitdir: ../.git/modules/site"


def test_ones_own_files_in_a_former_site_are_never_deleted(site):
    mine = site.parent / ".site.kept" / "1" / "notes.txt"
    mine.write_text("mine")
    with new_tree(site) as tree:
        tree.put("a.html", b"5")
    told = [british().tell(each.what) for each in tree.remains]
    assert told == [
        ".site.kept/1/, a former site, holds files that were not written here: notes.txt"
    ]
    assert mine.read_text() == "mine"
    assert (mine.parent / "a.html").read_text() == "1", "it stays whole"
    mine.unlink()
    build(site, a="6")
    assert [each.name for each in generations(site)] == ["3", "4", "5"]


def test_a_page_changed_by_hand_in_a_former_site_is_never_deleted(site):
    mine = site.parent / ".site.kept" / "1" / "a.html"
    mine.unlink()
    mine.write_text("mine")
    build(site, a="5")
    assert mine.read_text() == "mine"


def test_ones_own_file_in_the_tree_to_come_is_named_and_stays(site):
    new = site.parent / ".site.new"
    new.mkdir()
    (new / "mine.txt").write_text("mine")
    said = ".site.new/ holds files that were not written here: mine.txt | "
    assert refused(build, site, a="5").startswith(said)
    (new / MAKING).write_text("b.html\n")
    (new / "b.html").write_text("half")
    assert refused(build, site, a="5").startswith(said)
    assert sorted(path.name for path in new.iterdir()) == [MAKING, "b.html", "mine.txt"]
    (new / "mine.txt").unlink()
    build(site, a="5")
    assert not new.exists()


def test_ones_own_folder_with_the_name_of_the_old_tree_stays(site):
    old = site.parent / ".site.old"
    old.mkdir()
    (old / "README.md").write_text("my own")
    (old / "mine.txt").write_text("mine")
    assert "mine.txt" in refused(build, site, a="5")
    assert (old / "README.md").read_text() == "my own"
    assert seen(site) == {"a": "4", "same": "x"}


# A folder that can't be renamed


def test_a_folder_held_fast_is_told_with_a_way_out(site, monkeypatch):
    def busy(path, _):
        raise OSError(errno.EBUSY, "Device or resource busy", str(path))

    monkeypatch.setattr("provenance.output.exchange.exchanged", lambda *_: False)
    monkeypatch.setattr(Path, "rename", busy)
    inside = site.resolve() / "public"
    assert refused(build, site, a="5") == (
        f"{site.resolve()} can't be exchanged as a whole: it is a disk of its own, or another "
        f"program holds it | name a folder inside it, such as --to {inside}; or let go of it and "
        "run again"
    )
    monkeypatch.undo()
    assert seen(site) == {"a": "4", "same": "x"}
    assert sorted(path.name for path in site.parent.iterdir()) == [".site.kept", "site"]


def test_a_disk_of_its_own_is_told_before_the_work_is_done(site, monkeypatch):
    monkeypatch.setattr(os.path, "ismount", lambda path: Path(path) == site.resolve())
    with pytest.raises(Slip), new_tree(site):
        pytest.fail("the work has begun")


def test_where_the_second_of_two_steps_fails_the_first_is_taken_back(site, monkeypatch):
    true, moved = Path.rename, []

    def once(path, to):
        moved.append(path.name)
        if path.name == ".site.new":
            raise OSError(errno.EIO, "Input/output error")
        return true(path, to)

    monkeypatch.setattr("provenance.output.exchange.exchanged", lambda *_: False)
    monkeypatch.setattr(Path, "rename", once)
    assert refused(build, site, a="5").startswith(f"{site.resolve()} cannot be written: ")
    assert moved == ["site", ".site.new", ".site.old"]
    assert seen(site) == {"a": "4", "same": "x"}


# Killed at every step

EVENTS = ("open", "os.rename", "os.mkdir", "os.remove", "os.rmdir", "os.link", "test.exchange")


def killed_at(turn, step, *, in_two_steps):
    """Do a step in a process of its own that is killed before its operation of this number, or
    done; how it ended."""
    if child := os.fork():
        return os.waitpid(child, 0)[1]
    count = iter(range(turn))

    def watch(event, told):
        is_read = event == "open" and not told[2] & (os.O_WRONLY | os.O_RDWR)
        if event in EVENTS and not is_read and next(count, None) is None:
            os.kill(os.getpid(), signal.SIGKILL)

    def exchange(one, other):
        sys.audit("test.exchange")
        return not in_two_steps and exchanged(one, other)

    sys.modules["provenance.output.exchange"].exchanged = exchange
    sys.addaudithook(watch)
    try:
        step()
    finally:
        os._exit(1 if sys.exc_info()[0] else 0)


def each_former_can_be_put_back(work):
    """Whether all that a look back finds there are whole."""
    look = work.parent / "look"
    subprocess.run(["cp", "-a", work, look], check=True)
    told = [back(look / "site", steps, swaps=False)
            for steps in range(1, len(generations(look / "site")) + 1)
            if steps == 1 or len(generations(look / "site")) >= steps]  # fmt: skip
    shutil.rmtree(look)
    return all(told)


@LINUX
@pytest.mark.parametrize("in_two_steps", [False, True])
@pytest.mark.parametrize("step", ["build", "back"])
def test_killed_at_every_step(site, step, in_two_steps, monkeypatch):
    monkeypatch.setattr(os, "fsync", lambda _: None)  # a killed process loses nothing by it
    for turn in "1234":
        build(site, a=turn, same="x", one_page="x", one_facts="y", two_page="z")
    put_in_peace(site)
    first, work = site.parent / "first", site.parent / "work"
    first.mkdir()
    for name in ("site", ".site.kept"):
        (site.parent / name).rename(first / name)
    same = {"one_page": "x", "one_facts": "y", "two_page": "z"}
    old, new = {"a": "4", "same": "x", **same}, {"a": "5", "b": "5", **same}
    do = {"build": lambda: build(work / "site", **new), "back": lambda: back(work / "site", 2)}
    whole = new if step == "build" else {**old, "a": "2"}
    ends = set()
    for turn in range(200):
        subprocess.run(["cp", "-a", first, work], check=True)  # with its second names
        end = killed_at(turn, do[step], in_two_steps=in_two_steps)
        if in_two_steps and not (work / "site").exists():
            assert seen(work / ".site.old") == old
        else:
            assert seen(work / "site") in (old, whole)
            ends.add(seen(work / "site") == whole)
        everywhere = [in_peace(each) for each in (work / "site", *work.glob(".site.*"))]
        everywhere += [in_peace(each) for each in generations(work / "site")]
        assert PEACE.items() <= {k: v for each in everywhere for k, v in each.items()}.items()
        assert each_former_can_be_put_back(work)
        build(work / "site", a="6")
        assert seen(work / "site") == {"a": "6"}
        assert in_peace(work / "site") == PEACE
        assert sorted(path.name for path in work.iterdir()) == [".site.kept", "site"]
        assert len(generations(work / "site")) == 3
        assert all(back(work / "site", steps, swaps=False) for steps in (1, 2, 3))
        assert old in kept(work / "site")
        shutil.rmtree(work)
        if end == 0:
            break
    assert end == 0
    assert turn > 20
    assert ends == {False, True}
