"""Single facts of a piece in the studio's language: dyes, mordants, hours, price, place, care.

In: the view and a worked-out piece. Out: short lines of text. Rules of the museum's provenance
line: earliest owner first, `;` for a direct passage, `.` where none is known, dealers in brackets,
owners named only by consent (AAM guide, as quoted at museumprovenance.org).
"""

from fractions import Fraction

from provenance.figures.care import Cloth, care_words, keeping_words, short_care
from provenance.figures.dyes.stages import dye_words, helps_in
from provenance.figures.flow.makeup import true_mordants, use_composition
from provenance.figures.money.terms import tax_on_top
from provenance.figures.working import half_up
from provenance.language.phrases import Phrases
from provenance.problems import Said
from provenance.public.names import (
    capital,
    farm_of,
    fleece_name,
    inside,
    is_shorn,
    outlet_title,
    spelled,
)
from provenance.public.view import View
from provenance.records.lots import Fleece, Outlet
from provenance.records.pieces import Piece
from provenance.records.sales import Sale
from provenance.reference.dyes import find_dye
from provenance.studio import Worked

HOURS_SHOWN = Fraction(1, 4)


def dye_line(view: View, worked: Worked) -> str:
    """How the yarns were dyed: Weld, then indigo; madder."""
    said = view.phrases.tell(dye_words(view.book, worked.record))
    return capital(said if "," in said else said.replace("; ", ", "))


def dye_species(view: View, worked: Worked) -> str:
    """Every dye with its species: Weld (Reseda luteola), madder (Rubia tinctorum)."""
    said = []
    for dye in worked.dyes:
        row = find_dye(dye.species or dye.name)
        species = dye.species or (row.species[0] if row and row.species else "")
        name = view.phrases.stuff(dye.name)
        said.append(f"{name} ({species})" if species else name)
    return capital(", ".join(dict.fromkeys(said)))


def mordant_line(view: View, worked: Worked) -> str:
    """What the yarns were mordanted with, and what else was in the baths.

    Without grams: those are what was weighed into the pot, of which the cloth holds a part.
    """
    book, phrases = view.book, view.phrases
    names = [name for name in helps_in(book, worked.record)
             if name in book.mordants or name not in book.dyestuffs]  # fmt: skip
    lots = {name: book.mordants.get(name) for name in names}
    meant = {name: str((lot and lot.is_) or name) for name, lot in lots.items()}
    true = true_mordants(meant.values())
    told = {
        "mordanted_with": [phrases.stuff(name) for name in names if meant[name] in true],
        "in_the_baths": [phrases.stuff(name) for name in names if meant[name] not in true],
    }
    said = (phrases.say(f"registrar.{how}", stuffs=phrases.listed(stuffs))
            for how, stuffs in told.items() if stuffs)  # fmt: skip
    return capital("; ".join(said))


def fleece_lines(view: View, worked: Worked) -> tuple[str, ...]:
    """Each fleece with its mass, farm and shearing: 1.02 kg of Gotland fleece, ..."""
    grease: dict[str, Fraction] = {}
    for strand in worked.strands:
        for part in strand.fleeces:
            grease[part.fleece] = grease.get(part.fleece, Fraction(0)) + part.grease
    heaviest = sorted(grease, key=lambda name: -grease[name])
    return tuple(_fleece_line(view, view.book.fleece[name], grease[name]) for name in heaviest)


def _fleece_line(view: View, fleece: Fleece, grams: Fraction) -> str:
    phrases, name = view.phrases, fleece_name(view.phrases, fleece)
    day = phrases.part_day(str(fleece.shorn)) if fleece.shorn else ""
    shorn = phrases.say("label.shorn", day=day) if day else ""
    mass = phrases.say("label.mass_of", mass=phrases.mass(grams), what=name)
    return ", ".join(part for part in (mass, farm_of(fleece), shorn) if part)


def bought_line(view: View, worked: Worked) -> str:
    """Yarn that was not spun here, with its mass: Linen warp 150 g."""
    grams: dict[str, Fraction] = {}
    for strand in worked.strands:
        if strand.is_bought:
            grams[strand.yarn] = grams.get(strand.yarn, Fraction(0)) + strand.grams
    told, book = view.phrases, view.book
    said = (f"{inside(told, book, yarn)} {told.mass(mass)}" for yarn, mass in grams.items())
    return capital(", ".join(said))


def hour_lines(view: View, worked: Worked) -> tuple[str, ...]:
    """Hours by stage, where the maker wishes them shown."""
    if not shows_hours(worked):
        return ()
    hours = worked.load.hours
    return tuple(
        f"{view.phrases.named('activity', activity)} {view.phrases.hours(spent)}"
        for activity, spent in sorted(hours.items(), key=lambda each: -each[1])
        if spent >= HOURS_SHOWN
    )


def shows_hours(worked: Worked) -> bool:
    """Whether the maker wishes the hours to be told."""
    wish = worked.record.hours_on_certificate
    return bool(worked.studio.file.hours_on_certificate if wish is None else wish)


def statement_line(view: View, worked: Worked) -> str:
    """The maker's own statement of authorship, else one that says no more than the record does."""
    own = view.book.studio.statement
    if own:
        return " ".join(str(own).split())
    said = _authorship(view, worked)
    return view.phrases.say(f"certificate.{said}", signed=_signed_clause(view, worked.record))


def _authorship(view: View, worked: Worked) -> str:
    """The phrase for what was done by hand here: spun, dyed, woven."""
    piece, strands = worked.record, worked.strands
    shared = piece.shared.hours if piece.shared else {}
    if "weaving" not in (*piece.hours, *shared):
        return "authorship_made"
    fleeces = [view.book.fleece[part.fleece] for strand in strands for part in strand.fleeces]
    is_spun = [bool(strand.fleeces) and not strand.is_bought for strand in strands]
    dyed = "_dyed" if any(strand.stages for strand in strands) else ""
    if all(is_spun):
        from_fleece = all(map(is_shorn, fleeces))
        return "authorship" if from_fleece else f"authorship_all{dyed}"
    if any(is_spun):
        return f"authorship_spun{dyed}"
    return "authorship_bought" if dyed else "authorship_woven"


def _signed_clause(view: View, piece: Piece) -> str:
    """Named only where the piece's own record speaks of the studio's mark."""
    mark = str(view.book.studio.mark or "").split(",")[0].strip()
    spoken_of = set(str(piece.signed or "").lower().replace(",", " ").split())
    if not mark or not spoken_of & {word for word in mark.lower().split() if len(word) > 3}:
        return ""
    return view.phrases.say("certificate.signed_with", mark=mark)


def has_price(piece: Piece) -> bool:
    """Whether it has a price: the maker's own, or the one worked out."""
    return piece.price is not None or piece.can_be_costed


def price_lines(view: View, worked: Worked) -> tuple[str, str, bool]:
    """The price, a note on tax, and whether the site shows it."""
    piece, phrases, prices = worked.record, view.phrases, worked.studio.file.prices
    if not has_price(piece):
        return "", "", False
    price, tax = worked.cost.price, prices.tax
    share = phrases.percent(tax.share * 100)
    note = {
        "included": phrases.say("state.tax_included", share=share),
        "added": phrases.say(
            "state.tax_added_to",
            share=share,
            price=phrases.money(price.value + tax_on_top(price, tax, 2).value),
        ),
    }.get(tax.way, "")
    wish = piece.price_on_site
    shown = prices.shown_on_site if wish is None else wish
    return phrases.money(half_up(price.value, 4)), note, shown


def set_line(view: View, piece: Piece) -> str:
    """Set of six, sold one by one; nothing of a single piece."""
    phrases = view.phrases
    if piece.made == 1:
        return ""
    return capital(phrases.say("state.set", made=spelled(phrases, piece.made)))


def each(view: View, piece: Piece, price: str) -> str:
    """The price as it is told where one is told from several: £38 each."""
    return view.phrases.say("state.each", price=price) if price and piece.made > 1 else price


def _standing(view: View, piece: Piece) -> str:
    """How many of a set are left, and at which public outlets."""
    phrases, said = view.phrases, set_line(view, piece)
    if piece.left < piece.made:
        said = phrases.say("state.set_left", set=said, left=spelled(phrases, piece.left))
    shown = {words: piece.standing[name] for name, words in _stands(view, piece).items()}
    if len(shown) == len(piece.standing) == 1:
        return phrases.say("state.set_at", said=said, place=next(iter(shown)))
    told = [phrases.say("state.so_many_at", items=spelled(phrases, count), place=place)
            for place, count in shown.items()]  # fmt: skip
    return phrases.say("state.set_where", said=said, places=phrases.listed(told)) if told else said


def _is_shown(outlet: Outlet) -> bool:
    return outlet.shown_on_site and outlet.kind not in ("studio", "website")


def _stands(view: View, piece: Piece) -> dict[str, str]:
    """The public outlets where a piece is, or some of a set, with their words in a sentence."""
    return {
        str(name): _at(view.phrases, outlet)
        for name in piece.standing
        if name and (outlet := view.book.outlets.get(name)) and _is_shown(outlet)
    }


def seen_at(view: View, piece: Piece) -> tuple[tuple[str, str], ...]:
    """The outlets that `availability` names, each with its words there."""
    return tuple(_stands(view, piece).items()) if piece.state == "available" else ()


def availability(view: View, worked: Worked) -> str:
    """Where the piece stands, in words."""
    piece, phrases = worked.record, view.phrases
    if piece.state == "available" and piece.made > 1:
        return _standing(view, piece)
    if piece.state == "reserved" and piece.status and piece.status.until:
        return phrases.say("state.reserved_until", day=phrases.day(piece.status.until))
    if piece.state == "available" and (stands := _stands(view, piece)):
        return phrases.say("state.available_at", place=next(iter(stands.values())))
    return phrases.say(f"state.{piece.state.replace(' ', '_')}")


def _at(phrases: Phrases, outlet: Outlet) -> str:
    """A place inside a sentence; a show has a title of its own, which takes no article."""
    title = outlet_title(outlet)
    is_bare = outlet.kind == "show" or title.lower().startswith("the ")
    return title if is_bare else phrases.say("state.the_place", place=title)


def care_of(view: View, worked: Worked, light: Said) -> tuple[tuple[str, ...], str]:
    """Care sentences and the tag's short line, which says of `light` what all papers say; the
    maker's own words replace both."""
    if worked.record.care:
        own = " ".join(str(worked.record.care).split())
        return (own,), own
    if not worked.strands:
        return (), ""  # nobody wrote down what it is made of
    cloth, tell = _cloth(view, worked), view.phrases.tell
    return tuple(map(tell, care_words(cloth))), tell(short_care(cloth, light))


def keeping_of(view: View, worked: Worked) -> tuple[str, ...]:
    """How a gallery keeps it: climate, ultraviolet, moth and what is done against it."""
    return tuple(map(view.phrases.tell, keeping_words(_cloth(view, worked))))


def _cloth(view: View, worked: Worked) -> Cloth:
    piece = worked.record
    names = (name for use in piece.yarns for name in use_composition(view.book, use))
    fibres = tuple(dict.fromkeys(names))
    mordants = helps_in(view.book, piece)
    dyes = tuple(dye.species or dye.name for dye in worked.dyes)
    return Cloth(fibres, str(piece.structure or ""), str(piece.kind or "other"), dyes, mordants)


def provenance_line(view: View, worked: Worked, *, names_owner: bool = True) -> str:
    """The maker; the dealer it went through; its owner, named only by consent, and never where it
    is signed: a consent may be taken back, a signed statement stays."""
    piece, studio = worked.record, view.book.studio
    owners = [", ".join(filter(None, (studio.maker, studio.place, piece.year)))]
    if piece.sold and piece.made == 1:  # of a set nobody can tell which one went where
        sale = piece.sold[-1]
        year, dealer = str(sale.on.year), through(view, piece, sale)
        if dealer:
            owners.append(f"({dealer}, {year})")
        last = owner(view, sale) if names_owner else view.phrases.say("certificate.to_private")
        owners.append(f"{last}, {year}")
    return "; ".join(owners) + "."


def through(view: View, piece: Piece, sale: Sale) -> str:
    """The dealer a sale went through, with the place; '' where it went through none."""
    outlet = view.book.outlets.get(sale.at or piece.at or "")
    if not outlet or outlet.kind not in ("gallery", "guild", "shop", "show"):
        return ""
    return f"{outlet_title(outlet)}, {outlet.place}" if outlet.place else outlet_title(outlet)


def owner(view: View, sale: Sale) -> str:
    """The owner's words where the owner consents; else private collection, whatever they are.

    A town behind "private collection" may tell who it is, so that it asks for consent too.
    """
    to = str(sale.to or "") if sale.consent else ""
    if to.lower().startswith("private collection"):
        return to[:1].lower() + to[1:]
    return to or view.phrases.say("certificate.to_private")
