"""The public facts of a piece: an allow-list every tag, page and certificate is written from.

In: the setting and a piece. Out: `PieceFacts`, ready words and colours. A field that is not copied
here by name reaches no template: costs, returns, buyers, clients, places of storage, private notes
and addresses have no way in.
"""

from __future__ import annotations

from dataclasses import dataclass

from provenance.figures.colour.shades import accent, family
from provenance.figures.dyes.stages import dyes_of, history_words
from provenance.figures.fibre.of_piece import piece_fibres, piece_labels
from provenance.figures.fibre.shares import content_words
from provenance.figures.flow.strands import Strand, strands_of
from provenance.figures.light.of_piece import piece_light
from provenance.figures.light.words import brief_light, light_words, short_light
from provenance.public.describe import (
    availability,
    bought_line,
    care_of,
    dye_line,
    dye_species,
    edition_line,
    fleece_lines,
    hour_lines,
    mordant_line,
    price_lines,
    provenance_line,
    signed_line,
    statement_line,
)
from provenance.public.edge import Stripe, stripes_of
from provenance.public.lineage import Tree, tree_of
from provenance.public.setting import Setting
from provenance.records.pieces import Piece


@dataclass(frozen=True, slots=True)
class PhotoFacts:
    """A photo that may be shown; `file` names it in the record folder and is never published."""

    file: str
    view: str
    alt: str
    credit: str


@dataclass(frozen=True, slots=True)
class PieceFacts:
    """What may be said of a piece in public. Empty text: not recorded."""

    number: str
    title: str
    kind: str
    kind_word: str
    year: str
    finished: str
    size: str
    size_cm: str
    size_in: str
    weight: str
    structure: str
    fibres: str
    labels: tuple[tuple[str, str], ...]
    fleeces: tuple[str, ...]
    bought: str
    dyes: str
    dye_species: str
    dye_names: tuple[str, ...]
    mordants: str
    hours: tuple[str, ...]
    signed: str
    statement: str
    edition: str
    price: str
    price_note: str
    shows_price: bool
    state: str
    availability: str
    outlet: str
    care: tuple[str, ...]
    short_care: str
    light: tuple[str, ...]
    brief_light: tuple[str, ...]
    short_light: str
    story: str
    history: tuple[tuple[str, str], ...]
    provenance: str
    subject: str
    distinguishing: str
    photos: tuple[PhotoFacts, ...]
    stripes: tuple[Stripe, ...]
    tree: Tree
    accent: str
    accent_dark: str
    families: tuple[str, ...]
    is_draft: bool


def facts_of(setting: Setting, piece: Piece) -> PieceFacts:
    """The public facts of one piece."""
    book, phrases = setting.book, setting.phrases
    strands = strands_of(book, setting.flow, piece, setting.swatches)
    light = piece_light(book, piece)
    labels = piece_labels(book, piece)
    price, note, shows = price_lines(setting, piece)
    care, short = care_of(setting, piece)
    main = _main_colour(strands)
    return PieceFacts(
        number=str(piece.number),
        title=str(piece.title),
        kind=str(piece.kind or "other"),
        kind_word=phrases.say(f"kind.{piece.kind or 'other'}"),
        year=piece.year,
        finished=phrases.day(piece.finished) if piece.finished else "",
        size=phrases.size(piece.size) if piece.size else "",
        size_cm=phrases.size_cm(piece.size) if piece.size else "",
        size_in=phrases.size_in(piece.size) if piece.size else "",
        weight=phrases.mass(piece.weight) if piece.weight else "",
        structure=_capital(str(piece.structure or "")),
        fibres=_fibres(setting, piece),
        labels=tuple((market, phrases.label(market, each.text)) for market, each in labels.items()),
        fleeces=fleece_lines(setting, strands),
        bought=bought_line(setting, strands),
        dyes=dye_line(setting, piece),
        dye_species=dye_species(setting, piece),
        dye_names=tuple(dict.fromkeys(dye for s in strands for dye in dyes_of(s.stages))),
        mordants=mordant_line(setting, piece),
        hours=hour_lines(setting, piece),
        signed=signed_line(setting, piece),
        statement=statement_line(setting, piece, strands),
        edition=edition_line(setting, piece),
        price=price,
        price_note=note,
        shows_price=shows,
        state=piece.state,
        availability=availability(setting, piece),
        outlet=str(piece.at or ""),
        care=care,
        short_care=short,
        light=tuple(map(phrases.tell, light_words(light))),
        brief_light=tuple(map(phrases.tell, brief_light(light))),
        short_light=phrases.tell(short_light(light)),
        story=str(piece.story or ""),
        history=_history(setting, piece),
        provenance=provenance_line(setting, piece),
        subject=str(piece.subject or ""),
        distinguishing=str(piece.distinguishing or ""),
        photos=_photos(piece),
        stripes=stripes_of(strands, [_stripe_words(setting, strand) for strand in strands]),
        tree=tree_of(setting, piece, strands),
        accent=accent(main, on_white=True),
        accent_dark=accent(main, on_white=False),
        families=_families(strands),
        is_draft=piece.is_draft,
    )


def _fibres(setting: Setting, piece: Piece) -> str:
    shares = piece_fibres(setting.book, piece)
    return setting.phrases.tell(content_words(shares, _market(setting)))


def _history(setting: Setting, piece: Piece) -> tuple[tuple[str, str], ...]:
    return tuple(
        (setting.phrases.part_day(str(event.on)), str(event.event))
        for event in piece.history
        if event.public
    )


def _photos(piece: Piece) -> tuple[PhotoFacts, ...]:
    return tuple(
        PhotoFacts(str(p.file), str(p.view), str(p.alt or ""), str(p.credit or ""))
        for p in piece.photos
    )


def _market(setting: Setting) -> str:
    return "US" if setting.phrases.is_american else "UK"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _main_colour(strands: tuple[Strand, ...]) -> str:
    """The yarn that gives the page its accent: much of it, and far from grey."""
    from provenance.figures.colour.space import lab, lch

    def weight(strand: Strand) -> float:
        return float(strand.grams) * (lch(lab(strand.colour))[1] + 1)

    return max(strands, key=weight).colour if strands else "#5b4a3a"


def _families(strands: tuple[Strand, ...]) -> tuple[str, ...]:
    """Colour families of yarns that make up at least a tenth of the piece, most first."""
    whole = sum(strand.grams for strand in strands)
    grams: dict[str, float] = {}
    for strand in strands:
        word = family(strand.colour)
        grams[word] = grams.get(word, 0.0) + float(strand.grams)
    most = sorted(grams, key=lambda word: -grams[word])
    return tuple(word for word in most if grams[word] * 10 >= whole)


def _stripe_words(setting: Setting, strand: Strand) -> str:
    from provenance.public.setting import spoken

    dyes = setting.phrases.tell(history_words(strand.stages))
    said = dyes or setting.phrases.say("label.undyed")
    return f"{spoken(strand.lot)}, {said}, {setting.phrases.mass(strand.grams)}"
