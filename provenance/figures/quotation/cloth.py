"""The cloth of a commission on the loom: sett, allowances, ends, metres of warp and weft.

In: a commission, the finished piece it is scaled from, one size. Out: a `WarpPlan`, what was
allowed for, and where each number came from. The sett is the commission's own, else the one noted
on the piece, else worked out from the metres of yarn in it. Allowances that the commission does
not give are ours and say so. Sizes are height x width; the width is the width on the loom unless
the cloth is woven sideways.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from provenance.figures.cloth.weaving import (
    Allowed,
    Sett,
    WarpPlan,
    a_metre,
    end_for,
    on_loom,
    plan_cloth,
    shot_for,
)
from provenance.figures.cloth.yarn import parse_count
from provenance.figures.flow.flow import Flow, in_all
from provenance.figures.flow.makeup import base_yarn
from provenance.figures.working import Figure, difference, given, product, quotient, total
from provenance.problems import Said, Slip, Words, named
from provenance.records.amounts import Size
from provenance.records.book import Book
from provenance.records.commissions import Commission
from provenance.records.pieces import Piece
from provenance.records.quantities import PerCentimetre

# What is taken where the commission says nothing: amount, unit; why, `language/` says.
USUAL = {
    "take_up": (Fraction(10, 100), ""),
    "shrink_width": (Fraction(5, 100), ""),
    "shrink_length": (Fraction(5, 100), ""),
    "loom_waste": (Fraction("91.44"), "cm"),
    "spare": (Fraction(15, 100), ""),
}
LIKE = "like "  # before the number of a piece: one more of it, asked for without a commission


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked for, and what it is answered from; `swatches` are colours measured."""

    book: Book
    flow: Flow
    commission: Commission
    like: Piece | None
    structure: str
    kind: str
    swatches: Mapping[str, str]
    today: date

    @property
    def called(self) -> Words:
        """The commission's number, or the piece that another is wanted of."""
        number = str(self.commission.number)
        return Said("step.like", piece=number.removeprefix(LIKE)) if LIKE in number else number

    @property
    def money(self) -> str:
        return str(self.book.studio.currency)


def sort_of(commission: Commission, like: Piece | None) -> tuple[str, str]:
    """Structure and kind that are asked for: the commission's own, else those of the piece."""
    structure = commission.structure or (like and like.structure)
    kind = commission.kind or (like and like.kind)
    return str(structure or ""), str(kind or "")


def allowances(commission: Commission) -> Allowed:
    """The commission's allowances, with ours for what it does not say."""
    figures: dict[str, Figure] = {}
    assumed = []
    for word, (usual, unit) in USUAL.items():
        what, own = Said(f"cloth.{word}"), getattr(commission.allow, word)
        if own is not None:
            figures[word] = given(what, own, unit)
        else:
            why = Said(f"cloth.{word}_usual")
            figures[word] = replace(given(what, usual, unit), note=why)
            amount = f"{float(usual):g} {unit}" if unit else f"{float(usual * 100):g} %"
            assumed.append(Said("cloth.assumed", what=what, amount=amount, why=why))
    return Allowed(**figures, assumed=tuple(assumed))


def cloth_on_loom(asked: Asked, allowed: Allowed, size: Size) -> WarpPlan | None:
    """The plan of one size, by the sett asked for, else the piece's own, else the one its yarn
    tells; None where no sett is known."""
    found = dict(_sett_from_yarn(asked, allowed))
    for word, lost in (("ends", allowed.shrink_width), ("picks", allowed.shrink_length)):
        planned, woven = (
            getattr(each.sett, word) if each and each.sett else None
            for each in (asked.commission, asked.like)
        )
        if planned is not None or woven is not None:
            found[word] = _set_on_loom(word, planned, woven, lost)
    if len(found) < len(_PER_CM):
        return None
    direction = asked.commission.woven or (asked.like.woven if asked.like else None)
    return plan_cloth(*_lies(size, direction), Sett(**found), allowed)


def _lies(size: Size, woven: str | None) -> tuple[Figure, Figure]:
    """Finished length (with the warp) and width (across it) of a size."""
    along, across = size.height, size.width
    if woven == "sideways":
        along, across = across, along
    length = given(Said("cloth.finished_length"), along, "cm")
    return length, given(Said("cloth.finished_width"), across, "cm")


def _set_on_loom(
    word: str, planned: PerCentimetre | None, woven: PerCentimetre | None, lost: Figure
) -> Figure:
    """Ends or picks per cm on the loom: as planned for the loom, else those of the finished piece
    less what the cloth draws in."""
    if planned is not None:
        return given(_PER_CM[word], planned, "per cm")
    assert woven is not None
    if woven.is_on_loom:
        return given(_PER_CM[word], woven, "per cm")
    left = difference(Said("cloth.left"), given(Said("cloth.whole"), 1), lost)
    counted = given(Said(f"cloth.{word}_finished"), woven, "per cm", woven.place)
    return product(_PER_CM[word], counted, left, unit="per cm")


_PER_CM = {"ends": Said("cloth.ends_per_cm"), "picks": Said("cloth.picks_per_cm")}


def _sett_from_yarn(asked: Asked, allowed: Allowed) -> Iterator[tuple[str, Figure]]:
    """Ends and picks that put so many metres of yarn into the piece, with the same allowances."""
    like = asked.like
    if like is None or like.size is None:
        return
    along, across = _lies(like.size, like.woven)
    long = on_loom(Said("cloth.length"), along, allowed.shrink_length)
    wide = on_loom(Said("cloth.width"), across, allowed.shrink_width)
    end, shot = end_for(long, allowed), shot_for(wide, allowed)
    for word, use, each, side in (("ends", "warp", end, wide), ("picks", "weft", shot, long)):
        metres = metres_in(asked.book, like, use)
        if metres is not None and metres.value:
            in_cm = product(Said("cloth.in_cm", what=metres.what), metres, a_metre())
            yield word, quotient(_PER_CM[word], in_cm, each, side, unit="per cm")


def metres_in(book: Book, piece: Piece, use: str) -> Figure | None:
    """Metres of yarn of one use in a piece, in one of a set; None where a lot does not tell."""
    terms = []
    for each in piece.yarns:
        if role(str(each.use)) != use:
            continue
        said, lot = use_words(use), each.lot or each.fleece
        what = Said("cloth.lot_of_use", use=said, piece=piece.number, lot=lot)
        thread = thread_of(book, str(each.lot)) if each.lot else None
        if each.length is not None:
            terms.append(given(what, each.length / 100, "m", each.length.place))
        elif thread is not None:
            weight = given(Said("cloth.weighed", what=what), each.weight, "g")
            terms.append(quotient(what, weight, thread, unit="m"))
        else:
            return None
    return of_one(piece, total(of_use(piece, use), terms, "m")) if terms else None


def of_one(piece: Piece, whole: Figure) -> Figure:
    """What one of the like things of a record took of all that went into them."""
    if not piece.makes:
        return whole
    makes = given(Said("step.makes"), piece.made, "", piece.makes.place)
    return quotient(whole.what, whole, makes, unit=whole.unit)


def of_use(piece: Piece, use: str) -> Said:
    """The yarn of one use in a piece, in words."""
    return Said("cloth.of_use", use=use_words(use), piece=piece.number)


def role(use: str) -> str:
    """What a yarn does in the cloth: warp, weft, both, or the maker's own first word."""
    words = use.replace(",", " ").split()
    if "warp" in words and "weft" in words:
        return "both"
    return next((word for word in ("warp", "weft", "pile") if word in words), " ".join(words[:1]))


def use_words(use: str) -> Said:
    """A role in words."""
    return named("use", use)


def thread_of(book: Book, lot: str) -> Figure | None:
    """Grams in a metre of a lot, by its length and weight or by its count; None if unknown."""
    yarn = book.yarns.get(base_yarn(book, lot))
    if yarn is None:
        return None
    what = Said("cloth.grams_a_metre", lot=yarn.name)
    if yarn.length and yarn.weight:
        weight = in_all(yarn.name, yarn.weight, "g", yarn.weight.place)
        said = Said("cloth.lot_length", lot=yarn.name)
        length = given(said, yarn.length / 100, "m", yarn.length.place)
        return quotient(what, weight, length, unit="g a metre")
    if not yarn.count:
        return None
    try:
        tex = parse_count(str(yarn.count))
    except Slip:
        return None
    said = Said("cloth.tex", lot=yarn.name, count=yarn.count)
    thread = given(said, tex, "g per 1000 m", yarn.count.place)
    return quotient(what, thread, given(Said("cloth.tex_metres"), 1000), unit="g a metre")
