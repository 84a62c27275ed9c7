"""Single facts of a piece in the studio's language: dyes, mordants, hours, price, place, care.

In: the setting and a piece. Out: short lines of text. Rules of the museum's provenance line:
earliest owner first, `;` for a direct passage, `.` where none is known, dealers in brackets,
owners named only by consent (AAM guide, as quoted at museumprovenance.org).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from provenance.figures.care import Cloth, care_words, short_care
from provenance.figures.dyes.stages import helps_of, stages_in
from provenance.figures.flow.flow import Key
from provenance.figures.flow.makeup import fibre_parts, true_mordants
from provenance.figures.flow.strands import Strand
from provenance.figures.light.of_piece import dye_words, piece_dyes
from provenance.figures.money.cost import cost_sheet
from provenance.figures.money.price import tax_on_top
from provenance.figures.working import half_up
from provenance.public.setting import Setting, farm_of, fleece_name, outlet_title, spoken
from provenance.records.lots import Fleece
from provenance.records.pieces import Piece
from provenance.reference.dyes import find_dye

HOURS_SHOWN = Fraction(1, 4)


def dye_line(setting: Setting, piece: Piece) -> str:
    """How the yarns were dyed: Weld, then indigo; madder."""
    said = setting.phrases.tell(dye_words(setting.book, piece))
    return spoken_start(said if "," in said else said.replace("; ", ", "))


def dye_species(setting: Setting, piece: Piece) -> str:
    """Every dye with its species: Weld (Reseda luteola), madder (Rubia tinctorum)."""
    said = []
    for dye in piece_dyes(setting.book, piece):
        row = find_dye(dye.species or dye.name)
        species = dye.species or (row.species[0] if row and row.species else "")
        name = setting.phrases.stuff(dye.name)
        said.append(f"{name} ({species})" if species else name)
    return spoken_start(", ".join(dict.fromkeys(said)))


def spoken_start(text: str) -> str:
    """With a capital at the start; the rest as it is (species keep their forms)."""
    return text[:1].upper() + text[1:]


def mordant_line(setting: Setting, piece: Piece) -> str:
    """True mordants and what else was in the baths, with the grams the piece carries."""
    grams = setting.flow.loads[Key("piece", str(piece.number))].grams
    names = dict.fromkeys(
        name for stages in stages_in(setting.book, piece) for name in helps_of(stages)
    )
    true = true_mordants(names)
    said = []
    for name in sorted(names, key=lambda name: name not in true):
        amount, told = grams.get(Key("mordant", name)), setting.phrases.stuff(name)
        said.append(f"{told} {setting.phrases.mass(amount)}" if amount else told)
    return spoken_start(", ".join(said))


def fleece_lines(setting: Setting, strands: Sequence[Strand]) -> tuple[str, ...]:
    """Each fleece with its mass, farm and shearing: 1.02 kg of Gotland fleece, ..."""
    grease: dict[str, Fraction] = {}
    for strand in strands:
        for part in strand.fleeces:
            grease[part.fleece] = grease.get(part.fleece, Fraction(0)) + part.grease
    heaviest = sorted(grease, key=lambda name: -grease[name])
    return tuple(
        _fleece_line(setting, setting.book.fleece[name], grease[name]) for name in heaviest
    )


def _fleece_line(setting: Setting, fleece: Fleece, grams: Fraction) -> str:
    phrases, name = setting.phrases, fleece_name(setting.phrases, fleece)
    day = phrases.part_day(str(fleece.shorn)) if fleece.shorn else ""
    shorn = phrases.say("label.shorn", day=day) if day else ""
    mass = phrases.say("label.mass_of", mass=phrases.mass(grams), what=name)
    return ", ".join(part for part in (mass, farm_of(fleece), shorn) if part)


def bought_line(setting: Setting, strands: Sequence[Strand]) -> str:
    """Yarn that was not spun here, with its mass: Linen warp 150 g."""
    grams: dict[str, Fraction] = {}
    for strand in strands:
        if strand.is_bought:
            grams[strand.yarn] = grams.get(strand.yarn, Fraction(0)) + strand.grams
    said = [f"{spoken(yarn).lower()} {setting.phrases.mass(mass)}" for yarn, mass in grams.items()]
    return spoken_start(", ".join(said))


def hour_lines(setting: Setting, piece: Piece) -> tuple[str, ...]:
    """Hours by stage, where the maker wishes them shown."""
    wish = piece.hours_on_certificate
    if not (setting.book.studio.hours_on_certificate if wish is None else wish):
        return ()
    hours = setting.flow.loads[Key("piece", str(piece.number))].hours
    return tuple(
        f"{activity} {setting.phrases.hours(spent)}"
        for activity, spent in sorted(hours.items(), key=lambda each: -each[1])
        if spent >= HOURS_SHOWN
    )


def signed_line(setting: Setting, piece: Piece) -> str:
    """How the piece is signed, else the studio's mark."""
    return spoken_start(str(piece.signed or setting.book.studio.mark or ""))


def statement_line(setting: Setting, piece: Piece, strands: Sequence[Strand]) -> str:
    """The maker's own statement of authorship, else one that says no more than the record does."""
    own = setting.book.studio.statement
    if own:
        return " ".join(str(own).split())
    said = _authorship(setting, piece, strands)
    return setting.phrases.say(f"certificate.{said}", signed=_signed_clause(setting, piece))


def _authorship(setting: Setting, piece: Piece, strands: Sequence[Strand]) -> str:
    """The phrase for what was done by hand here: spun, dyed, woven."""
    shared = piece.shared.hours if piece.shared else {}
    if "weaving" not in (*piece.hours, *shared):
        return "authorship_made"
    fleeces = [setting.book.fleece[part.fleece] for strand in strands for part in strand.fleeces]
    is_spun = [bool(strand.fleeces) and not strand.is_bought for strand in strands]
    dyed = "_dyed" if any(strand.stages for strand in strands) else ""
    if all(is_spun):
        from_fleece = all("wool" in each.fibre and each.scoured != 1 for each in fleeces)
        return "authorship" if from_fleece else f"authorship_all{dyed}"
    if any(is_spun):
        return f"authorship_spun{dyed}"
    return "authorship_bought" if dyed else "authorship_woven"


def _signed_clause(setting: Setting, piece: Piece) -> str:
    """Named only where the piece's own record speaks of the studio's mark."""
    mark = str(setting.book.studio.mark or "").split(",")[0].strip()
    spoken_of = set(str(piece.signed or "").lower().replace(",", " ").split())
    if not mark or not spoken_of & {word for word in mark.lower().split() if len(word) > 3}:
        return ""
    return setting.phrases.say("certificate.signed_with", mark=mark)


def edition_line(setting: Setting, piece: Piece) -> str:
    """One of a kind, unless an edition is recorded."""
    return str(piece.edition) if piece.edition else setting.phrases.say("label.one_of_a_kind")


def price_lines(setting: Setting, piece: Piece) -> tuple[str, str, bool]:
    """The price, a note on tax, and whether the site shows it."""
    book, phrases = setting.book, setting.phrases
    if not (piece.price is not None or piece.can_be_costed):
        return "", "", False
    price = cost_sheet(book, setting.flow, piece).price
    tax = book.studio.prices.tax
    share = phrases.percent(tax.share * 100)
    note = {
        "included": phrases.say("state.tax_included", share=share),
        "added": phrases.say(
            "state.tax_added",
            share=f"{share}: {phrases.money(price.value + tax_on_top(price, tax, 2).value)}",
        ),
    }.get(tax.way, "")
    wish = piece.price_on_site
    shown = book.studio.prices.shown_on_site if wish is None else wish
    return phrases.money(half_up(price.value, 4)), note, shown


def availability(setting: Setting, piece: Piece) -> str:
    """Where the piece stands, in words."""
    phrases = setting.phrases
    if piece.state == "reserved" and piece.status and piece.status.until:
        return phrases.say("state.reserved_until", day=phrases.day(piece.status.until))
    if piece.state == "available":
        outlet = setting.book.outlets.get(piece.at) if piece.at else None
        if outlet and outlet.shown_on_site and outlet.kind not in ("studio", "website"):
            return phrases.say("state.available_at", place=_at(outlet_title(outlet)))
    return phrases.say(f"state.{piece.state.replace(' ', '_')}")


def _at(title: str) -> str:
    return title if title.lower().startswith("the ") else f"the {title}"


def care_of(setting: Setting, piece: Piece) -> tuple[tuple[str, ...], str]:
    """Care sentences and the tag's short line; the maker's own words replace both."""
    if piece.care:
        own = " ".join(str(piece.care).split())
        return (own,), own
    fibres = tuple(dict.fromkeys(part.fibre for part in fibre_parts(setting.book, piece)))
    stages = stages_in(setting.book, piece)
    mordants = tuple(dict.fromkeys(name for each in stages for name in helps_of(each)))
    dyes = tuple(dye.species or dye.name for dye in piece_dyes(setting.book, piece))
    about = (fibres, str(piece.structure or ""), str(piece.kind or "other"), dyes, mordants)
    cloth, tell = Cloth(*about), setting.phrases.tell
    return tuple(map(tell, care_words(cloth))), tell(short_care(cloth))


def provenance_line(setting: Setting, piece: Piece) -> str:
    """The maker; the dealer it went through; its owner, named only by consent."""
    studio = setting.book.studio
    owners = [
        ", ".join(part for part in (str(studio.maker), str(studio.place or ""), piece.year) if part)
    ]
    if piece.sale:
        year = str(piece.sale.on.year)
        outlet = setting.book.outlets.get(piece.sale.at or piece.at or "")
        if outlet and outlet.kind in ("gallery", "guild", "shop", "show"):
            where = f", {outlet.place}" if outlet.place else ""
            owners.append(f"({outlet_title(outlet)}{where}, {year})")
        owners.append(f"{_owner(setting, piece)}, {year}")
    return "; ".join(owners) + "."


def _owner(setting: Setting, piece: Piece) -> str:
    """The owner's words when they consent or name nobody; else: private collection."""
    assert piece.sale is not None
    to = str(piece.sale.to or "")
    names_nobody = (
        to.lower().startswith("private collection") or to.lower() == "a private collection"
    )
    if names_nobody:
        return to[:1].lower() + to[1:]
    if to and piece.sale.consent:
        return to
    return setting.phrases.say("certificate.to_private")
