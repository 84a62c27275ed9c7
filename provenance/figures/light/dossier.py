"""The light dossier of a piece: each of its dyes, how it stands light, and where that was read.

In: `Light`. Out: sentences to be told, one for each dye as it is in the piece, most sensitive
first, then what was reckoned with. A source is named only where a rating was read; a test of the
maker's own is named as such.
"""

from collections.abc import Iterator

from provenance.figures.dyes.dosing import stuff
from provenance.figures.light.guidance import Light
from provenance.figures.light.rating import DyeInPiece, Rating
from provenance.figures.light.window import WindowTest
from provenance.figures.light.words import known_words
from provenance.problems import SILENCE, Said
from provenance.reference.mordants import family_of
from provenance.reference.sourced import cited

_FAMILIES = ("alum", "tin", "iron", "copper", "chrome")


def dossier(light: Light) -> tuple[Said, ...]:
    """One line a dye, each once; silence for an undyed piece."""
    in_turn = sorted(light.ratings, key=lambda one: (one.blue_wool, not one.is_rated))
    lines = dict.fromkeys(map(_line, in_turn))
    dyes = [found.of for found in light.ratings]
    moved = Said("dossier.moved") if any(one.paler or one.fibre != "wool" for one in dyes) else None
    return (*lines, *([moved] if moved else []))


def _line(found: Rating) -> Said:
    how = Said("form.row", names=tuple(_how(found.of)))
    line = Said("dossier.line", what=how, known=known_words(found))
    source = _source(found)
    said = Said("dossier.with_source", line=line, source=source) if source else line
    return Said("form.opening", words=said)


def _how(dye: DyeInPiece) -> Iterator[Said]:
    """Weld on alum and iron, plant fibre, a pale dyeing; a vat dye lies on no mordant."""
    is_vat = dye.row is not None and dye.row.on_wool == "vat"
    families = set() if is_vat else {family_of(name) for name in dye.mordants}
    metals = tuple(Said(f"mordant_family.{each}") for each in _FAMILIES if each in families)
    yield Said("dossier.on", dye=stuff(dye.name), mordants=metals) if metals else stuff(dye.name)
    if dye.fibre != "wool":
        yield Said(f"dossier.{dye.fibre}")
    if dye.paler:
        yield Said("dossier.pale" if dye.paler == 1 else "dossier.paler")


def _source(found: Rating) -> Said:
    if found.basis == "own" and found.of.own:
        return own_words(found.of.own)
    if found.source:
        how = "assumed" if found.basis == "assumed" else found.sure
        return Said(f"dossier.{how}", source=cited(found.source))
    return SILENCE


def own_words(test: WindowTest) -> Said:
    """What the maker's own test was: which lot, where, from when to when, beside what."""
    beside = stuff(test.dye) if test.dye else Said("dossier.blue_wool", number=test.beside)
    return Said(
        f"dossier.own_{test.changed}",
        lot=test.lot.replace("-", " "),
        where=Said(f"dossier.{test.on}"),
        first=test.first,
        last=test.last,
        beside=beside,
    )
