"""What was worked out before is used again only where nothing that it comes from has changed."""

import gc
import os
import random
import re
import shutil
import sqlite3
import weakref
from collections.abc import Iterator, Mapping
from contextlib import closing
from dataclasses import fields, replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from PIL import Image

from provenance.build import due_file, whole
from provenance.build.facts import Facts
from provenance.build.memo import Memo
from provenance.build.opening import open_studio
from provenance.commands.main import main
from provenance.figures.flow.flow import Flow, Key
from provenance.problems import Slip
from provenance.public.border import Border
from provenance.site import pages, rows
from provenance.studio import Studio

TODAY = date(2026, 11, 25)
STUDIOS = Path(__file__).parents[1] / "studios"
DEMO = Path(__file__).parents[2] / "pieces"
_FRAME = {"outlets", "light_tests", "broken"}  # part of every key, whole


class Watched(dict[Any, Any]):
    """A mapping that remembers what was asked of it; None for all of it."""

    def __init__(self, own: Mapping[Any, Any], name: str, seen: set[tuple[str, Any]]) -> None:
        super().__init__(own)
        self.name, self.seen = name, seen

    def __getitem__(self, key: Any) -> Any:
        self.seen.add((self.name, key))
        return super().__getitem__(key)

    def get(self, key: Any, default: Any = None) -> Any:
        self.seen.add((self.name, key))
        return super().get(key, default)

    def __contains__(self, key: Any) -> bool:
        self.seen.add((self.name, key))
        return super().__contains__(key)

    def __iter__(self) -> Iterator[Any]:
        self.seen.add((self.name, None))
        return super().__iter__()

    def values(self) -> Any:
        self.seen.add((self.name, None))
        return super().values()

    def items(self) -> Any:
        self.seen.add((self.name, None))
        return super().items()


def watched(whole: Any, seen: set[tuple[str, Any]]) -> Any:
    """A book or flow whose mappings remember what was asked of them."""
    own = {each.name: getattr(whole, each.name) for each in fields(whole)}
    mappings = {n: Watched(value, n, seen) for n, value in own.items() if isinstance(value, dict)}
    return replace(whole, **mappings)


def sources(flow: Flow, number: str) -> set[Key]:
    """A piece and everything that flows into it."""
    found: set[Key] = set()
    waiting = [Key("piece", number)]
    while waiting:
        key = waiting.pop()
        if key not in found:
            found.add(key)
            waiting += [draw.source for draw in flow.into.get(key, ())]
    return found


@pytest.mark.parametrize(
    "folder",
    [DEMO, *sorted(path.parent.parent for path in STUDIOS.glob("*/studio/studio.yaml"))],
    ids=str,
)
def test_the_facts_of_a_piece_ask_for_nothing_that_its_key_leaves_out(folder: Path) -> None:
    studio = open_studio(folder, TODAY)
    seen: set[tuple[str, Any]] = set()
    book, flow = watched(studio.book, seen), watched(studio.flow, seen)
    for number in studio.book.pieces:
        border = Border(Studio(book, flow, studio.swatches, TODAY))
        border.house  # noqa: B018 - what is said of the studio comes from the studio file
        keys = sources(studio.flow, number)
        known = {key.name for key in keys} | {number, "", "None"}
        seen.clear()
        border.piece(number)
        asked = {(where, what) for where, what in seen if where not in _FRAME}
        strange = {
            (where, what)
            for where, what in asked
            if what not in (keys if isinstance(what, Key) else known)
        }
        assert strange == set(), number
    assert len(studio.book.pieces) > 2


def test_facts_of_a_piece_are_others_when_its_show_begins_and_ends(small: Path) -> None:
    told = []
    for day in (date(2026, 11, 19), date(2026, 11, 20), date(2026, 11, 30), date(2026, 12, 1)):
        studio = open_studio(small, day)
        with Memo(small) as memo:
            border = Border(studio, keeping=Facts(memo))
            from_before = facts_of(border)
        assert from_before == facts_of(Border(studio)), day
        last = from_before["2026-003"].been[-1]
        told.append((last.day, f"{last.what}{last.rest}"))
        assert "Tide" not in str(from_before["2026-001"].been)
    shown, days = "In the exhibition ‘Tide’, Quay Rooms", "20 to 30 November 2026"
    now = ("Now", f"{shown}, until 30 November 2026")
    assert told == [(days, shown), now, now, (days, shown)]


def records(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*.yaml") if "papers" not in path.parts)


def edited(folder: Path, chance: random.Random) -> str:
    """Change one value of one record: a number, a word of a sentence, or a whole line away."""
    path = chance.choice(records(folder))
    lines = path.read_text(encoding="utf-8").split("\n")
    places = [n for n, line in enumerate(lines) if re.search(r"\d|[a-z]{5}", line) and ":" in line]
    place = chance.choice(places)
    number = re.search(r"(?<![\w#-])\d+(?![\w-])(?=[^#]*$)", lines[place])
    if number and chance.random() < 0.7:
        there = slice(*number.span())
        new = str(max(1, int(number[0]) + chance.choice((-1, 1))))
        lines[place] = lines[place][: there.start] + new + lines[place][there.stop :]
    elif chance.random() < 0.5:
        lines[place] = re.sub(r"[a-z]{5,}(?=[^:]*$)", "tideline", lines[place], count=1)
    else:
        del lines[place]
    path.write_text("\n".join(lines), encoding="utf-8")
    return f"{path.name}:{place + 1}"


def facts_of(border: Border) -> dict[str, Any]:
    """All pieces as others may know them, or why not."""

    def facts(number: str) -> Any:
        try:
            return border.piece(number)
        except Slip as slip:
            return slip.what

    return {number: facts(number) for number in border.book.pieces}


@pytest.fixture
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache"


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    """The demo's records, without photos."""
    skipped = shutil.ignore_patterns("papers", "photos")
    return Path(shutil.copytree(DEMO, tmp_path / "pieces", ignore=skipped))


@pytest.mark.usefixtures("own_cache")
def test_after_any_edit_facts_from_before_are_the_facts_of_now(demo: Path) -> None:
    chance, edits, used = random.Random(12), [], 0
    kept = demo.parent / "kept"
    for trial in range(8):
        if trial % 4 == 0:  # from sound records again
            shutil.rmtree(kept, ignore_errors=True)
            shutil.copytree(demo, kept)
        edits.append(edited(kept, chance))
        try:
            studio = open_studio(kept, TODAY)
        except Slip:
            continue
        with Memo(kept) as memo:
            facts = Facts(memo)
            border = Border(studio, keeping=facts)
            used += sum(facts.known(border, number) is not None for number in studio.book.pieces)
            from_before = facts_of(border)
        assert from_before == facts_of(Border(studio)), edits[-4:]
    assert used > 20, "most pieces are not touched by an edit elsewhere"


SMALL = {
    "studio/studio.yaml": """\
studio: Brackenfold
maker: Isla Wren
site: https://brackenfold.example
labels for: [UK]
pay: {any: 20}
""",
    "studio/yarns.yaml": """\
plain: {fibre: wool, weight: 9 kg, cost: 90, colour: "#6f7a38"}
grey: {fibre: wool, weight: 9 kg, cost: 120, colour: "#777777"}
""",
    "studio/dyestuffs.yaml": "weld: {species: Reseda luteola, weight: 900 g, cost: 9}\n",
    "dyebook/2026-1.yaml": """\
date: 2026-03-01
dyed: [{yarn: plain, weight: 2 kg, becomes: furze, colour: "#c9b037"}]
steps: [{dyes: {weld: 20 %}, heat: 70 C for 1 h}]
hours: {dyeing: 2}
""",
    "studio/outlets.yaml": "quay: {kind: gallery, title: Quay Rooms}\n",
    "shows/tide.yaml": "title: Tide\noutlet: quay\ndates: 2026-11-20 to 2026-11-30\n"
    "walls: [{name: long, width: 6 m, works: [2026-003, 2026-004]}]\n",
    "pages/about.md": "# About\n\nI weave by the beck.\n",
}
LOTS = ("plain", "grey", "furze", "grey")


def small_piece(turn: int) -> str:
    photo = f"photos: [{{file: {turn}.jpg, view: whole, alt: A shawl over a peg}}]\n"
    return (
        f"number: 2026-00{turn}\ntitle: Spate {turn}\nkind: shawl\nsize: 190 x 60 cm\n"
        f"finished: 2026-09-1{turn}\nprice: 400\nhours: {{weaving: 10, finishing: 1}}\n"
        f"yarns: [{{use: weft, lot: {LOTS[turn - 1]}, weight: 300 g}}]\n{photo}"
    )


@pytest.fixture
def small(
    tmp_path: Path, own_cache: Path, kept_cache: Path, monkeypatch: pytest.MonkeyPatch
) -> Path:
    """A studio of four pieces; the site's letters are cut already."""
    letters = kept_cache / "provenance" / "letters"
    shutil.copytree(letters, own_cache / "provenance" / "letters")
    shutil.copytree(letters, tmp_path / "clean" / "provenance" / "letters")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795608000")
    texts = SMALL | {f"2026-00{turn}.yaml": small_piece(turn) for turn in range(1, 5)}
    for name, text in texts.items():
        path = tmp_path / "pieces" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    (tmp_path / "pieces" / "photos").mkdir()
    for turn in range(1, 5):
        shade = (40 * turn, 90, 160) if turn != 3 else "#c9b037"  # a piece of furze
        Image.new("RGB", (60, 80), shade).save(tmp_path / "pieces" / "photos" / f"{turn}.jpg")
    return tmp_path / "pieces"


def build(studio: str = "pieces") -> str:
    site = Path(studio).parent / "site"
    answer = CliRunner().invoke(main, ["--studio", studio, "build", "--to", str(site)])
    assert answer.exit_code == 0, answer.output
    return answer.output


def tree(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def cleanly_built(home: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, bytes]:
    """The same records built by somebody who never built before; their papers come to the same."""
    with monkeypatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(home.parent / "clean"))
        shutil.rmtree(home.parent / "clean" / "provenance" / "studios", ignore_errors=True)
        shutil.copytree(home, home.parent / "again" / "pieces")
        build(str(home.parent / "again" / "pieces"))
    return tree(home.parent / "again" / "site")


CHANGES = {
    "a price": ("2026-002.yaml", "price: 400", "price: 480"),
    "a title": ("2026-004.yaml", "Spate 4", "Shearwater"),
    "a lot": ("2026-001.yaml", "lot: plain", "lot: furze"),
    "the colour of a lot": ("studio/yarns.yaml", "#777777", "#336699"),
    "a dye": ("studio/dyestuffs.yaml", "Reseda luteola", "Reseda lutea"),
    "the maker": ("studio/studio.yaml", "Isla Wren", "I. Wren"),
    "words": ("pages/about.md", "beck", "burn"),
    "a show": ("shows/tide.yaml", "title: Tide", "title: Spring tide"),
    "what hangs": ("shows/tide.yaml", "2026-003, ", ""),
    "a sale": ("2026-001.yaml", "price: 400", "price: 400\nsale: {on: 2026-10-01, price: 400}"),
    # last: a change of the maker makes all pictures anew
    "the view of a photo": ("2026-003.yaml", "view: whole", "view: detail"),
}


def test_sites_and_tags_after_each_change_are_those_of_a_clean_build(
    small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    build()
    for what, (name, old, new) in CHANGES.items():
        path = small / name
        text = path.read_text(encoding="utf-8")
        assert old in text, what
        path.write_text(text.replace(old, new), encoding="utf-8")
        assert "differently: nothing" not in build(), what
    built, tags = tree(small.parent / "site"), (small / "papers" / "tags-due.pdf").read_bytes()
    shutil.rmtree(small / "papers")
    clean = cleanly_built(small, monkeypatch)
    # lists of colours that nothing has any more: their addresses lead on
    led_on = {"work/in-grey/index.html", "work/in-green/index.html", ".provenance-files"}
    assert built.keys() - clean.keys() <= led_on
    same = clean.keys() - led_on
    assert {name: built.get(name) for name in same} == {name: clean[name] for name in same}
    again = small.parent / "again" / "pieces" / "papers" / "tags-due.pdf"
    assert again.read_bytes() == tags


def fails(*_: Any, **__: Any) -> Any:
    raise AssertionError("made anew")


def test_nothing_is_made_anew_when_nothing_changed(
    small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    build()
    before = tree(small.parent)
    monkeypatch.setattr("provenance.commands.building.as_before", lambda *_: None)
    monkeypatch.setattr("provenance.public.border.public_piece", fails)
    monkeypatch.setattr(pages, "render", fails)
    monkeypatch.setattr(rows, "render", fails)
    monkeypatch.setattr(due_file, "plan_papers", fails)
    assert "differently: nothing" in build()
    after = tree(small.parent)
    assert {name for name in before if before[name] != after.get(name)} <= {
        name for name in before if name.startswith("cache/")
    }


def rewritten(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)


TOUCHED = {
    "a record": lambda home: rewritten(
        home / "pieces/2026-001.yaml", small_piece(1).replace("400", "410").encode()
    ),
    "a page of words": lambda home: rewritten(home / "pieces/pages/about.md", b"# About\n\nMe.\n"),
    "a photo": lambda home: Image.new("RGB", (60, 80), "#123456").save(
        home / "pieces/photos/1.jpg"
    ),
    "a template of her own": lambda home: rewritten(
        home / "pieces/templates/site/extra.css", b"p {}"
    ),
    "the due tags": lambda home: (home / "pieces/papers/tags-due.pdf").unlink(),
    "a certificate": lambda home: (home / "pieces/papers/certificate-2026-001.pdf").unlink(),
    "a page taken away": lambda home: (home / "site/2026-002/index.html").unlink(),
    "a run that was killed": lambda home: (home / ".site.new").mkdir(),
}  # fmt: skip


def test_the_short_way_is_taken_only_when_all_lies_untouched(
    small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    taken: list[str] = []
    real = whole.build_all

    def build_all(*args: Any, **named: Any) -> Any:
        taken.append("the long way")
        return real(*args, **named)

    monkeypatch.setattr(whole, "build_all", build_all)
    piece = small / "2026-001.yaml"
    piece.write_text(piece.read_text().replace("price: 400", "price: 400\nat: quay"))
    first, home = build(), small.parent
    assert build().splitlines()[-3:-1] == first.splitlines()[-4:-2], (
        "after certificates: noted anew"
    )
    said = build()
    assert taken == ["the long way"] * 2
    os.utime(home / "site/index.html", (1, 1))  # the same bytes: nothing to make
    assert build() == said
    assert taken == ["the long way"] * 2
    for what, touch in TOUCHED.items():
        long = len(taken)
        touch(home)
        build()
        assert len(taken) == long + 1, what
        build()  # a certificate may have been issued: then what it noted is read first
        settled = len(taken)
        build()
        assert len(taken) == settled, what
    monkeypatch.setenv("SOURCE_DATE_EPOCH", str(1795608000 + 86400))
    long = len(taken)
    build()
    assert len(taken) == long + 1, "another day"


def test_one_page_alone_is_made_anew_when_one_story_changed(
    small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    build()
    piece = small / "2026-002.yaml"
    piece.write_text(piece.read_text() + "story: It rained all week.\n", encoding="utf-8")
    real, made = pages.render, []

    def render(name: str, context: Mapping[str, Any], own: Path | None) -> str:
        made.append(context["address"])
        return real(name, context, own)

    monkeypatch.setattr(pages, "render", render)
    build()
    assert {each for each in made if each.startswith("2026")} == {"2026-002/"}


@pytest.mark.parametrize("harm", [b"", b"SQLite format 3\0" + b"x" * 5000, b"garbage"])
def test_a_damaged_memory_is_as_good_as_none(small: Path, own_cache: Path, harm: bytes) -> None:
    build()
    before = tree(small.parent / "site")
    (kept,) = (own_cache / "provenance" / "studios").glob("*.sqlite")
    kept.write_bytes(harm)
    assert "differently: nothing" in build()
    assert tree(small.parent / "site") == before


def test_values_of_a_damaged_row_are_worked_out_again(small: Path, own_cache: Path) -> None:
    build()
    before = tree(small.parent / "site")
    (kept,) = (own_cache / "provenance" / "studios").glob("*.sqlite")
    content = bytearray(kept.read_bytes())
    for place in range(4000, len(content), 97):
        content[place] ^= 1
    kept.write_bytes(content)
    assert "differently: nothing" in build()
    assert tree(small.parent / "site") == before


class Runs:
    """What would make a folder, if anybody made it again."""

    def __reduce__(self) -> tuple[Any, ...]:
        return os.mkdir, ("harmed",)


def test_what_is_kept_can_run_nothing(
    tmp_path: Path, own_cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with Memo(tmp_path) as memo:
        memo.put("pages", "key", Runs())
        memo.put("card 2026-001", "key", Runs())
        memo.put("tags due", "key", "a digest")
    with Memo(tmp_path) as memo:
        assert memo.get("pages", "key") is None
        assert memo.get("card 2026-001", "key") is None
        assert memo.get("tags due", "key") == "a digest"
    assert list((own_cache / "provenance" / "studios").glob("*.sqlite"))
    assert not Path("harmed").exists()


def test_what_another_could_have_written_is_left_alone(small: Path, own_cache: Path) -> None:
    build()
    (kept,) = (own_cache / "provenance" / "studios").glob("*.sqlite")
    kept.chmod(0o666)
    assert "differently: nothing" in build()


def test_what_another_run_has_for_itself_is_not_thrown_away(
    tmp_path: Path, own_cache: Path
) -> None:
    """SQLite, "File Locking": who can't have the file in time is told that it is locked."""
    with Memo(tmp_path) as memo:
        memo.put("pages", "key", "kept")
    (kept,) = (own_cache / "provenance" / "studios").glob("*.sqlite")
    with closing(sqlite3.connect(kept, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        with Memo(tmp_path) as memo:
            assert memo.get("pages", "key") is None
        other.execute("ROLLBACK")
    with Memo(tmp_path) as memo:
        assert memo.get("pages", "key") == "kept"


def test_a_build_holds_few_pieces_at_once(small: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("provenance.public.border.AT_HAND", 2)
    studio = open_studio(small, TODAY)
    with Memo(small) as memo:
        border = Border(studio, keeping=Facts(memo))
        seen = []
        for number in studio.book.pieces:
            seen.append(weakref.ref(studio.piece(number)))
            border.piece(number)
        gc.collect()
        assert sum(each() is not None for each in seen) == 2


def test_a_memory_writes_down_what_grows(
    small: Path, own_cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("provenance.build.memo._MOST_WAITING", 1000)
    memo = Memo(small)
    for turn in range(20):
        memo.put(f"facts {turn}", "a key", "x" * 400)
    again = Memo(small)
    assert again.get("facts 0", "a key") == "x" * 400
    assert again.get("facts 19", "a key") is None
    assert memo.get("facts 0", "a key") == memo.get("facts 19", "a key") == "x" * 400
