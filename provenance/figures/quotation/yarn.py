"""The yarns of a commission: metres and grams of each, with the colours that are planned.

In: what is asked, one size, its plan on the loom. Out: `Strand`s of warp and weft, each with its
grams, and again with the spare. Metres become grams by the lot's own length and weight, or by its
count; where neither is known, grams go by area from the piece it is scaled from. Shares of colours
are of the weft (or of the use they name); a colour that is the warp's own lot takes the warp, and
the others share the weft. What the shares leave over stays undyed.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.cloth.weaving import Allowed, WarpPlan, lengthened
from provenance.figures.colour.match import Match, nearest
from provenance.figures.dyes.recipes import recipes
from provenance.figures.flow.makeup import UNDYED, base_yarn, colour_of
from provenance.figures.quotation.cloth import Asked, of_one, of_use, role, thread_of, use_words
from provenance.figures.working import Figure, difference, given, product, quotient, total
from provenance.problems import Said, Slip, Words
from provenance.records.amounts import Size
from provenance.records.commissions import PlannedColour
from provenance.records.pieces import Piece, YarnUse

NEAREST = 3  # recipes shown for a colour that is not in the dye book


@dataclass(frozen=True, slots=True)
class Strand:
    """One yarn of the new piece. `lot` is a lot on record or ''; `near` a colour asked for, with
    the recipes nearest to it; `base` is the undyed yarn, or the fleece it would be spun from;
    `recipe` names the recipe of its colour, '' where it is not dyed."""

    use: str
    lot: str
    base: str
    colour: str
    metres: Figure | None
    grams: Figure
    with_spare: Figure
    recipe: str = ""
    near: str = ""
    nearest: tuple[Match, ...] = ()

    @property
    def name(self) -> Words:
        """The lot, or the colour asked for."""
        return _name(self.lot, self.near)


def _name(lot: str, near: str) -> Words:
    return lot or Said("step.near", colour=near)


@dataclass(frozen=True, slots=True)
class _Colour:
    """A planned colour: a lot (or fleece), or near a colour; with its share of the use."""

    lot: str
    share: Figure
    near: str = ""
    recipe: str = ""


@dataclass(frozen=True, slots=True)
class _Amount:
    """How much of one use: metres where the loom tells them, grams where the old piece does."""

    use: str
    metres: Figure | None
    grams: Figure | None


def strands_for(
    asked: Asked, allowed: Allowed, size: Size, plan: WarpPlan | None
) -> tuple[Strand, ...]:
    """Every yarn of one size, warp last; Slip where its grams cannot be told."""
    found: list[Strand] = []
    by_use = {"warp": plan.warp, "weft": plan.weft, "both": plan.yarn} if plan else {}
    for use in uses_of(asked):
        amount = _Amount(use, by_use.get(use), _by_area(asked.like, size, use))
        found += [_strand(asked, allowed, amount, each) for each in _colours(asked, use)]
    return tuple(sorted(found, key=lambda strand: strand.use == "warp"))


def uses_of(asked: Asked) -> tuple[str, ...]:
    """The uses of yarn in the new piece: those of the old one, those the commission names."""
    old = [role(str(each.use)) or "weft" for each in asked.like.yarns] if asked.like else []
    named = [role(str(use)) for use in asked.commission.yarn]
    uses = dict.fromkeys([*old, *named])
    if "both" in uses and ("warp" in uses or "weft" in uses):
        uses = dict.fromkeys(use for use in (*uses, "warp", "weft") if use != "both")
    if not uses:
        raise Slip(Said("quote_slip.no_yarn"), Said("quote_slip.write_yarn"))
    return tuple(uses)


def _uses_in(piece: Piece, use: str) -> list[tuple[YarnUse, Figure]]:
    """The yarns of one role in a piece with their weights; those without a word are weft."""
    return [
        (each, given(str(each.lot or each.fleece), each.weight, "g"))
        for each in piece.yarns
        if (role(str(each.use)) or "weft") == use
    ]


def _by_area(like: Piece | None, size: Size, use: str) -> Figure | None:
    """Grams of one use, in proportion to the area, from a piece made before."""
    if like is None or like.size is None or not (weighed := _uses_in(like, use)):
        return None
    grams = of_one(like, total(of_use(like, use), [weight for _, weight in weighed], "g"))
    times = times_area(like, like.size, size)
    return product(Said("step.by_area", use=use_words(use)), grams, times, unit="g")


def times_area(like: Piece, its: Size, size: Size) -> Figure:
    """How many times the area of a piece made before, whose size is known."""
    new = given(Said("step.this_area"), size.area, "cm²", size.place)
    old = given(Said("step.area_of", piece=like.number), its.area, "cm²", its.place)
    return quotient(Said("step.times_area", piece=like.number), new, old)


def _colours(asked: Asked, use: str) -> Iterator[_Colour]:
    """The colours of one use with their shares: planned ones, else the old piece's, else plain."""
    planned = [each for each in asked.commission.colours if _use_of(asked, each) == use]
    plain_lot = next(iter(_lots_for(asked, use)), "")
    if planned:
        has_own_warp = len(planned) < len(asked.commission.colours)
        yield from _shared(planned, plain_lot, is_whole=has_own_warp or use == "warp")
    elif plain_lot:
        yield _Colour(plain_lot, given(Said("step.all_of_it"), 1))
    elif asked.like:
        yield from _old_colours(asked.like, use)


def _lots_for(asked: Asked, use: str) -> list[str]:
    """The lots that the commission names for a use."""
    yarn = asked.commission.yarn.items()
    return [str(lot) for word, lot in yarn if role(str(word)) == use]


def _use_of(asked: Asked, colour: PlannedColour) -> str:
    if colour.use:
        return role(str(colour.use))
    if colour.lot and str(colour.lot) in _lots_for(asked, "warp"):
        return "warp"
    uses = uses_of(asked)
    if asked.like and "pile" in uses:
        return "pile"
    return next((use for use in ("weft", "both") if use in uses), uses[0])


def _shared(planned: list[PlannedColour], plain_lot: str, *, is_whole: bool) -> Iterator[_Colour]:
    """Shares as written; those without one share what is left; a rest stays undyed."""
    said = sum((Fraction(each.share) for each in planned if each.share is not None), Fraction(0))
    unsaid = sum(each.share is None for each in planned)
    rest = max(1 - said, Fraction(0))
    whole = said if is_whole and not unsaid else max(said, Fraction(1))
    shares = [_share_of(each, rest / (unsaid or 1)) for each in planned]
    for each, share in zip(planned, shares, strict=True):
        own = share
        if whole not in (0, 1):
            what = Said("step.of_all", what=share.what)
            own = quotient(what, share, given(Said("step.all_shares"), whole))
        yield _Colour(str(each.lot or ""), own, str(each.near or ""))
    if rest and not unsaid and not is_whole and plain_lot:
        left = difference(Said("step.undyed"), given(Said("cloth.whole"), 1), *shares)
        yield _Colour(plain_lot, left)


def _share_of(colour: PlannedColour, rest: Fraction) -> Figure:
    what = Said("step.share_of", what=colour.lot or colour.near)
    if colour.share is not None:
        return given(what, colour.share)
    return given(what, rest, "", colour.record_place)


def _old_colours(like: Piece, use: str) -> Iterator[_Colour]:
    weighed = _uses_in(like, use)
    whole = total(of_use(like, use), [weight for _, weight in weighed], "g")
    for each, weight in weighed:
        in_place = each.dyes or each.mordants or each.after
        turn = next(turn for turn, one in enumerate(like.yarns) if one is each)
        recipe = like.name_in_place(turn) if in_place else ""
        share = quotient(Said("step.share_of", what=weight.what), weight, whole)
        yield _Colour(str(weight.what), share, recipe=recipe)


def _strand(asked: Asked, allowed: Allowed, amount: _Amount, colour: _Colour) -> Strand:
    """One colour of one use."""
    book, lot, near = asked.book, colour.lot, colour.near
    base = base_yarn(book, lot) if lot else _plain_yarn(asked, amount.use)
    metres, grams = _weighed(asked, amount, base, colour.share, _name(lot, near))
    matches: tuple[Match, ...] = ()
    if near:
        swatched = [(each.lot, each.colour) for each in recipes(book, asked.swatches)]
        matches = tuple(nearest(near, swatched)[:NEAREST])
    recipe = matches[0].name if matches else colour.recipe or (lot if lot != base else "")
    with_spare = lengthened(Said("step.with_spare", what=grams.what), grams, allowed.spare)
    shown = near or colour_of(book, lot, asked.swatches) or UNDYED
    return Strand(amount.use, lot, base, shown, metres, grams, with_spare, recipe, near, matches)


def _plain_yarn(asked: Asked, use: str) -> str:
    """The yarn that a colour not yet made would be dyed on."""
    if lots := _lots_for(asked, use):
        return base_yarn(asked.book, lots[0])
    old = [each for each in asked.like.yarns if each.lot] if asked.like else []
    same = [each for each in old if (role(str(each.use)) or "weft") == use]
    heaviest = max(same or old, key=lambda each: each.weight, default=None)
    if heaviest is None:
        what = Said("quote_slip.no_plain_yarn", use=use_words(use))
        raise Slip(what, Said("quote_slip.write_plain_yarn", use=use))
    return base_yarn(asked.book, str(heaviest.lot))


def _weighed(
    asked: Asked, amount: _Amount, base: str, share: Figure, name: Words
) -> tuple[Figure | None, Figure]:
    """Metres and grams of one strand; Slip where neither the lot nor an old piece tells them."""
    metres = None
    if amount.metres is not None:
        metres = product(Said("step.metres", what=name), amount.metres, share, unit="m")
        if (thread := thread_of(asked.book, base)) is not None:
            return metres, product(name, metres, thread, unit="g")
    if amount.grams is not None:
        return metres, product(name, amount.grams, share, unit="g")
    if metres is not None:
        what = Said("quote_slip.no_length", lot=base)
        raise Slip(what, Said("quote_slip.write_length", lot=base))
    what = Said("quote_slip.no_amount", use=use_words(amount.use))
    raise Slip(what, Said("quote_slip.write_sett"))
