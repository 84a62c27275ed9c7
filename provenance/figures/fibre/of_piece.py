"""The fibre content of a piece and its labels, from its record.

In: the book, a piece, the balance of its cloth. Out: shares of fibre in the cloth with the least
and the most that the record leaves open, and the label in each market that is asked for, lining
and other parts with it. A share is stated
where every possible mixture agrees with it (see `shares.agrees`). The rules of the markets and
their sources are in `label_us` and `label_eu`.
"""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from provenance.figures.cloth.balance import Balance, Grams
from provenance.figures.fibre.label_eu import eu_label
from provenance.figures.fibre.label_us import us_label
from provenance.figures.fibre.parts import fibres_beside, has_animal_parts
from provenance.figures.fibre.piecework import FibreLabel, Piecework
from provenance.figures.fibre.prompts import piece_prompts
from provenance.figures.fibre.shares import (
    FibrePart,
    FibreShare,
    agrees,
    bounded,
    fibre_of,
    is_cloth,
    shares,
)
from provenance.figures.flow.makeup import base_yarn, fleeces_of, use_composition
from provenance.figures.working import Figure, given, product
from provenance.problems import Said
from provenance.records.book import Book
from provenance.records.pieces import Piece, YarnUse
from provenance.reference.fibres import find_fibre

FOR_STRETCH = "elastane"  # named however little of it there is (15 USC 70b(b)(1))
STRAY = "stray fibres"
MARKETS = ("UK", "EU", "US")
Parts = tuple[FibrePart, ...]
InYarn = tuple[int, Fraction, FibrePart]


def piece_fibres(book: Book, piece: Piece, held: Balance) -> tuple[FibreShare, ...]:
    """The plain composition, falling. Raises Slip for a fibre that nobody knows."""
    in_yarns = _fibres_in(book, piece)
    stated = shares(_mixed(in_yarns, held.cloth, held.workings(piece)))
    in_cloth = [each for each in in_yarns if is_cloth(each[2])]
    return bounded(stated, [_percentages(in_cloth, cloth) for cloth in _ends(book, piece, held)])


def _percentages(fibres: Sequence[InYarn], cloth: Sequence[Fraction]) -> dict[str, Fraction]:
    """What share of a mixture each fibre has, in per cent."""
    masses: dict[str, Fraction] = {}
    for turn, share, part in fibres:
        if (grams := cloth[turn] * share) > 0:
            name = fibre_of(part).name
            masses[name] = masses[name] + grams if name in masses else grams
    whole = sum(masses.values(), Fraction(0)) / 100
    return {name: grams / whole for name, grams in masses.items()}


def markets_of(book: Book, piece: Piece) -> tuple[str, ...]:
    """Whose labels a piece needs: those of the studio, and of the outlets where it is."""
    outlets = [book.outlets[name] for name in piece.places if name in book.outlets]
    theirs = (market for outlet in outlets for market in outlet.labels_for)
    return tuple(dict.fromkeys(map(str, (*book.studio.labels_for, *theirs))))


def piece_labels(
    book: Book, piece: Piece, held: Balance, markets: Sequence[str]
) -> dict[str, FibreLabel]:
    """Market -> label, with all that is to be looked into; nothing where no fibre is known.

    Raises Slip for a fibre that nobody knows.
    """
    beside = fibres_beside(book, piece)
    work = piecework(book, piece, (*_taken(book, piece, held), *beside))
    if not work.counted():
        return {}
    mixtures = [(*parts, *beside) for parts in _mixtures(book, piece, held)]
    return {market: _with_prompts(book, piece, label(work, market, mixtures)) for market in markets}


def _with_prompts(book: Book, piece: Piece, made: FibreLabel) -> FibreLabel:
    """The reading of the law is said to be one last of all."""
    *own, last = made.prompts
    return replace(made, prompts=(*own, *piece_prompts(book, piece, made.market), last))


def label(work: Piecework, market: str, mixtures: Sequence[Parts] = ()) -> FibreLabel:
    """The fibre label of a piece in one market; `mixtures` are all that it may be made of.

    Raises Slip for a fibre that nobody knows.
    """
    if market not in MARKETS:
        raise ValueError(f"no label rules for {market}; known: {', '.join(MARKETS)}")
    made = _ruled(work, market)
    possible = (_ruled(replace(work, parts=parts), market) for parts in mixtures)
    if all(_says_the_same(made, other) for other in possible):
        return made
    return _ruled(replace(work, is_certain=False), market)


def fibre_parts(
    book: Book, piece: Piece, cloth: Sequence[Fraction], workings: Sequence[Figure] = ()
) -> tuple[FibrePart, ...]:
    """Every fibre of every yarn, for the labels; `cloth` is how much of each yarn is in the cloth.

    `workings` say how those grams were reached.
    """
    return _mixed(_fibres_in(book, piece), cloth, workings)


def _fibres_in(book: Book, piece: Piece) -> list[InYarn]:
    """Every fibre of every yarn: the turn of the yarn, the share, and all but its grams."""
    return [
        (turn, share, FibrePart(
            str(use.use), fibre, Fraction(0), use.weight.place,
            is_recycled=recycled, is_virgin=virgin,
            is_functional=_named(fibre, FOR_STRETCH), is_extraneous=_named(fibre, STRAY),
        ))
        for turn, use in enumerate(piece.yarns)
        for recycled, virgin in [(is_recycled(book, use), is_virgin(book, use))]
        for fibre, share in use_composition(book, use).items()
    ]  # fmt: skip


def _mixed(
    fibres: Sequence[InYarn], cloth: Sequence[Fraction], workings: Sequence[Figure] = ()
) -> Parts:
    """The fibres with so many grams of each yarn."""
    return tuple(
        replace(
            part,
            grams=cloth[turn] * share,
            working=_part_of(workings[turn], part.fibre, share) if workings else None,
        )
        for turn, share, part in fibres
    )


def _part_of(grams: Figure, fibre: str, share: Fraction) -> Figure:
    """The grams of one fibre of a yarn."""
    if share == 1:
        return grams
    of_it = given(Said("shares.in_yarn", fibre=Said("form.fibre", name=fibre)), share)
    return product(grams.what, grams, of_it, unit="g")


def is_recycled(book: Book, use: YarnUse) -> bool:
    """Whether the yarn or every fleece in it is recycled fibre."""
    if use.fleece:
        fleece = book.fleece.get(str(use.fleece))
        return bool(fleece and fleece.recycled)
    yarn = book.yarns.get(base_yarn(book, str(use.lot)))
    if yarn is None:
        return False
    fleeces = fleeces_of(book, yarn)
    return yarn.recycled or (bool(fleeces) and all(fleece.recycled for fleece in fleeces))


def is_virgin(book: Book, use: YarnUse) -> bool:
    """Whether the record vouches that the wool of a yarn is new: its fleeces, or its spinner.

    Wool blended before spinning with more than one other fibre may not be called so
    (Regulation (EU) No 1007/2011 Art. 8(2)).
    """
    others = [name for name in use_composition(book, use) if not _named(name, "wool", STRAY)]
    if len(others) > 1:
        return False
    if use.fleece:
        fleece = book.fleece.get(str(use.fleece))
        return bool(fleece and fleece.virgin)
    yarn = book.yarns.get(base_yarn(book, str(use.lot)))
    if yarn is None or yarn.recycled:
        return False
    fleeces = [fleece for fleece in fleeces_of(book, yarn) if "wool" in fleece.fibre]
    return yarn.virgin or (bool(fleeces) and all(fleece.virgin for fleece in fleeces))


def _named(fibre: str, *names: str) -> bool:
    known = find_fibre(fibre)
    return known is not None and known.name in names


def _spun(book: Book, piece: Piece) -> str:
    """Carded, where every yarn with stray fibres was carded here; else not known."""
    with_stray = [
        use for use in piece.yarns
        if any(_named(fibre, STRAY) for fibre in use_composition(book, use))
    ]  # fmt: skip
    lots = [(use, book.yarns.get(base_yarn(book, str(use.lot)))) for use in with_stray]
    carded = ("carding" in use.hours or (yarn and "carding" in yarn.hours) for use, yarn in lots)
    return "carded" if with_stray and all(carded) else ""


def piecework(book: Book, piece: Piece, parts: Parts) -> Piecework:
    """The piece as the label rules see it."""
    return Piecework(
        parts,
        str(piece.kind or "other"),
        str(piece.structure or ""),
        has_animal_parts=has_animal_parts(book, piece),
        spun=_spun(book, piece),
    )


def _ruled(work: Piecework, market: str) -> FibreLabel:
    return us_label(work) if market == "US" else eu_label(work, market)


def _says_the_same(stated: FibreLabel, found: FibreLabel) -> bool:
    by_name = {section.name: section.shares for section in found.sections}
    return len(by_name) == len(stated.sections) and all(
        agrees(section.shares, by_name.get(section.name, ())) for section in stated.sections
    )


def _taken(book: Book, piece: Piece, held: Balance) -> Parts:
    return fibre_parts(book, piece, held.cloth, held.workings(piece))


def _mixtures(book: Book, piece: Piece, held: Balance) -> list[Parts]:
    """What the piece may be made of: the least and the most of each fibre."""
    in_yarns = _fibres_in(book, piece)
    return [_mixed(in_yarns, cloth) for cloth in _ends(book, piece, held)]


def _ends(book: Book, piece: Piece, held: Balance) -> list[Grams]:
    """Grams of each yarn in the mixtures with the least and the most of each fibre."""
    compositions = [use_composition(book, use) for use in piece.yarns]
    fibres = dict.fromkeys(name for each in compositions for name in each)
    if len(fibres) < 2:
        return []
    ends = (held.ends([each.get(name, Fraction(0)) for each in compositions]) for name in fibres)
    return [cloth for pair in ends for cloth in pair]
