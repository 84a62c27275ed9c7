"""New records: with the next free number, explained, and never over another.

In: what is to be started, the record folder or the studio in it, today. Out: files written, with
the schemas that editors complete from beside them; the path of the new record.
"""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from provenance.build.doubts import numbers_known, refuse_doubt
from provenance.language.phrases import british, phrases_for_maker
from provenance.output import append_text, write_file
from provenance.press.templates import render
from provenance.problems import Said, Slip, did_you_mean
from provenance.records.book import LOT_FILES
from provenance.records.checks_names import lots_of
from provenance.records.new_records import (
    free_name,
    like_text,
    next_commission,
    next_number,
    plain_or_quoted,
    words_in_name,
)
from provenance.records.pieces import KINDS
from provenance.records.places import ENDINGS
from provenance.records.schema import FOLDER, modeline, schemas
from provenance.reference.currencies import currency_codes
from provenance.studio import Studio

PAGES = ("about", "process", "care")
FOLDERS = ("dyebook", "commissions", "photos", "papers")
MOST_LOTS = 8
LIGHT_TESTS = "light-tests"


@dataclass(frozen=True, slots=True)
class Started:
    """A new record, not yet written: its path in the record folder, its text, what comes next.

    `added`: its text comes after what the file says already.
    """

    file: str
    text: str
    next: Said
    added: bool = False


def refuse_without_records(folder: Path) -> None:
    """Slip where there is no studio yet."""
    if not (folder / "studio").is_dir():
        raise Slip(Said("start.no_records"))


def currency_of(text: str) -> str:
    """A currency by its three letters."""
    if text not in currency_codes():
        raise Slip(Said("start.currency"))
    return text


def language_of(text: str) -> str:
    """A language by its tag."""
    if not re.fullmatch(r"[a-z]{2,3}(-[A-Z]{2})?", text):
        raise Slip(Said("start.language"))
    return text


def start_studio(folder: Path, words: Mapping[str, str], today: date) -> tuple[int, int]:
    """The files of a record folder that are not there yet: how many were written, of how many."""
    files = _studio_files(words, today)
    new = {name: text for name, text in files.items() if not (folder / name).exists()}
    if not new:
        raise Slip(Said("start.all_there", folder=str(folder)))
    write_new(folder, new)
    return len(new), len(files)


def _studio_files(words: Mapping[str, str], today: date) -> dict[str, str]:
    typed = {word: text and plain_or_quoted(text) for word, text in words.items()}
    names = ("studio", *(name for name in LOT_FILES if name != LIGHT_TESTS))
    files = {f"studio/{name}.yaml": _filled(name, 1, today, typed) for name in names}
    of_language = "de/" if words.get("language", "").startswith("de") else ""
    for name in PAGES:
        page = f"records/pages/{of_language}{name}.md"
        files[f"pages/{name}.md"] = render(page, {**words, "yours": str}, None)
    for name in FOLDERS:
        files[f"{name}/README.md"] = render(f"records/folders/{name}.md", {}, None)
    return files


def start_piece(studio: Studio, like: str | None, title: str, kind: str | None) -> Started:
    """The record of the next piece; like another one it keeps its notes and none of its facts."""
    refuse_doubt(studio.book)
    folder = studio.book.folder
    number = next_number(folder, studio.today.year, numbers_known(studio.book))
    file = piece_file(number, title)
    own = title if title.strip() else phrases_for_maker(studio.book).say("start.untitled")
    named = plain_or_quoted(own)
    if like is None:
        told = {"number": number, "title": named, "kind": kind, **_shelf(studio)}
        return Started(file, _filled("piece", 0, studio.today, told), Said("start.piece_next"))
    source = folder.parent / studio.piece(like).record.number.place.file
    text = f"{modeline('piece')}\n{like_text(source, number, named)}"
    return Started(file, text, Said("start.piece_like_next"))


def piece_file(number: str, title: str) -> str:
    """The file of a piece's record: 2026-014-saltmarsh.yaml."""
    words = words_in_name(title)
    return f"{number}-{words}.yaml" if words else f"{number}.yaml"


def start_bath(studio: Studio, name: str) -> Started:
    """The next page of the dye book."""
    stem = f"{studio.today:%Y-%m}-{words_in_name(name) or 'bath'}"
    file = f"dyebook/{free_name(studio.book.folder / 'dyebook', stem)}.yaml"
    text = _filled("bath", 1, studio.today, _shelf(studio))
    return Started(file, text, Said("start.bath_next"))


def start_commission(studio: Studio, like: str | None) -> Started:
    """What a client asked for, with the next free number."""
    refuse_doubt(studio.book)
    if like is not None:
        studio.piece(like)
    number = next_commission(studio.book.folder, studio.today.year)
    text = _filled("commission", 1, studio.today, {"number": number, "like": like})
    return Started(f"commissions/{number}.yaml", text, Said("start.commission_next", name=number))


def start_show(studio: Studio, title: str) -> Started:
    """An exhibition, with the hangings that could go there named in its notes."""
    name = free_name(studio.book.folder / "shows", words_in_name(title) or "show")
    pieces = studio.book.pieces.values()
    hangings = [str(each.number) for each in pieces if each.kind == "hanging" and each.size]
    words = {"title": plain_or_quoted(title) if title else "", "works": ", ".join(hangings)}
    file, text = f"shows/{name}.yaml", _filled("show", 1, studio.today, words)
    return Started(file, text, Said("start.show_next", name=name))


def start_light_test(studio: Studio, lot: str) -> Started:
    """A strip that hangs from today on, in studio/light-tests.yaml, after those that are there.

    Raises Slip for a lot nobody knows.
    """
    known = lots_of(studio.book)
    if lot not in known:
        raise Slip(Said("unknown.lot", name=lot), did_you_mean(lot, known))
    if studio.book.is_broken("*", LIGHT_TESTS):
        raise Slip(Said("file.unreadable", file=LIGHT_TESTS), Said("file.see_check"))
    files = (f"studio/{LIGHT_TESTS}{ending}" for ending in ENDINGS)
    there = next((each for each in files if (studio.book.folder / each).exists()), "")
    words = {"lot": plain_or_quoted(lot), "name": _test_name(studio, lot), "added": bool(there)}
    text = _filled(LIGHT_TESTS, 1, studio.today, words)
    file = there or f"studio/{LIGHT_TESTS}.yaml"
    return Started(file, text, Said("start.light_test_next"), added=bool(there))


def _test_name(studio: Studio, lot: str) -> str:
    """A name that no test has yet: furze-window, furze-window-2 ..."""
    turn, name = 1, f"{lot}-window"
    while name in studio.book.light_tests or studio.book.is_broken(name, LIGHT_TESTS):
        turn += 1
        name = f"{lot}-window-{turn}"
    return name


def _shelf(studio: Studio) -> dict[str, str]:
    """Lots the new record could draw on, for its notes."""
    lots = list(lots_of(studio.book))
    said = ", ".join(lots[:MOST_LOTS])
    if len(lots) > MOST_LOTS:
        phrases = phrases_for_maker(studio.book)
        said = f"{said} {phrases.say('today.and_more', count=len(lots) - MOST_LOTS)}"
    return {"lot": lots[0] if lots else "grey-2ply", "lots": said}


def _filled(name: str, folders_deep: int, today: date, words: Mapping[str, Any]) -> str:
    given = {
        "modeline": modeline(name, folders_deep), "today": today.isoformat(),
        "kinds": ", ".join(KINDS), "kind": None, "like": None, "lots": "",
        "yours": str, **words,
    }  # fmt: skip
    return render(f"records/{name}.yaml", given, None)


def write_started(folder: Path, new: Started) -> None:
    """Write a new record; one that comes after others is added at the end of their file."""
    if not new.added:
        write_new(folder, {new.file: new.text})
        return
    append_text(folder / new.file, new.text)


def write_new(folder: Path, files: Mapping[str, str]) -> None:
    """Write new files by their names, and the schemas beside them; never over what is there."""
    for name in files:
        if (folder / name).exists():
            raise Slip(Said("start.there", file=name), Said("start.not_over"))
    for name, schema in schemas(british().words).items():
        text = json.dumps(schema, ensure_ascii=False, indent=1, sort_keys=True) + "\n"
        write_file(folder / FOLDER / name, text.encode())
    for name, text in files.items():
        write_file(folder / name, text.encode())
