"""What the figures find worth saying about the records: balance, dyeing, weights, claims.

In: the book and its flow. Out: problems (a lot overdrawn, a piece heavier than its yarn, a claim
the record can't bear) and remarks (the dye day, protected fibres, prices) with their places.
Ranges and hazards come with the source of the reference table they stand in.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from fractions import Fraction
from functools import partial

from provenance.figures.cloth.balance import Balance, balance
from provenance.figures.dyes.dye_day import check_bath, check_in_place, check_wild, told_once
from provenance.figures.fibre.claims import REFUSE, Facts, claims_in
from provenance.figures.fibre.of_piece import fibre_parts, piece_fibres
from provenance.figures.fibre.origin import origin_of
from provenance.figures.fibre.parts import fibres_beside, part_grams
from provenance.figures.fibre.protected import check_protected
from provenance.figures.fibre.shares import content_words, fibre_of
from provenance.figures.flow.flow import Flow, overdrawn
from provenance.figures.flow.gather import expected_yarn
from provenance.figures.flow.sundries import sundries_of
from provenance.figures.hanging_checks import check_hanging
from provenance.figures.light.window import check_light_tests
from provenance.figures.quotation.cloth import role
from provenance.figures.reviewed import Looked, Looks, Reviewed
from provenance.figures.working import Number
from provenance.problems import Place, Problem, Said, Words
from provenance.records.baths import Bath
from provenance.records.book import Book
from provenance.records.pieces import Piece
from provenance.records.text import Written
from provenance.reference.sourced import cited

Found = Iterator[Problem]


def review_figures(book: Book, flow: Flow, reviewed: Reviewed | None = None) -> tuple[Problem, ...]:
    """Everything the figures find, in order of place.

    What nothing was found in when it was `reviewed` is passed over; the flow is then not asked for.
    """
    with figures_begun(book, flow, reviewed) as found:
        return found()


@contextmanager
def figures_begun(
    book: Book, flow: Flow, reviewed: Reviewed | None = None
) -> Iterator[Callable[[], tuple[Problem, ...]]]:
    """The same, when it is asked for; what takes longest may be done beside us until then."""
    pieces = book.pieces.values()
    planned = {str(piece.number) for piece in pieces if piece.state == "in progress"}
    looks = (reviewed or Reviewed()).of(book)
    with looks.at_all(partial(overdrawn, flow, planned)) as of_all:
        yield lambda: tuple(sorted({*_found(book, looks), *of_all()}))


def _found(book: Book, looks: Looks) -> Found:
    for check in CHECKS:
        yield from check(book)
    yield from told_once(_one_by_one(book, looks))


def _one_by_one(book: Book, looks: Looks) -> Found:
    """Every bath, then every piece."""
    records: list[Looked] = [*book.baths.values(), *book.pieces.values()]
    return looks.at_each(records, partial(_of_record, book))


def _of_record(book: Book, record: Looked) -> Found:
    return check_bath(book, record) if isinstance(record, Bath) else _of_piece(book, record)


def _of_piece(book: Book, piece: Piece) -> Found:
    for check in CHECKS_OF_A_PIECE:
        yield from check(book, piece)


def _remark(place: Place, what: Said, remedy: Words = "") -> Problem:
    return Problem(place, what, remedy, is_remark=True)


def check_weight(book: Book, piece: Piece) -> Found:
    """A finished piece is no heavier than its yarn and sundries."""
    if piece.weight is None or not piece.yarns:
        return
    went_in = sum((use.weight for use in piece.yarns), Fraction(0))
    weighed = piece.weight * piece.made
    if weighed > went_in + _sundry_grams(book, piece):
        told = {"grams": _grams(weighed), "yarn": _grams(went_in), "made": piece.made}
        which = "set_too_heavy" if piece.makes else "too_heavy"
        said = Said(f"review.{which}", number=str(piece.number), **told)
        yield Problem(piece.weight.place, said, Said("review.look_at_yarns"))


def _grams(value: Number, places: int = 1) -> Said:
    return Said("form.ungrouped", value=value, places=places)


def _sundry_grams(book: Book, piece: Piece) -> Fraction:
    """Grams of parts and sundries; what nobody weighed is given a generous weight (ours)."""
    grams = part_grams(piece)
    for name, use in sundries_of(book, piece).items():
        sundry = book.sundries.get(name)
        each = sundry.weighs if sundry and sundry.weighs else UNWEIGHED[use.unit]
        grams += each * use
    return grams


# The most a sundry may weigh that nobody weighed: a gram is a gram, a centimetre of the heaviest
# lining, a cushion pad or an oak bar counted by the piece.
UNWEIGHED = {"g": Fraction(1), "cm": Fraction(10), "": Fraction(3000)}


def check_cloth(book: Book, piece: Piece) -> Found:
    """What went in is in the cloth or left over, and what the piece is made of can be stated."""
    if piece.state == "in progress" or not piece.yarns:
        return
    held = balance(book, piece)
    is_heavier_than_all = (piece.weight or 0) * piece.made > sum(held.put_in)
    if held.is_off and piece.weight is not None and not is_heavier_than_all:
        about = {"number": str(piece.number), "grams": _grams(abs(held.apart))}
        which = "lighter" if held.apart < 0 else "heavier"
        said = Said(f"review.{which}", **about)
        yield _remark(piece.weight.place, said, Said("review.weigh_waste"))
    elif not all(share.is_certain for share in piece_fibres(book, piece, held)):
        yield _unsure(piece, held)


def _unsure(piece: Piece, held: Balance) -> Problem:
    """The yarn of which least is known, and what to weigh."""
    open_by = [high - low for low, high in zip(held.least, held.most, strict=True)]
    is_warp = [role(str(use.use)) == "warp" for use in piece.yarns]  # it leaves most over
    turn = max(range(len(open_by)), key=lambda each: (open_by[each], is_warp[each]))
    use = piece.yarns[turn]
    said = Said(
        "review.cloth_unsure", number=str(piece.number), lot=str(use.lot or use.fleece),
        least=_grams(held.least[turn]), most=_grams(held.most[turn]),
    )  # fmt: skip
    remedy = "write_waste" if piece.weight is not None else "weigh_piece"
    return _remark(use.weight.place, said, Said(f"review.{remedy}"))


def check_spinning(book: Book) -> Found:
    """More yarn came out than the fleece put in could give."""
    for yarn in book.yarns.values():
        whole = sum((grams or Fraction(0) for grams in (yarn.fleece or {}).values()), Fraction(0))
        if yarn.weight is not None and whole and yarn.weight > whole:
            said = Said("review.too_much_yarn", yarn=_grams(yarn.weight), fleece=_grams(whole))
            yield Problem(yarn.weight.place, said, Said("review.in_the_grease"))
        expected = expected_yarn(book, yarn)
        if yarn.weight and expected and yarn.weight < whole:
            ratio = yarn.weight / expected
            if not Fraction(7, 10) <= ratio <= Fraction(13, 10):
                given = _grams(expected, 0)
                said = Said("review.other_yield", yarn=_grams(yarn.weight), expected=given)
                yield _remark(yarn.weight.place, said, Said("review.measured_is_used"))


def check_claims(book: Book, piece: Piece) -> Found:
    """Words in stories and care texts that the record does not bear out."""
    # Facts only take claims away, and are dear to work out: most stories make none.
    texts = [text for text in (piece.story, piece.care) if text and claims_in(text, Facts())]
    facts = facts_for_claims(book, piece) if texts else Facts()
    for text in texts:
        for claim in claims_in(text, facts):
            source = cited(claim.source)
            what = Said("review.claim", word=claim.word, reason=claim.reason, source=source)
            place = _line_of(text, claim.line)
            yield Problem(place, what, claim.instead, is_remark=claim.weight != REFUSE)


def _line_of(text: Written, line: int) -> Place:
    """Where a line of a text stands; text in one run is placed by its start."""
    if not text.block:
        return text.place
    return Place(text.place.file, text.place.line + line, 1)


def facts_for_claims(book: Book, piece: Piece) -> Facts:
    """What a piece's record can bear out."""
    held = balance(book, piece)
    cloth = tuple(part for part in fibre_parts(book, piece, held.cloth) if part.grams)
    content = content_words(piece_fibres(book, piece, held)) if cloth else ""
    parts = (*cloth, *fibres_beside(book, piece))
    wool = [part for part in parts if fibre_of(part).group == "wool"]
    origin = origin_of(book, piece)
    return Facts(
        fibres=frozenset(fibre_of(part).name for part in parts),  # tussah is silk
        content=content,
        origins=(origin,) if origin and isinstance(origin, str) else (),
        has_recycled=any(part.is_recycled for part in parts),
        is_virgin=bool(wool) and all(part.is_virgin for part in wool),
    )


def check_finishing(_book: Book, piece: Piece) -> Found:
    """Finishing takes hours: a piece with none was probably not noted."""
    if piece.finished and piece.hours and not (FINISHING | {"making"}) & set(piece.hours):
        said = Said("review.no_finishing", number=str(piece.number))
        yield _remark(piece.number.place, said, Said("review.add_finishing"))


FINISHING = frozenset(
    ("finishing", "fringe", "fringing", "washing", "fulling", "hemming", "making up", "sewing")
)

# A look at a piece sees the piece, the studio and what it draws from; never another piece
# (`reviewed` passes over what was looked at before).
CHECKS_OF_A_PIECE: tuple[Callable[[Book, Piece], Found], ...] = (
    check_in_place,
    check_weight,
    check_cloth,
    check_claims,
    check_finishing,
)
CHECKS: tuple[Callable[[Book], Found], ...] = (
    check_wild,
    check_protected,
    check_spinning,
    check_light_tests,
    check_hanging,
)
