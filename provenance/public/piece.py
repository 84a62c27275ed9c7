"""The public facts of a piece: an allow-list every tag, page and certificate is written from.

In: the view and a worked-out piece. Out: `PublicPiece`, ready words, colours and measures. What is
not copied here by name can't be said: costs, returns, buyers, clients, places of storage, private
notes and addresses have no way in.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from provenance.figures.colour.shades import accent, family
from provenance.figures.colour.space import lab, lch
from provenance.figures.dyes.stages import dyes_of
from provenance.figures.flow.strands import Strand, edge_of
from provenance.figures.light.dossier import dossier
from provenance.figures.light.words import brief_light, calm_light, ranged_light, short_light
from provenance.figures.working import half_up
from provenance.public import describe
from provenance.public.been import Told, been
from provenance.public.cloth import cloth_lines, edition_line, mount_line
from provenance.public.edge import Stripe, stripes_of
from provenance.public.glass import PublicSight, PublicYarn, sights_of, yarns_of
from provenance.public.label import Content, FibreMass, content_of, masses_of
from provenance.public.lineage import Tree, tree_of
from provenance.public.making.steps import Making
from provenance.public.making.trail import making_of
from provenance.public.names import capital
from provenance.public.shapes import Size
from provenance.public.view import View
from provenance.records.checks_names import photo_path
from provenance.records.days import by_then
from provenance.records.photos import Photo
from provenance.records.pieces import FOR_SALE, KINDS, Piece
from provenance.studio import Worked

_NO_COLOUR = "#5b4a3a"
__all__ = ["KINDS", "PhotoFacts", "PublicPiece", "public_piece"]


@dataclass(frozen=True, slots=True)
class PhotoFacts:
    """A photo that may be shown; `file` names it in the record folder and is never published.

    `across` is how many cm of cloth it shows from left to right, where that was measured.
    """

    file: str
    view: str
    alt: str
    credit: str
    across: Fraction | None = None

    @property
    def path(self) -> str:
        """Where it lies in the record folder."""
        return photo_path(self.file)


@dataclass(frozen=True, slots=True)
class PublicPiece:
    """What may be said of a piece in public. Empty text: not recorded.

    `dated` is the day it was finished, as far as it is known (`2019`, `2019-04`), `by` the last day
    that this may mean. `before_records` says that a piece was made before records were kept, where
    that is so; `recalled` what its maker remembers it is made of. `measures` are in cm, `hook` in
    cm above the top edge, `grams` in g, `amount` is the price in the studio's currency: for data
    that programs read. `cloth` is what a registrar asks: sett, yarns, direction on the loom;
    `keeping` what a gallery reads of climate and moth. Of a set all is of one; `made` and `left`
    say how many there are, `price_each` that the price is of one. `been` is its provenance as a
    dated list; `seen_at` are the outlets named in `availability`, each with its words there;
    `shades` what each dye gave in this piece alone. `made_of` are the fibres, `masses` the
    same by weight, and `from_fleeces` the fleece lots in it.
    """

    number: str
    title: str
    kind: str
    kind_word: str
    year: str
    finished: str
    dated: str
    by: date | None
    before_records: str
    recalled: str
    size: str
    size_cm: str
    size_in: str
    weight: str
    structure: str
    technique: str
    cloth: tuple[str, ...]
    mount: str
    content: Content
    fleeces: tuple[str, ...]
    bought: str
    dyes: str
    dye_species: str
    dye_names: tuple[str, ...]
    shades: tuple[tuple[str, tuple[Stripe, ...]], ...]
    mordants: str
    hours: tuple[str, ...]
    signed: str
    statement: str
    edition: str
    made: int
    left: int
    set_line: str
    price: str
    price_each: str
    price_note: str
    shows_price: bool
    state: str
    availability: str
    outlets: tuple[str, ...]
    seen_at: tuple[tuple[str, str], ...]
    care: tuple[str, ...]
    short_care: str
    keeping: tuple[str, ...]
    light: tuple[str, ...]
    light_range: tuple[str, ...]
    brief_light: tuple[str, ...]
    short_light: str
    light_sources: tuple[str, ...]
    story: str
    history: tuple[tuple[str, str], ...]
    provenance: str
    unnamed_provenance: str
    been: tuple[Told, ...]
    subject: str
    distinguishing: str
    photos: tuple[PhotoFacts, ...]
    stripes: tuple[Stripe, ...]
    yarns: tuple[PublicYarn, ...]
    tree: Tree
    accent: str
    accent_dark: str
    families: tuple[str, ...]
    is_draft: bool
    day: date | None
    measures: Size | None
    hook: Fraction | None
    grams: Fraction | None
    amount: Fraction | None
    made_of: tuple[str, ...]
    masses: tuple[FibreMass, ...]
    from_fleeces: tuple[tuple[str, Fraction], ...]
    making: Making

    @property
    def fibres(self) -> str:
        """What it is made of, wherever it is described."""
        return self.content.fibres

    @property
    def label(self) -> str:
        """Its fibre labels in one line."""
        return "; ".join(self.content.labels)

    @property
    def sights(self) -> tuple[PublicSight, ...]:
        """What photos may name of its yarns."""
        return sights_of(self.yarns)

    @property
    def for_sale(self) -> bool:
        """Whether it has a price for buyers."""
        return self.state in FOR_SALE


def public_piece(view: View, worked: Worked) -> PublicPiece:
    """The public facts of one piece. Raises Slip for what nobody can know of it."""
    piece, phrases, strands, light = worked.record, view.phrases, worked.strands, worked.light
    price, note, shows = describe.price_lines(view, worked)
    care, short = describe.care_of(view, worked, short_light(light))
    return PublicPiece(
        number=worked.number, title=str(piece.title),
        kind=str(piece.kind or "other"),
        kind_word=phrases.say(f"kind.{piece.kind or 'other'}"),
        year=piece.year,
        finished=phrases.part_day(piece.finish) if piece.finish else "",
        dated=str(piece.finish or piece.year), by=_by(piece),
        before_records=phrases.say("page.before_records") if piece.is_recalled else "",
        recalled=capital(" ".join(str(piece.made_of or "").split())),
        size=phrases.size(piece.size) if piece.size else "",
        size_cm=phrases.size_cm(piece.size) if piece.size else "",
        size_in=phrases.size_in(piece.size) if piece.size else "",
        weight=phrases.mass(piece.weight) if piece.weight else "",
        structure=capital(str(piece.structure or "")),
        technique=view.phrases.inside(str(piece.structure or "")),
        cloth=cloth_lines(view, worked), mount=mount_line(view, worked),
        content=content_of(view, worked),
        fleeces=describe.fleece_lines(view, worked),
        bought=describe.bought_line(view, worked),
        dyes=describe.dye_line(view, worked),
        dye_species=describe.dye_species(view, worked),
        dye_names=tuple(dict.fromkeys(dye for s in strands for dye in dyes_of(s.stages))),
        shades=tuple(_shades(strands)), mordants=describe.mordant_line(view, worked),
        hours=describe.hour_lines(view, worked),
        signed=capital(str(piece.signed or view.book.studio.mark or "")),
        statement=describe.statement_line(view, worked), edition=edition_line(view, worked),
        made=piece.made, left=piece.left, set_line=describe.set_line(view, piece),
        price_each=describe.each(view, piece, price),
        price=price, price_note=note, shows_price=shows,
        state=piece.state, is_draft=piece.is_draft,
        availability=describe.availability(view, worked),
        outlets=tuple(filter(None, piece.standing)), seen_at=describe.seen_at(view, piece),
        care=care, short_care=short, keeping=describe.keeping_of(view, worked),
        light=tuple(map(phrases.tell, calm_light(light))) if strands else (),
        light_range=tuple(map(phrases.tell, ranged_light(light))) if strands else (),
        brief_light=tuple(map(phrases.tell, brief_light(light))) if strands else (),
        short_light=phrases.tell(short_light(light)) if strands else "",
        light_sources=tuple(map(phrases.tell, dossier(light))),
        story=str(piece.story or ""), history=_history(view, piece),
        provenance=describe.provenance_line(view, worked),
        unnamed_provenance=describe.provenance_line(view, worked, names_owner=False),
        been=been(view, worked),
        subject=str(piece.subject or ""), distinguishing=str(piece.distinguishing or ""),
        photos=tuple(_photo(view, piece, each) for each in piece.photos),
        stripes=stripes_of(edge_of(view.book, piece, worked.studio.swatches, strands)),
        tree=tree_of(view, worked), yarns=yarns_of(view, worked),
        accent=accent(_main_colour(strands), on_white=True),
        accent_dark=accent(_main_colour(strands), on_white=False),
        families=_families(strands),
        day=piece.finished, measures=piece.size, hook=_plain(piece.hook), grams=piece.weight,
        amount=_amount(worked),
        made_of=tuple(str(share.fibre) for share in worked.fibres), masses=masses_of(worked),
        from_fleeces=tuple(_fleeces(worked)),
        making=making_of(view, worked),
    )  # fmt: skip


def _by(piece: Piece) -> date | None:
    known = piece.finish or (piece.year if piece.earlier and not piece.missing else "")
    return by_then(known) if known else None


def _photo(view: View, piece: Piece, photo: Photo) -> PhotoFacts:
    """A photo that no record names is called after its piece."""
    alt, credit = str(photo.alt or ""), str(photo.credit or "")
    if photo.is_found:
        kind = view.phrases.say(f"kind.{piece.kind or 'other'}")
        alt = view.phrases.say("page.photo_of", title=piece.title, kind=kind)
    return PhotoFacts(str(photo.file), str(photo.view), alt, credit, _plain(photo.across))


def _plain(length: Fraction | None) -> Fraction | None:
    """A length without the place where it was read."""
    return None if length is None else Fraction(length)


def _shades(strands: Sequence[Strand]) -> Iterator[tuple[str, tuple[Stripe, ...]]]:
    """Each dye with the colours of the yarns here that carry it, by grams."""
    for dye in dict.fromkeys(dye for each in strands for dye in dyes_of(each.stages)):
        yield dye, stripes_of((s.colour, s.grams) for s in strands if dye in dyes_of(s.stages))


def _fleeces(worked: Worked) -> Iterator[tuple[str, Fraction]]:
    for lot, grams in worked.load.grams.items():
        if lot.kind == "fleece" and grams:
            yield lot.name, grams


def _amount(worked: Worked) -> Fraction | None:
    """The price as it is printed, to the currency's decimals."""
    if not describe.has_price(worked.record):
        return None
    return Fraction(half_up(worked.cost.price.value, worked.cost.minor))


def _history(view: View, piece: Piece) -> tuple[tuple[str, str], ...]:
    told = (event for event in piece.history if event.public)
    return tuple((view.phrases.part_day(str(each.on)), str(each.event)) for each in told)


def _main_colour(strands: Sequence[Strand]) -> str:
    """The yarn that gives the page its accent: much of it, and far from grey."""

    def weight(strand: Strand) -> float:
        return float(strand.grams) * (lch(lab(strand.colour))[1] + 1)

    return max(strands, key=weight).colour if strands else _NO_COLOUR


def _families(strands: Sequence[Strand]) -> tuple[str, ...]:
    """Colour families of yarns that make up at least a tenth of the piece, most first."""
    whole = sum(strand.grams for strand in strands)
    grams: dict[str, float] = {}
    for strand in strands:
        word = family(strand.colour)
        grams[word] = grams.get(word, 0.0) + float(strand.grams)
    most = sorted(grams, key=lambda word: -grams[word])
    return tuple(word for word in most if grams[word] * 10 >= whole)
