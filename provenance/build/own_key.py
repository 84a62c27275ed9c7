"""The studio's key: made, put on paper, brought back from paper, replaced, withdrawn.

In: the border, what its maker wants. Out: the secret half outside the record folder, the public
half and its days in studio/keys.yaml, which comes last: a run that is killed between leaves a key
that nothing names.
"""

import os
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from provenance.build.secret_keys import find_secret, put_away
from provenance.output import write_file
from provenance.papers.format import format_for
from provenance.problems import Said, Slip, Words
from provenance.public.border import Border
from provenance.records.book import Book
from provenance.records.seal_keys import FILE, SealKey, keys_text
from provenance.records.text import Written
from provenance.seal.keys import PublicKey, SecretKey
from provenance.seal.letters import SlipOfThePen, from_groups
from provenance.seal.paper import key_paper


def used_key(book: Book) -> str:
    """The key in use; '' where there is none."""
    return next((str(each.key) for each in book.keys if each.is_used), "")


def refuse_without_site(border: Border) -> None:
    """A key is named by the address of a site."""
    if not border.house.site:
        raise Slip(Said("key.no_site"), Said("key.write_site"))


def new_key(border: Border, pass_phrase: str, *, is_stolen: bool = False) -> SecretKey:
    """Make a key and use it from today; the one before is used until today, or withdrawn."""
    refuse_without_site(border)
    today, book = border.studio.today, border.studio.book
    key = SecretKey.new()
    put_away(key, pass_phrase)
    word = "withdrawn" if is_stolen else "until"
    before = [
        each.model_copy(update={word: today, "until": today}) if each.is_used else each
        for each in book.keys
    ]
    _write(book, [_line(key, today), *before])
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
    put_away(key, pass_phrase)
    if not book.keys:
        _write(book, [_line(key, border.studio.today)])
    return key


def write_paper(border: Border, path: Path) -> None:
    """Put the key in use on paper; never among the records or the site, which go to others."""
    inside = (border.studio.book.folder, border.studio.book.folder.parent / "site")
    if any(path.resolve().is_relative_to(each.resolve()) for each in inside):
        raise Slip(Said("key.paper_inside", file=path.name), Said("key.paper_elsewhere"))
    house = border.house
    key = find_secret(used_key(border.studio.book))
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


def _line(key: SecretKey, today: date) -> SealKey:
    text = Written(key.public.text)
    return SealKey.model_construct(key=text, from_=today, until=None, withdrawn=None)


def _write(book: Book, lines: list[SealKey]) -> None:
    write_file(book.folder / "studio" / f"{FILE}.yaml", keys_text(lines).encode())
