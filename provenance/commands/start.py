"""`start`: writes a new record with the next free number, explained, and never over another.

In: what is to be started. Out: one file (for `start studio` the whole folder), its path, and one
line that says what to do next. The schemas that editors complete from are written beside it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from provenance.commands.studio import Here, refuse, today
from provenance.language.phrases import british
from provenance.language.telling import told_slip
from provenance.lock import lock
from provenance.output import write_file
from provenance.press.templates import render
from provenance.problems import Slip
from provenance.records.book import LOT_FILES
from provenance.records.checks_names import lots_of
from provenance.records.copying import like_text, plain_or_quoted, words_in_name
from provenance.records.numbers_taken import free_name, next_commission, next_number
from provenance.records.pieces import KINDS
from provenance.records.schema import FOLDER, modeline, schemas
from provenance.reference.currencies import currency_codes

PAGES = ("about", "process", "care")
FOLDERS = ("dyebook", "commissions", "photos", "papers")
MOST_LOTS = 8


@click.group("start")
def command() -> None:
    """Write a new record: studio, piece, bath or commission."""


@command.command("studio")
@click.option("--folder", type=click.Path(path_type=Path), help="Where; by default pieces/ here.")
@click.option("--name", default="My Studio", help="The studio's name.")
@click.option("--maker", default="My Name", help="Your name.")
@click.option("--currency", default="GBP", help="Three letters: GBP, EUR, USD ...")
@click.option("--language", default="en-GB", help="en-GB or en-US.")
@click.pass_obj
def studio(here: Here, /, folder: Path | None, **words: str) -> None:
    """A record folder with a studio file, shelves to fill and pages, all explained."""
    if words["currency"] not in currency_codes():
        raise click.BadParameter("three letters, such as GBP, EUR, USD", param_hint="--currency")
    if not re.fullmatch(r"[a-z]{2,3}(-[A-Z]{2})?", words["language"]):
        raise click.BadParameter("such as en-GB or en-US", param_hint="--language")
    place = (folder or here.asked or Path.cwd() / "pieces").resolve()
    files = _studio_files(words)
    new = {name: text for name, text in files.items() if not (place / name).exists()}
    if not new:
        refuse(f"{place} has all its files already: nothing was written", 1)
    _write(place, new)
    fewer = "" if len(new) == len(files) else f": {len(new)} files that were missing"
    click.echo(f"{shown(place)}{fewer}")
    click.echo(
        "Open studio/studio.yaml and put your name and pay in; then 'provenance start piece'."
    )


@command.command("piece")
@click.option("--like", metavar="NUMBER", help="Copy the record of this piece.")
@click.option("--title", default="", help="Its title, if it has one yet.")
@click.option("--kind", type=click.Choice(KINDS), help="What it is.")
@click.pass_obj
def piece(here: Here, like: str | None, title: str, kind: str | None) -> None:
    """The next piece, with the next free number."""
    with _slips_told():
        new = started_piece(here, like=like, title=title, kind=kind)
    _write_one(here, new)
    wants = "its yarns, hours and a photo" if like is None else "what differs"
    click.echo(f"Fill in {wants}; 'provenance check' says what is still wanted.")


@command.command("bath")
@click.argument("name", required=False, default="")
@click.pass_obj
def bath(here: Here, name: str) -> None:
    """The next page of the dye book; NAME becomes part of its file's name."""
    folder, day = _folder(here), today()
    stem = f"{day:%Y-%m}-{words_in_name(name) or 'bath'}"
    file = f"dyebook/{free_name(folder / 'dyebook', stem)}.yaml"
    _write_one(here, Started(file, _filled("bath", 1, _shelf(here))))
    click.echo("Write down what was dyed, the steps and the colour; then 'provenance check'.")


@command.command("commission")
@click.option("--like", metavar="NUMBER", help="A finished piece to scale from.")
@click.pass_obj
def commission(here: Here, like: str | None) -> None:
    """What a client asked for, with the next free number."""
    if like is not None:
        here.studio.piece(like)
    number = next_commission(_folder(here), today().year)
    text = _filled("commission", 1, {"number": number, "like": like})
    _write_one(here, Started(f"commissions/{number}.yaml", text))
    click.echo(f"Fill in sizes, yarn and colours; then 'provenance quote {number}'.")


@dataclass(frozen=True, slots=True)
class Started:
    """A new record: its path in the record folder, and its text."""

    file: str
    text: str


def started_piece(here: Here, *, like: str | None, title: str, kind: str | None) -> Started:
    """The record of the next piece, not yet written."""
    number = next_number(_folder(here), today().year)
    words = words_in_name(title)
    file = f"{number}-{words}.yaml" if words else f"{number}.yaml"
    named = plain_or_quoted(title) if title.strip() else "Untitled"
    if like is None:
        told = {"number": number, "title": named, "kind": kind}
        return Started(file, _filled("piece", 0, {**told, **_shelf(here)}))
    old = here.studio.piece(like).record
    source = here.folder.parent / old.number.place.file
    return Started(file, f"{modeline('piece')}\n{like_text(source, number, named)}")


def _folder(here: Here) -> Path:
    if not (here.folder / "studio").is_dir():
        refuse("there are no records here yet: 'provenance start studio' begins", 1)
    return here.folder


def _shelf(here: Here) -> dict[str, str]:
    """Lots the new record could draw on, for its notes."""
    lots = list(lots_of(here.studio.book))
    more = f" and {len(lots) - MOST_LOTS} more" if len(lots) > MOST_LOTS else ""
    return {"lot": lots[0] if lots else "grey-2ply", "lots": ", ".join(lots[:MOST_LOTS]) + more}


def _filled(name: str, folders_deep: int, words: Mapping[str, Any]) -> str:
    given = {
        "modeline": modeline(name, folders_deep), "today": today().isoformat(),
        "kinds": ", ".join(KINDS), "kind": None, "like": None, "lots": "", **words,
    }  # fmt: skip
    return render(f"records/{name}.yaml", given, None)


def _studio_files(words: Mapping[str, str]) -> dict[str, str]:
    typed = {word: plain_or_quoted(text) for word, text in words.items()}
    files = {f"studio/{name}.yaml": _filled(name, 1, typed) for name in ("studio", *LOT_FILES)}
    for name in PAGES:
        files[f"pages/{name}.md"] = render(f"records/pages/{name}.md", words, None)
    for name in FOLDERS:
        files[f"{name}/README.md"] = render(f"records/folders/{name}.md", {}, None)
    return files


def _write_one(here: Here, new: Started) -> None:
    path = here.folder / new.file
    if path.exists():
        refuse(f"{path} is there already: nothing was written", 1)
    _write(here.folder, {new.file: new.text})
    click.echo(shown(path))


def shown(path: Path) -> str:
    """A path as it is seen from here."""
    here = Path.cwd()
    return str(path.relative_to(here) if path.is_relative_to(here) else path)


def _write(folder: Path, files: Mapping[str, str]) -> None:
    """Write new files, and the schemas beside them; what is there is never written over."""
    with _slips_told(), lock(folder, "start"):
        for name, schema in schemas(british().words).items():
            text = json.dumps(schema, ensure_ascii=False, indent=1, sort_keys=True) + "\n"
            write_file(folder / FOLDER / name, text.encode())
        for name, text in files.items():
            if (folder / name).exists():
                raise Slip(f"{name} is there already", "nothing was written over it")
            write_file(folder / name, text.encode())


@contextmanager
def _slips_told() -> Iterator[None]:
    try:
        yield
    except Slip as slip:
        refuse(told_slip(slip, british()), 1)
