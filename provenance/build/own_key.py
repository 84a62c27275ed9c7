"""The studio's key: made, put on paper, brought back from paper, replaced, withdrawn.

In: the border, what its maker wants. Out: the secret half outside the record folder, the public
half and its days in studio/keys.yaml, which comes last: a run that is killed between leaves a key
that nothing names.
"""

import os
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

from provenance.build.secret_keys import Asks, find_secret, put_away
from provenance.output import disk_told, write_file
from provenance.papers.format import format_for
from provenance.problems import Place, Problems, Said, Slip, Words
from provenance.public.border import Border
from provenance.records.book import Book
from provenance.records.seal_keys import FILE, SealKey, line_of, with_days, with_line
from provenance.records.text import Items
from provenance.records.yaml_file import read_text
from provenance.seal.keys import PublicKey, SecretKey, same_fingerprint
from provenance.seal.letters import SlipOfThePen, from_groups
from provenance.seal.paper import key_paper

_FILE = f"studio/{FILE}.yaml"


def used_key(book: Book) -> str:
    """The key in use; '' where there is none."""
    return next((str(each.key) for each in book.keys if each.is_used), "")


def refuse_without_site(border: Border) -> None:
    """A key is named by the address of a site."""
    if not border.house.site:
        raise Slip(Said("key.no_site"), Said("key.write_site"))


def refuse_broken(border: Border) -> None:
    """A line that can't be read may be of a key that signed: nothing is written beside it."""
    wrong = next((each for each in border.studio.mistakes if each.place.file == _FILE), None)
    if wrong:
        raise wrong.as_slip()


def new_key(border: Border, pass_phrase: str) -> SecretKey:
    """Make a key and use it from today; the one before is used until today."""
    return _made(border, pass_phrase, {})


def withdraw(border: Border, typed: str, pass_phrase: str) -> SecretKey | None:
    """Withdraw the key of a fingerprint, or the only one; where it was in use, with a new one in
    its place, which is handed back. Slip where none or more than one can be meant."""
    refuse_broken(border)
    stolen = _meant(border.studio.book, typed)
    today = border.studio.today
    if stolen.is_used:
        return _made(border, pass_phrase, {"withdrawn": today})
    _write(border, with_days(_text(border.studio.book), str(stolen.key), withdrawn=today))
    return None


def _meant(book: Book, typed: str) -> SealKey:
    keys = [each for each in book.keys if not each.withdrawn]
    named = [PublicKey.read(str(each.key)).fingerprint for each in keys]
    if not keys:
        raise Slip(Said("key.none_used"))
    if not typed and len(keys) > 1:
        raise Slip(Said("key.which", keys=", ".join(named)), Said("key.say_which", key=named[0]))
    for each, name in zip(keys, named, strict=True):
        if not typed or same_fingerprint(name, typed):
            return each
    raise Slip(Said("key.not_ours", key=typed), Said("key.say_which", key=named[0]))


def _made(border: Border, pass_phrase: str, days: Mapping[str, date]) -> SecretKey:
    refuse_without_site(border)
    refuse_broken(border)
    today, book = border.studio.today, border.studio.book
    key, text = SecretKey.new(), _text(book)
    for each in book.keys:
        if each.is_used:
            text = with_days(text, str(each.key), until=today, **days)
    put_away(key, pass_phrase)
    _write(border, with_line(text, line_of(key.public.text, today)))
    return key


def key_from_paper(border: Border, typed: str, pass_phrase: str) -> SecretKey:
    """Put away a key that was typed in from its paper. Slip where a letter is wrong, or it is none
    of the studio's."""
    book = border.studio.book
    try:
        key = SecretKey(from_groups(typed))
    except SlipOfThePen as slip:
        told = Said("key.wrong_group", group=str(slip.group)) if slip.group else Said("key.groups")
        raise Slip(told) from None
    if book.keys and key.public.text not in {str(each.key) for each in book.keys}:
        raise Slip(Said("key.not_ours", key=key.public.fingerprint))
    refuse_without_site(border)
    refuse_broken(border)
    put_away(key, pass_phrase)
    if not book.keys:
        _write(border, with_line(_text(book), line_of(key.public.text, border.studio.today)))
    return key


def write_paper(border: Border, path: Path, asks: Asks) -> None:
    """Put the key in use on paper; never among the records or the site, which go to others. `asks`
    for the pass-phrase of its file."""
    inside = (border.studio.book.folder, border.studio.book.folder.parent / "site")
    if any(path.resolve().is_relative_to(each.resolve()) for each in inside):
        raise Slip(Said("key.paper_inside", file=path.name), Said("key.paper_elsewhere"))
    house = border.house
    key = find_secret(used_key(border.studio.book), asks)
    before = os.umask(0o077)  # nobody else reads it, not for a moment
    try:
        write_file(path, key_paper(house, key, format_for(house), border.studio.today))
    finally:
        os.umask(before)


def lines_of(book: Book) -> Sequence[Words]:
    """Every key with its days; the one in use first."""
    lines: list[Words] = []
    for each in book.keys:
        told = {"key": PublicKey.read(str(each.key)).fingerprint, "since": each.from_}
        if each.withdrawn:
            lines.append(Said("key.was_withdrawn", day=each.withdrawn, **told))
        elif each.until:
            lines.append(Said("key.was_used", day=each.until, **told))
        else:
            lines.append(Said("key.is_used", **told))
    return lines


def _text(book: Book) -> str:
    path = book.folder / _FILE
    with disk_told(path):
        return path.read_text(encoding="utf-8-sig") if path.is_file() else ""


def _write(border: Border, text: str) -> None:
    """Only what reads back: no line that stood there may be lost by it."""
    book, problems = border.studio.book, Problems()
    read = read_text(text.encode(), _FILE, problems)
    if problems or not isinstance(read, Items) or len(read) < len(book.keys):
        raise Slip(Said("key.no_list"), Said("key.kept"), Place(_FILE, 1, 1))
    write_file(book.folder / _FILE, text.encode())
