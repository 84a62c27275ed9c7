"""Whether a row says what the record of its number says.

In: the record, the piece a row would make, the words the row has. Out: each word that differs, as
the record and as the row have it. What the row is silent about is not asked.
"""

import unicodedata
from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from typing import Any

from provenance.records.pieces import Piece, Sale


def _line(value: Any) -> str:
    return " ".join(_text(value).split())


def _text(value: Any) -> str:
    """An accent is the same sign, whether it is written with its letter or behind it."""
    return unicodedata.normalize("NFC", str(value or "")).strip()


def _hours(piece: Piece) -> Fraction:
    return sum((spent.hours for spent in piece.hours.values()), Fraction(0))


def _sale(take: Callable[[Sale], Any]) -> Callable[[Piece], Any]:
    return lambda piece: take(piece.sale) if piece.sale else None


def _buyer(word: str) -> Callable[[Piece], str]:
    return lambda piece: _line(
        getattr(piece.sale.buyer, word) if piece.sale and piece.sale.buyer else ""
    )


TAKEN: Mapping[str, Callable[[Piece], Any]] = {
    "title": lambda piece: _line(piece.title),
    "kind": lambda piece: _text(piece.kind),
    "structure": lambda piece: _line(piece.structure),
    "finished": lambda piece: _text(piece.finish),
    "size": lambda piece: piece.size.sides if piece.size else None,
    "weight": lambda piece: piece.weight,
    "made of": lambda piece: _line(piece.made_of),
    "signed": lambda piece: _line(piece.signed),
    "edition": lambda piece: _line(piece.edition),
    "hours": _hours,
    "price": lambda piece: piece.price,
    "at": lambda piece: _text(piece.at),
    "kept": lambda piece: _line(piece.kept),
    "status": lambda piece: piece.state,
    "sold on": _sale(lambda sale: sale.on),
    "sold for": _sale(lambda sale: sale.price),
    "sold at": _sale(lambda sale: _text(sale.at)),
    "to": _sale(lambda sale: _line(sale.to)),
    "consent": _sale(lambda sale: sale.consent),
    "buyer": _buyer("name"),
    "email": _buyer("email"),
    "story": lambda piece: _text(piece.story),
    "notes": lambda piece: _text(piece.notes),
}
_SHOWN: Mapping[str, Callable[[Piece], Any]] = {
    "size": lambda piece: piece.size.written if piece.size else "",
    "weight": lambda piece: piece.weight.written if piece.weight else "",
    "price": lambda piece: piece.price.written if piece.price else "",
    "sold for": _sale(lambda sale: sale.price.written if sale.price else ""),
}


def differing(
    record: Piece, brought: Piece, words: Mapping[str, str]
) -> Iterator[tuple[str, str, str]]:
    """Each word of the row that the record has otherwise: the word, the record's, the row's."""
    for word in (each for each in TAKEN if each in words):
        if TAKEN[word](record) != TAKEN[word](brought):
            show = _SHOWN.get(word, TAKEN[word])
            yield word, _text(show(record)), _text(show(brought))
    was, now = record.earlier, words.get("earlier", "")
    if now and (now == "yes") != was:
        yield "earlier", "yes" if was else "no", now
