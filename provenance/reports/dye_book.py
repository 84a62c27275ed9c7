"""The dye book on paper, for the maker: every colour in order of hue, its recipe, its neighbours.

In: the border. Out: an archival PDF: swatch, name of the colour, baths with shares of the dry
weight of fibre, the three lots that look nearest (CIEDE2000), then the cautions for all that was
used, each with its source, what is protected or not known, and those that go with every dye day.
For the maker alone.
"""

from collections.abc import Iterator, Sequence
from functools import partial

from provenance.figures.colour.match import Match, nearest
from provenance.figures.colour.plain import plain_colour
from provenance.figures.colour.shades import hue_order
from provenance.figures.dyes.dosing import hazards
from provenance.figures.dyes.dye_day import known_as
from provenance.figures.dyes.recipes import PotOf, Recipe, recipes
from provenance.figures.fibre.protected import protected_fibres
from provenance.figures.flow.makeup import composition
from provenance.language.phrases import Phrases
from provenance.papers.sheets.frame import Page, Paper, sheet_pdf
from provenance.problems import Said
from provenance.public.border import Border
from provenance.public.names import called, capital, inside
from provenance.records.baths import Dyeing
from provenance.reference.dyes import Dye
from provenance.reference.mordants import Mordant, general_cautions, known_on
from provenance.reference.poisons import Poison, find_stuff
from provenance.reference.sourced import Note, Protection, cited
from provenance.reports.writers.ready import ready

_NEAREST = 3


def dye_book(border: Border) -> Paper:
    """`dye-book.pdf`; lots whose colour is not known yet are not in it."""
    studio, phrases = border.studio, border.phrases
    found = sorted(recipes(studio.book, studio.swatches), key=lambda each: hue_order(each.colour))
    used = _used(border)
    values = {
        "lots": [(each, _near(each, found)) for each in found],
        "count": phrases.say("sheet.some_colours", number=len(found)),
        "lot_title": partial(called, border.book),
        "distance": lambda other: ready(f"{other.delta_e:.1f}", phrases),
        "inside": partial(inside, phrases, border.book),
        "called": lambda colour: phrases.opening(plain_colour(colour)),
        "pot_of": partial(_pot, border),
        "cautions": [_caution(phrases, each) for each in hazards(used.values())],
        "protected": list(guarded(border)),
        "unknown": [phrases.stuff(name) for name in used if find_stuff(used[name]) is None],
        "as_of": phrases.part_day(known_on()),
        "general": [_note(phrases, each) for each in general_cautions()],
    }
    page = Page("dye_book", phrases.say("sheet.dye_book"), values)
    return Paper("dye-book.pdf", sheet_pdf(border.house, page), page.title)


def used_in(border: Border) -> tuple[str, ...]:
    """Everything that was in a pot, dyestuffs by species where that is noted, each once."""
    return tuple(dict.fromkeys(_used(border).values()))


def _used(border: Border) -> dict[str, str]:
    """Everything that was in a pot by its maker's name, and what the tables know it by."""
    book = border.studio.book
    steps: list[Dyeing] = [step for bath in book.baths.values() for step in bath.steps]
    steps += [yarn for piece in book.pieces.values() for yarn in piece.yarns]
    names = (str(n) for step in steps for n in (*step.mordants, *step.dyes, *step.after))
    return {name: known_as(book, name) for name in dict.fromkeys(names)}


def guarded(border: Border) -> Iterator[dict[str, str]]:
    """Laws and requests that guard what was used and dyed, with the day they were looked up."""
    book, phrases = border.studio.book, border.phrases
    for row in dict.fromkeys(map(find_stuff, used_in(border))):
        if isinstance(row, (Dye, Mordant)) and row.protected:
            yield {"name": phrases.stuff(row.name), **_guarded(phrases, row.protected)}
    dyed = (str(entry.yarn) for bath in book.baths.values() for entry in bath.dyed)
    for fibre in protected_fibres(name for yarn in dyed for name in composition(book, yarn)):
        if fibre.protected:
            name = phrases.tell(Said("form.fibre", name=fibre.name))
            yield {"name": name, **_guarded(phrases, fibre.protected)}


def _guarded(phrases: Phrases, found: Protection) -> dict[str, str]:
    day = found.checked_on
    said = phrases.part_day(day) if found.is_dated else phrases.say("sheet.undated")
    return {"day": said, **_note(phrases, found.note)}


def _near(recipe: Recipe, others: Sequence[Recipe]) -> list[Match]:
    """The other lots that look nearest."""
    rest = [(each.lot, each.colour) for each in others if each.lot != recipe.lot]
    return nearest(recipe.colour, rest)[:_NEAREST]


def _pot(border: Border, pot: PotOf) -> dict[str, object]:
    """A bath: its date, what it goes on from, its steps with shares of the dry fibre, its notes."""
    phrases, bath = border.phrases, border.studio.book.baths.get(pot.bath)
    exhaust = phrases.say("sheet.exhaust_of", bath=pot.exhaust_of) if pot.exhaust_of else ""
    return {
        "day": phrases.day(bath.date) if bath and bath.date else "",
        "exhaust": exhaust,
        "remarks": [phrases.tell(each) for each in border.studio.remarks_on(pot.bath)],
        "steps": [_step(phrases, pot, turn) for turn in range(len(pot.steps))],
        "notes": " ".join(str(bath.notes).split()) if bath and bath.notes else "",
    }


def _caution(phrases: Phrases, row: Dye | Mordant | Poison) -> dict[str, str]:
    """A hazard of something that was used, and how to be rid of it."""
    assert row.hazard is not None
    disposal = row.disposal if isinstance(row, Mordant) else None
    told = phrases.tell(disposal.words) if disposal else ""
    return {"name": phrases.stuff(row.name), "disposal": told, **_note(phrases, row.hazard)}


def _note(phrases: Phrases, note: Note) -> dict[str, str]:
    """What is said, with its source, and how sure that is where it was not read."""
    is_plain = note.sure == "read" or note.sure in note.source
    sure = "" if is_plain else phrases.named("sure", note.sure)
    source = phrases.tell(cited(note.source))
    return {"words": phrases.tell(note.words), "source": source, "sure": sure}


def _step(phrases: Phrases, pot: PotOf, turn: int) -> str:
    """Madder 40 %, chalk 2 %: 82 C for 1 h."""
    doses = ", ".join(
        f"{phrases.stuff(dose.what)} {phrases.ungrouped(dose.grams, 2)} %"
        for dose in pot.doses
        if dose.step == turn
    )
    how = phrases.tell(pot.steps[turn]).replace(" C", " °C").replace(" F", " °F")
    return ": ".join(part for part in (capital(doses), how) if part)
