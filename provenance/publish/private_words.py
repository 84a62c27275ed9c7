"""Private words that stand on the site all the same: a buyer named in a story, a note in a template
of the maker's own, a file put beside the pages.

In: the book, the words of the site. Out: each private value that stands there, with its place and
the page. What leaves the house by our own hands is a list of public facts (`public/`); this looks
at what came by others. Only what can't be there by chance is looked for:

- of people, e-mail addresses, telephone numbers, full names, streets with their number and
  postcodes: one word alone may be any word, a town may be where the maker lives;
- of notes, six words in a row, or a whole note of four or five; what the maker wrote in public as
  well, or what our own phrases say, is no secret;
- what was paid, in the forms of money, on the page of that piece alone, where it is the price of no
  piece.

The numbers (six, four, how many letters) are ours.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from provenance.build.start_words import texts_of
from provenance.language.phrases import Phrases
from provenance.language.shipped import shipped
from provenance.problems import Place
from provenance.publish.site_words import (
    NUMBER_DIGITS,
    Phrase,
    SiteWords,
    number_word,
    words_of,
)
from provenance.records.baths import Bath
from provenance.records.book import Book
from provenance.records.lots import Outlet
from provenance.records.pieces import Event, Piece
from provenance.records.quantities import Money
from provenance.records.reading import Record
from provenance.records.sales import Buyer, Sale
from provenance.records.shows import Show
from provenance.records.text import Written

RUN, LEAST = 6, 4  # words in a row of a note; the shortest note that is looked for whole
_RUN_LETTERS, _WHOLE_LETTERS, _NAME_LETTERS = 24, 20, 7
_POSTCODE = re.compile(r"(?=\S*\d)(?=\S*[A-Za-z])[A-Za-z0-9]{2,4} ?[A-Za-z0-9]{3,4}|[0-9]{5}")
_NOTES = ("notes", "kept", "withdrawn", "permit", "address", "event")
_WITH_PUBLIC = ((Event, "event"), (Bath, "notes"), (Outlet, "address"))


@dataclass(frozen=True, slots=True)
class Told:
    """A private value that stands on the site: its place and word, itself, the files it is in."""

    place: Place
    word: str
    text: str
    files: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Secret:
    """A private value: the phrases of which one would give it away."""

    place: Place
    word: str
    text: str
    phrases: tuple[Phrase, ...]


def private_words(book: Book, site: SiteWords, phrases: Phrases) -> Iterator[Told]:
    """Every private value that stands on the site, once each."""
    secrets = tuple(_Secrets(book).all)
    found = site.files_with(phrase for each in secrets for phrase in each.phrases)
    for each in secrets:
        held = [found[phrase] for phrase in each.phrases if phrase in found]
        if held:
            files = tuple(sorted({file for files in held for file in files}))
            yield Told(each.place, each.word, each.text, files)
    yield from _paid(book, site, phrases)


@dataclass(frozen=True)
class _Secrets:
    book: Book

    @cached_property
    def all(self) -> tuple[_Secret, ...]:
        """What must not be found, by what can be said of it."""
        people = (
            _Secret(text.place, word, str(text), tuple(p for p in told if not self._is_public(p)))
            for word, text in self._people()
            if (told := tuple(telling(word, text)))
        )
        notes = (
            _Secret(text.place, word, str(text), tuple(p for p in runs(text) if self._is_own(p)))
            for word, text in self._notes()
        )
        return tuple(each for each in (*people, *notes) if each.phrases)

    def _is_public(self, phrase: Phrase) -> bool:
        """Whether it is a name that the site says anyway, or a phrase of ours."""
        return f" {' '.join(phrase)} " in self._names

    def _is_own(self, phrase: Phrase) -> bool:
        """Whether it is said in the private note alone."""
        return f" {' '.join(phrase)} " not in self._said

    @cached_property
    def _names(self) -> str:
        book, studio = self.book, self.book.studio
        told: list[object] = [studio.studio, studio.maker, studio.place]
        public = {str(way) for way in studio.public_contact}
        told += [text for way, text in studio.contact.items() if str(way) in public]
        for outlet in book.outlets.values():
            told += [outlet.title, outlet.name, outlet.place]
        for show in book.shows.values():
            told += [show.title, show.place]
        told += [lot.from_ for lot in book.fleece.values() if lot.public]
        sales = (sale for piece in book.pieces.values() for sale in piece.sold)
        told += [sale.to for sale in sales if sale.consent]
        return f"{_joined(map(str, filter(None, told)))}{self._phrases}"

    @cached_property
    def _phrases(self) -> str:
        languages = dict.fromkeys(("en-GB", str(self.book.studio.language).split("-")[0]))
        return _joined(text for each in languages for text in shipped(each).values())

    @cached_property
    def _said(self) -> str:
        """All that the maker wrote which is no note, the pages, and our own phrases."""
        notes = {text.place for _, text in self._notes()}
        texts = (text for record in _records(self.book) for text in texts_of(record))
        own = [str(text) for text in texts if text.place not in notes]
        pages = [page.text for page in self.book.pages.values()]
        return f"{_joined([*own, *pages])}{self._phrases}"

    def _people(self) -> Iterator[tuple[str, Written]]:
        studio = self.book.studio
        public = {str(way) for way in studio.public_contact}
        yield from ((str(way), text) for way, text in studio.contact.items() if way not in public)
        for commission in self.book.commissions.values():
            yield from _of_buyer(commission.client)
        for sale in (sale for piece in self.book.pieces.values() for sale in piece.sold):
            yield from _of_buyer(sale.buyer)
            if sale.to and not sale.consent:
                yield "to", sale.to
        for fleece in self.book.fleece.values():
            if fleece.from_ and not fleece.public:
                yield "from", fleece.from_

    def _notes(self) -> Iterator[tuple[str, Written]]:
        for record in _records(self.book):
            yield from _notes_in(record)


def _of_buyer(buyer: Buyer | None) -> Iterator[tuple[str, Written]]:
    for word in ("name", "email", "phone", "post"):
        if text := getattr(buyer, word, None):
            yield word, text


def _notes_in(record: Record) -> Iterator[tuple[str, Written]]:
    """The notes of a record and of what stands in it."""
    for word, value in vars(record).items():
        if word in _NOTES and isinstance(value, Written) and not _is_told(record, word):
            yield word, value
        for each in value if isinstance(value, tuple) else (value,):
            if isinstance(each, Record):
                yield from _notes_in(each)


def _is_told(record: Record, word: str) -> bool:
    """Whether others may know it: an event, a bath's notes, an outlet's street with `public`."""
    is_marked = bool(getattr(record, "public", False)) and (type(record), word) in _WITH_PUBLIC
    return is_marked or (isinstance(record, Show) and word == "address")


def _records(book: Book) -> Iterator[Record]:
    yield book.studio
    for kind in (
        book.pieces, book.commissions, book.shows, book.outlets, book.fleece, book.dyestuffs,
        book.mordants, book.yarns, book.sundries, book.light_tests, book.baths,
    ):  # fmt: skip
        yield from kind.values()


def telling(word: str, text: Written) -> Iterator[Phrase]:
    """What would give somebody away: nothing, where a value is too common to say."""
    parts = [part.strip() for part in re.split(r"[,;\n()]", text)]
    digits = "".join(filter(str.isdecimal, text))
    if "@" in text:
        yield from (words_of(each) for each in text.split() if "@" in each)
    elif word == "phone":
        if len(digits) >= NUMBER_DIGITS:
            yield (number_word(digits),)
    elif word in ("post", "address"):
        streets = (part for part in parts if re.search(r"\d", part) and len(part.split()) > 1)
        yield from (words_of(part) for part in streets if _is_name(part) or _is_postcode(part))
    elif _is_name(parts[0]):
        yield words_of(parts[0])


def _is_postcode(part: str) -> bool:
    return bool(_POSTCODE.fullmatch(part))


def _is_name(part: str) -> bool:
    """Two words or more that begin large or are numbers: Helen Ashby, 3 Fell Road."""
    words = re.findall(r"[^\W_]+", part)
    large = [word for word in words if word[:1].isupper() or word[:1].isdecimal()]
    return len(large) > 1 and sum(map(len, words)) >= _NAME_LETTERS


def runs(text: str) -> Iterator[Phrase]:
    """Words in a row of a note that stand together nowhere by chance."""
    words = words_of(text)
    if LEAST <= len(words) < RUN and sum(map(len, words)) >= _WHOLE_LETTERS:
        yield words
    for start in range(len(words) - RUN + 1):
        run = words[start : start + RUN]
        if sum(map(len, run)) >= _RUN_LETTERS:
            yield run


def _joined(texts: Iterable[str]) -> str:
    """Texts as words, with a sign between them that is none."""
    return "".join(f" {' '.join(words_of(text))} \n" for text in texts)


def _paid(book: Book, site: SiteWords, phrases: Phrases) -> Iterator[Told]:
    """What was paid or kept back, on the page of its piece."""
    prices = {piece.price for piece in book.pieces.values() if piece.price is not None}
    for piece in book.pieces.values():
        for word, money in (each for sale in piece.sold for each in _sums(sale)):
            if money not in prices and (files := _files_with(money, piece, site, phrases)):
                yield Told(money.place, word, phrases.money(money), files)


def _sums(sale: Sale) -> Iterator[tuple[str, Money]]:
    for word, money in (("price", sale.price), ("kept back", sale.kept_back)):
        if money:
            yield word, money


def _files_with(money: Money, piece: Piece, site: SiteWords, phrases: Phrases) -> tuple[str, ...]:
    amount, code = phrases.amount(money), phrases.currency
    forms = [phrases.money(money), phrases.money(money, exact=True), f"{code} {amount}"]
    forms += [f"{amount} {code}", f'"price": "{amount}"']
    form = "|".join(re.escape(each) for each in forms)
    looked = re.compile(rf"(?<![\d.,])(?:{form})(?![\d]|[.,]\d)")
    own = (name for name in site.texts if name.startswith(f"{piece.number}/"))
    return tuple(name for name in own if looked.search(site.texts[name].replace("\xa0", " ")))
