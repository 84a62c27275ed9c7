"""The words and forms of pages and papers in the studio's language.

In: a language such as en-GB, the studio's currency and its own phrases. Out: phrases by name, and
numbers, dates, money, masses and sizes in the forms of that language (Babel, CLDR).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, time
from decimal import Decimal
from fractions import Fraction
from functools import cached_property, lru_cache, reduce
from pathlib import Path
from typing import TYPE_CHECKING, Any

from provenance.figures.working import half_up, plain
from provenance.language.catalogue import catalogue, own_words
from provenance.language.measures import in_ounces, inches
from provenance.language.shipped import BASE
from provenance.language.spans import span
from provenance.problems import Said, Slip, Words
from provenance.reference.currencies import minor_unit
from provenance.reference.naming import in_english

if TYPE_CHECKING:
    from provenance.records.amounts import Size
    from provenance.records.book import Book

_FORM = "form."  # Said("form.mass", grams=...): a value in the forms of the language
_LEAST = Fraction(1, 10)  # grams; the least that is told
decimal = plain  # a number for programs: a point, no groups


@dataclass(frozen=True)
class Phrases:
    """Phrases and forms of one language and currency; a maker's `decimal_comma` in any."""

    language: str
    currency: str
    words: Mapping[str, str]
    decimal_comma: bool = False

    def say(self, name: str, /, **values: Any) -> str:
        """A phrase by its name (`label.size`), filled in.

        With a whole `number` among the values, `NAME_none` and `NAME_one` are taken where the
        language has them.
        """
        text = self.words[self._by_number(name, values.get("number"))]
        return text.format(**values) if values else text

    def _by_number(self, name: str, number: object) -> str:
        ending = {0: "none", 1: "one"}.get(number) if isinstance(number, int) else None
        special = f"{name}_{ending}"
        return special if ending and special in self.words else name

    def tell(self, words: Words) -> str:
        """A sentence of ours in this language; the maker's own words as they are."""
        if not isinstance(words, Said) or not words:
            return "" if isinstance(words, Said) else words
        if words.key.startswith(_FORM):
            form = getattr(self, words.key.removeprefix(_FORM))
            return str(form(*(value for _, value in words.pairs)))
        return self.say(words.key, **{name: self._told(value) for name, value in words.pairs})

    def _told(self, value: Any) -> Any:
        if isinstance(value, Said):
            return self.tell(value)
        if isinstance(value, (tuple, list)):
            return self.listed([str(self._told(each)) for each in value])
        if isinstance(value, (Fraction, Decimal)):
            return self.number(value)
        return self.day(value) if isinstance(value, date) else value

    def named(self, group: str, word: str) -> str:
        """A word that we know (`fibre`, `wool`) in this language; another one as it is."""
        return self.words.get(f"{group}.{word}", word)

    @cached_property
    def _locale(self) -> Any:
        from babel import Locale

        return Locale.parse(self.language, sep="-")

    @property
    def has_comma(self) -> bool:
        """Whether who reads this writes 3,5: so do spreadsheets where the language is spoken."""
        from babel.numbers import get_decimal_symbol

        return self.decimal_comma or get_decimal_symbol(self._locale) == ","

    @property
    def is_american(self) -> bool:
        """Whether inches and ounces come first."""
        return self.language.endswith("-US")

    def money(self, value: Fraction | Decimal, *, exact: bool = False) -> str:
        """An amount with its sign: £1,450, £12.50; `exact` keeps the noughts: £1,450.00."""
        from babel.numbers import format_currency

        amount = half_up(value, minor_unit(self.currency))
        is_whole = amount == amount.to_integral_value() and not exact
        own_form = str(self._locale.currency_formats["standard"].pattern)
        return str(
            format_currency(
                amount, self.currency, locale=self._locale, currency_digits=not is_whole,
                format=own_form.replace(".00", "") if is_whole else None,
            )
        )  # fmt: skip

    def amount(self, value: Fraction | Decimal) -> str:
        """An amount for programs: a decimal string with the currency's decimals, no sign."""
        return str(half_up(value, minor_unit(self.currency)))

    def column(self, values: Sequence[Fraction]) -> list[str]:
        """A column of money: all whole, or all with decimals, so that it can be read down."""
        amounts = [half_up(value, minor_unit(self.currency)) for value in values]
        exact = any(amount != amount.to_integral_value() for amount in amounts)
        return [self.money(amount, exact=exact) for amount in amounts]

    def number(self, value: Fraction | Decimal | int, places: int = 2) -> str:
        """A number in the language's form, at most `places` decimals."""
        from babel.numbers import format_decimal

        return str(format_decimal(Decimal(plain(Fraction(value), places)), locale=self._locale))

    def ungrouped(self, value: Fraction | Decimal, places: int = 2) -> str:
        """A number in a sentence, without groups: 1200, 82.5."""
        from babel.numbers import format_decimal

        return str(format_decimal(Decimal(plain(value, places)), "0.######", locale=self._locale))

    def percent(self, value: Fraction | int) -> str:
        """A percentage: 84 % here, 84% in American English."""
        return f"{self.number(value)}{'' if self.is_american else ' '}%"

    def listed(self, items: Sequence[Words]) -> str:
        """Some things in a row: a, b and c."""
        from babel.lists import format_list

        return str(format_list([self.tell(each) for each in items], locale=self._locale))

    def row(self, names: Sequence[Words]) -> str:
        """Words of a record one after another: a, b, c."""
        return ", ".join(map(self.tell, names))

    def chain(self, link: str, items: Sequence[Words]) -> str:
        """Things in their order, each tied to those before it by a phrase: weld, then indigo."""
        return reduce(
            lambda before, after: self.say(link, before=before, after=after), map(self.tell, items)
        )

    def opening(self, words: Words) -> str:
        """With a capital at the start; the rest as it is."""
        said = self.tell(words)
        return said[:1].upper() + said[1:]

    @property
    def has_large_nouns(self) -> bool:
        """Whether nouns have a capital wherever they stand, as in German."""
        return self.words["style.nouns"] == "large"

    def inside(self, name: str) -> str:
        """A name of ours inside a sentence: with a small letter, but for a language's nouns."""
        return name if self.has_large_nouns else name[:1].lower() + name[1:]

    def sort(self, kind: str) -> str:
        """A kind of piece inside a sentence; `other` alone has a word of its own there."""
        return self.words.get(f"sort.{kind}") or self.inside(self.named("kind", kind))

    def fitting(self, sentences: Sequence[Words], most: int) -> str:
        """Whole sentences, in their order, as many as fit into `most` signs."""
        line = ""
        for sentence in map(self.tell, sentences):
            longer = f"{line} {sentence}".strip()
            line = longer if len(longer) <= most else line
        return line

    def stuff(self, name: str) -> str:
        """A dyestuff or bath help that we know, in this language; a lot's own name as it is."""
        known = name if self.language.startswith("de") else in_english(name)
        return self.named("dye", self.named("mordant", known))

    def fibre(self, name: str) -> str:
        """A fibre by its English name; one that is recycled is called so before its name."""
        plain = name.removeprefix("recycled ")
        if plain == name or f"fibre.{name}" in self.words:
            return self.named("fibre", name)
        return self.say("content.recycled", fibre=self.named("fibre", plain))

    def label(self, market: str, words: Words) -> str:
        """A fibre label: the EU asks for the country's language, UK and US for English."""
        is_english = market != "EU" or self.language.startswith("en")
        return (british() if is_english else self).tell(words)

    def day(self, day: date) -> str:
        """14 September 2026."""
        from babel.dates import format_date

        return str(format_date(day, "long", locale=self._locale))

    def clock(self, at: time) -> str:
        """The time of day: 18:00; 6:00 PM in American English."""
        from babel.dates import format_time

        return str(format_time(at, "short", locale=self._locale)).replace("\u202f", "\xa0")

    def days(self, first: date, last: date) -> str:
        """A span of days: 28 to 29 November 2026; or one day alone."""
        return self.day(first) if first == last else span(first, last, self.say, self._locale)

    def part_day(self, text: str) -> str:
        """A date that may be known only to its month or year."""
        from babel.dates import format_date

        parts = [int(part) for part in text.split("-")]
        if len(parts) == 3:
            return self.day(date(parts[0], parts[1], parts[2]))
        if len(parts) == 2:
            return str(format_date(date(parts[0], parts[1], 1), "LLLL y", locale=self._locale))
        return text

    def mass(self, grams: Fraction) -> str:
        """412 g; from a kilogram on 1.26 kg; with ounces first in American English."""
        if 0 < grams < _LEAST:
            return self.say("measure.under", amount=self.mass(_LEAST))
        metric = self._metric_mass(grams)
        return f"{in_ounces(grams)} ({metric})" if self.is_american else metric

    def _metric_mass(self, grams: Fraction) -> str:
        if grams >= 1000:
            return f"{self.number(grams / 1000, 2)} kg"
        return f"{self.number(grams, 0 if grams >= 10 else 1)} g"

    def hours(self, hours: Fraction) -> str:
        """Hours to the quarter: 61 h, 4.5 h."""
        return f"{self.number(Fraction(half_up(hours * 4, 0)) / 4, 2)} h"

    def size_cm(self, size: Size) -> str:
        """H 124 × W 86 cm, to the millimetre."""
        sides = [self.number(side, 1) for side in size.sides]
        return f"{self._lettered(sides)} cm"

    def _lettered(self, sides: Sequence[str]) -> str:
        """The letters stand with the numbers: galleries and museums differ in which comes first."""
        letters = self.say("label.side_letters").split()
        return " × ".join(f"{letter} {side}" for letter, side in zip(letters, sides, strict=False))

    def size_in(self, size: Size) -> str:
        """48 7/8 × 33 7/8 in, to the nearest eighth."""
        return f"{' × '.join(inches(side) for side in size.sides)} in"

    def size(self, size: Size) -> str:
        """Both units in one line, the language's own first."""
        if self.is_american:
            cm = " × ".join(self.number(side, 1) for side in size.sides)
            return f"{self._lettered([inches(side) for side in size.sides])} in ({cm} cm)"
        return f"{self.size_cm(size)} ({self.size_in(size)})"


def phrases_for(
    language: str, currency: str, own: Mapping[str, str], studio_templates: Path | None
) -> Phrases:
    """The phrases of a language, over its base, with the studio's own on top."""
    return Phrases(language, currency, catalogue(language, own, studio_templates))


def templates_of(book: Book) -> Path | None:
    """The studio's own templates/ folder beside its records, where there is one."""
    own = book.folder / "templates"
    return own if own.is_dir() else None


def phrases_of(book: Book, language: str = "") -> Phrases:
    """The studio's phrases, or those of another language, which its own words are not laid over.

    Raises Slip for the first changed phrase that can't be used.
    """
    studio = book.studio
    own = {} if language else own_words(studio)
    found = phrases_for(language or studio.language, studio.currency, own, templates_of(book))
    return found if language else replace(found, decimal_comma=studio.decimal_comma)


def phrases_for_maker(book: Book) -> Phrases:
    """The studio's phrases, to speak to its maker; British English while one can't be used."""
    try:
        return phrases_of(book)
    except Slip:
        return phrases_for(BASE, book.studio.currency, {}, None)


@lru_cache(maxsize=1)
def british() -> Phrases:
    """British English as shipped, for what must be said before any record is read."""
    return phrases_for(BASE, "GBP", {}, None)
