"""The cloth of a commission on the loom: sett, allowances, ends, metres of warp and weft.

In: a commission, the finished piece it is scaled from, one size. Out: a `WarpPlan`, what was
allowed for, and where each number came from. The sett is the commission's own, else the one noted
on the piece, else worked out from the metres of yarn in it. Allowances that the commission does
not give are ours and say so. Sizes are height x width; the width is the width on the loom unless
the cloth is woven sideways.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from provenance.figures.cloth.weaving import (
    ClothPlan,
    WarpPlan,
    lengthened,
    on_loom,
    plan_cloth,
)
from provenance.figures.cloth.yarn import parse_count
from provenance.figures.flow.flow import Flow
from provenance.figures.flow.makeup import base_yarn
from provenance.figures.working import Figure, given, product, quotient, total
from provenance.problems import Slip
from provenance.records.amounts import Size
from provenance.records.book import Book
from provenance.records.commissions import Commission
from provenance.records.pieces import Piece

# What is taken where the commission says nothing: (amount, unit, why).
USUAL = {
    "take_up": (Fraction(10, 100), "", "our default: a shot takes the width and 10 % "
                "(comfortclothweaving.com, calculating weft)"),
    "shrink_width": (Fraction(5, 100), "", "our default; wash a sample and measure it"),
    "shrink_length": (Fraction(5, 100), "", "our default; wash a sample and measure it"),
    "loom_waste": (Fraction("91.44"), "cm", "our default: a yard (allfiberarts.com)"),
    "spare": (Fraction(15, 100), "", "our default: a natural lot cannot be matched again, so "
              "10 to 20 % more is spun and dyed in one bath (common practice)"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked for, and what it is answered from; `swatches` are colours measured."""

    book: Book
    flow: Flow
    commission: Commission
    like: Piece | None
    swatches: Mapping[str, str]
    today: date

    @property
    def kind(self) -> str:
        return str(self.commission.kind or (self.like and self.like.kind) or "")

    @property
    def structure(self) -> str:
        return str(self.commission.structure or (self.like and self.like.structure) or "")


@dataclass(frozen=True, slots=True)
class Allowed:
    """What weaving and finishing take; `assumed` names what the commission does not say."""

    take_up: Figure
    shrink_width: Figure
    shrink_length: Figure
    loom_waste: Figure
    spare: Figure
    assumed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SettFound:
    """Ends and picks to the centimetre; None where nothing tells them."""

    ends: Figure | None
    picks: Figure | None


def allowances(commission: Commission) -> Allowed:
    """The commission's allowances, with ours for what it does not say."""
    figures, assumed = {}, []
    for word, (usual, unit, why) in USUAL.items():
        spoken, own = word.replace("_up", "-up").replace("_", " "), getattr(commission.allow, word)
        if own is not None:
            figures[word] = given(spoken, own, unit, own.place)
        else:
            figures[word] = replace(given(spoken, usual, unit), note=why)
            assumed.append(f"{spoken} {_amount(usual, unit)} ({why})")
    return Allowed(**figures, assumed=tuple(assumed))


def _amount(amount: Fraction, unit: str) -> str:
    return f"{float(amount):g} {unit}" if unit else f"{float(amount * 100):g} %"


def lies(asked: Asked, size: Size) -> tuple[Figure, Figure]:
    """Finished length (with the warp) and width (across it) of a size."""
    own = asked.commission.woven or (asked.like.woven if asked.like else None)
    return _lies(size, is_sideways=own == "sideways")


def _lies(size: Size, *, is_sideways: bool) -> tuple[Figure, Figure]:
    along, across = (size.width, size.height) if is_sideways else (size.height, size.width)
    return (
        given("finished length", along, "cm", size.place),
        given("finished width", across, "cm", size.place),
    )


def cloth_on_loom(asked: Asked, allowed: Allowed, size: Size) -> WarpPlan | None:
    """The plan of one size; None where no sett is known."""
    found = sett_of(asked, allowed)
    if found.ends is None or found.picks is None:
        return None
    length, width = lies(asked, size)
    return plan_cloth(
        ClothPlan(
            length, width, found.ends, found.picks, allowed.take_up, allowed.shrink_width,
            allowed.shrink_length, allowed.loom_waste, allowed.spare,
        )
    )  # fmt: skip


def sett_of(asked: Asked, allowed: Allowed) -> SettFound:
    """The sett asked for, else the piece's own, else the one its yarn tells."""
    noted = [each.sett for each in (asked.commission, asked.like) if each and each.sett]
    worked = _sett_from_yarn(asked, allowed) if asked.like else {}
    found = {}
    for word in ("ends", "picks"):
        own = next((per for sett in noted if (per := getattr(sett, word)) is not None), None)
        stands = given(f"{word} per cm", own, "per cm", own.place) if own is not None else None
        found[word] = stands or worked.get(word)
    return SettFound(found["ends"], found["picks"])


def _sett_from_yarn(asked: Asked, allowed: Allowed) -> dict[str, Figure]:
    """Ends and picks that put so many metres of yarn into the piece, with the same allowances."""
    like = asked.like
    if like is None or like.size is None:
        return {}
    along, across = _lies(like.size, is_sideways=like.woven == "sideways")
    length = on_loom("length", along, allowed.shrink_length)
    width = on_loom("width", across, allowed.shrink_width)
    end = total(
        "length of an end",
        [lengthened("length with take-up", length, allowed.take_up), allowed.loom_waste],
    )
    shot = lengthened("a shot of weft with take-up", width, allowed.take_up)
    found = {}
    for word, use, each, side in (("ends", "warp", end, width), ("picks", "weft", shot, length)):
        metres = metres_in(asked.book, like, use)
        if metres is not None and metres.value:
            in_cm = product(
                f"{use} of {like.number}, in cm", metres, given("centimetres in a metre", 100)
            )
            found[word] = quotient(f"{word} per cm", in_cm, each, side, unit="per cm")
    return found


def metres_in(book: Book, piece: Piece, use: str) -> Figure | None:
    """Metres of yarn of one use in a piece; None where a lot does not tell its length."""
    terms = []
    for each in piece.yarns:
        if role(str(each.use)) != use:
            continue
        what = f"{use} of {piece.number}, {each.lot or each.fleece}"
        weight = given(f"{what}, weighed", each.weight, "g", each.weight.place)
        thread = thread_of(book, str(each.lot)) if each.lot else None
        if each.length is not None:
            terms.append(given(what, each.length / 100, "m", each.length.place))
        elif thread is not None:
            terms.append(quotient(what, weight, thread, unit="m"))
        else:
            return None
    return total(f"{use} of {piece.number}", terms, "m") if terms else None


def role(use: str) -> str:
    """What a yarn does in the cloth: warp, weft, both, or the maker's own first word."""
    words = use.replace(",", " ").split()
    if "warp" in words and "weft" in words:
        return "both"
    return next((word for word in ("warp", "weft", "pile") if word in words), " ".join(words[:1]))


def thread_of(book: Book, lot: str) -> Figure | None:
    """Grams in a metre of a lot, by its length and weight or by its count; None if unknown."""
    yarn = book.yarns.get(base_yarn(book, lot))
    if yarn is None:
        return None
    if yarn.length and yarn.weight:
        weight = given(f"{yarn.name} in all", yarn.weight, "g", yarn.weight.place)
        length = given(f"{yarn.name}, length", yarn.length / 100, "m", yarn.length.place)
        return quotient(f"{yarn.name}, grams in a metre", weight, length, unit="g a metre")
    if not yarn.count:
        return None
    try:
        tex = given(f"{yarn.name} ({yarn.count}), tex", parse_count(str(yarn.count)).tex,
                    "g per 1000 m", yarn.count.place)  # fmt: skip
    except Slip:
        return None
    thousand = given("metres that tex is told for", 1000)
    return quotient(f"{yarn.name}, grams in a metre", tex, thousand, unit="g a metre")
