"""`reprice`: pieces get another price; which printed papers are then old.

In: the studio, numbers, a sum or a share to add or take off. Out: a `Deed` that writes `price:`,
rounded up as the studio rounds; and, once the records are read again, what was printed with the
price before: tags by printed.yaml, an outlet's sheets by the lists that lie beside them.
"""

import csv
import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from pathlib import Path

from provenance.build.tags_due import PAPER, note_of, outlet_of, reason_against, words_for
from provenance.deeds.deed import Change, Deed, change_of
from provenance.deeds.selling import refuse_gone
from provenance.deeds.sums import minor_of, money_text, price_of
from provenance.figures.working import given, rounded, rounded_up
from provenance.problems import Said, Slip, Words, WrongWish
from provenance.public.border import Border
from provenance.records.patch import Put
from provenance.records.pieces import Piece
from provenance.records.quantities import Share
from provenance.records.reading import known_words
from provenance.studio import Studio

_NUMBER_IN = re.compile(r"[0-9][0-9.,]*")
_SIGNS = {"+": 1, "-": -1, "−": -1}


def reprice(studio: Studio, numbers: Sequence[str], how: str) -> Deed:
    """Pieces and their new prices. Raises Slip for one that is gone, or has no price to change."""
    share = _share(studio, how)
    fixed = None if share is not None else price_of(studio, how)
    changes: list[Change] = []
    told: list[Words] = []
    for number in dict.fromkeys(numbers):
        piece = studio.piece(number).record
        refuse_gone(piece)
        price = fixed if share is None else _raised(studio, piece, share)
        if price == piece.price:
            same = Said("form.money", value=price)
            told.append(Said("deed.same_price", number=number, price=same))
            continue
        assert price is not None
        put = Put(("price",), _text(studio, piece, price), known_words(Piece))
        changes.append(change_of(studio, piece.number.place.file, [put]))
        told.append(_told(piece, price))
    return Deed(" ".join(["reprice", *numbers, how]), tuple(changes), tuple(told))


def _share(studio: Studio, how: str) -> Fraction | None:
    """`+8%` as a fraction of one; None for a sum of money."""
    text = how.strip()
    sign, rest = _SIGNS.get(text[:1]), text[1:].strip()
    if "%" not in text:
        if sign:
            raise WrongWish(
                Said("deed.share_or_sum", text=text), Said("deed.write_either", text=text)
            )
        return None
    try:
        share = Share.read(rest if sign else text, studio.habits)
    except Slip as slip:
        raise WrongWish(slip.what, slip.remedy) from None
    if sign is None:
        raise WrongWish(Said("deed.which_way", text=text), Said("deed.write_sign", text=text))
    if share >= 1 and sign < 0:
        raise WrongWish(Said("deed.for_nothing"), Said("deed.gift"))
    return sign * share


def _raised(studio: Studio, piece: Piece, share: Fraction) -> Fraction:
    """A price with a share added, rounded as the worked-out price is."""
    if piece.price is None:
        what = Said("deed.no_price", number=str(piece.number))
        raise Slip(what, Said("deed.write_price", number=str(piece.number)))
    if _sum_in(studio, piece) is None:
        what = Said("deed.foreign", number=str(piece.number), price=piece.price.written)
        raise Slip(what, Said("deed.look_at", place=piece.price.place.short))
    exact = given(Said("step.price"), piece.price * (1 + share), str(studio.file.currency))
    step = studio.file.prices.round_up_to
    return (rounded_up(exact, step) if step else rounded(exact, minor_of(studio))).value


def _sum_in(studio: Studio, piece: Piece) -> str | None:
    """The number in a price of the studio's own currency, as it is written: £480.00."""
    found = _NUMBER_IN.findall(piece.price.written if piece.price is not None else "")
    return found[0] if len(found) == 1 else None


def _text(studio: Studio, piece: Piece, price: Fraction) -> str:
    """A price in the form of the one before: with its sign, and noughts where it had them."""
    old = _sum_in(studio, piece)
    if old is None or piece.price is None:
        return money_text(studio, price)
    exact = bool(re.search(r"[.,][0-9]{2}$", old)) and minor_of(studio) == len(old[-2:])
    return piece.price.written.replace(old, money_text(studio, price, exact=exact))


def _told(piece: Piece, price: Fraction) -> Said:
    named = {"number": str(piece.number), "title": str(piece.title)}
    new = Said("form.money", value=price)
    if piece.price is None:
        return Said("deed.priced", **named, price=new)
    old = Said("form.money", value=Fraction(piece.price))
    return Said("deed.repriced", **named, old=old, price=new)


def old_papers(border: Border, numbers: Sequence[str]) -> Iterator[Said]:
    """What lies printed with another price than the records now have."""
    tags = tuple(number for number in numbers if _has_old_tag(border, number))
    if tags:
        yield Said("deed.old_tags", numbers=tags)
    for folder in _sheets(border.studio, numbers):
        yield Said("deed.old_sheets", folder=folder)


def _has_old_tag(border: Border, number: str) -> bool:
    piece, printed = border.studio.piece(number).record, border.studio.printed(PAPER, number)
    if not printed or reason_against(border.studio.book, piece):
        return False
    words = words_for(border, piece, outlet_of(border.studio.book, piece))
    return str(printed[-1].price or "") != note_of(border, words).price


def _sheets(studio: Studio, numbers: Sequence[str]) -> Iterator[str]:
    """Outlets whose folder of papers has a list with one of these numbers."""
    papers = studio.book.folder / "papers"
    for name in studio.book.outlets:
        lists = sorted((papers / name).rglob("*.csv"))
        if any(not _cells(path).isdisjoint(numbers) for path in lists):
            yield name


def _cells(path: Path) -> set[str]:
    try:
        with path.open(encoding="utf-8-sig", errors="replace", newline="") as file:
            return {cell for line in csv.reader(file) for cell in line}
    except (OSError, csv.Error):
        return set()
