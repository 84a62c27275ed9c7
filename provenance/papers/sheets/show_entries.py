"""Entries for a juried show: the fields asked for, and the pictures by the names it asks for.

In: what is entered and the show's rules. Out: entries, and a slip for every picture that its rules
refuse. Rules differ from show to show (size in pixels, file names, views: fineartsblount.org,
georgiawatercolorsociety.com, flnps.org, gf.org, American Tapestry Alliance 2010), so they stand in
the outlet's record.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from provenance.language.phrases import inches
from provenance.papers.certificates.object_id import medium
from provenance.papers.sheets.frame import Display
from provenance.papers.sheets.show_pictures import ending, file_name, show_picture
from provenance.press.markup import to_plain
from provenance.press.pictures.photos import Rendition, open_photo
from provenance.problems import Said, Slip
from provenance.public.piece import PhotoFacts, PublicPiece
from provenance.public.shapes import Size


@dataclass(frozen=True, slots=True)
class EntryPicture:
    """A picture with its name at the show."""

    name: str
    view: str
    picture: Rendition


@dataclass(frozen=True, slots=True)
class Entry:
    """One work that is entered: its fields as words, what it is insured for, its pictures."""

    work: PublicPiece
    fields: dict[str, str]
    statement: str
    insured: Fraction
    pictures: tuple[EntryPicture, ...]


def entry_of(
    display: Display, work: PublicPiece, insured: Fraction, names: dict[str, int]
) -> tuple[Entry, list[Slip]]:
    """The entry of a work; `names` are the pictures' names given so far, in all entries."""
    pictures, slips = _pictures(display, work, names)
    fields = fields_of(display, work, insured)
    return Entry(work, fields, to_plain(work.story), insured, pictures), slips


def fields_of(display: Display, work: PublicPiece, insured: Fraction) -> dict[str, str]:
    """The fields the show asks for, in its order; statement and pictures stand by themselves."""
    known = {
        "number": work.number,
        "title": work.title,
        "maker": display.studio.maker,
        "kind": work.kind_word,
        "medium": medium(work),
        "size": size_words(display, work.measures) if work.measures else "",
        "weight": work.weight,
        "year": work.year,
        "price": work.price if work.for_sale else display.say("nfs"),
        "insurance": display.phrases.money(insured),
    }
    asked = map(str, display.outlet.rules.fields)
    return {field: known[field] for field in asked if field in known}


def size_words(display: Display, size: Size) -> str:
    """A size in the unit and the order that the show asks for, with letters: W 74 × H 92 cm."""
    rules, phrases = display.outlet.rules, display.phrases
    if rules.sizes_in == "both" and rules.first == "height":
        return phrases.size(size)
    sides = list(zip(phrases.say("label.side_letters").split(), size.sides, strict=False))
    if rules.first == "width":
        sides[:2] = sides[1::-1]
    cm = " × ".join(f"{letter} {phrases.number(side, 1)}" for letter, side in sides) + " cm"
    inch = " × ".join(f"{letter} {inches(side)}" for letter, side in sides) + " in"
    return {"cm": cm, "in": inch}.get(rules.sizes_in, f"{cm} ({inch})")


def _pictures(
    display: Display, work: PublicPiece, names: dict[str, int]
) -> tuple[tuple[EntryPicture, ...], list[Slip]]:
    """The views asked for, made and named."""
    made: list[EntryPicture] = []
    slips: list[Slip] = []
    for view, photo in _wanted(display, work, slips):
        try:
            found = open_photo(display.studio.folder, photo.path)
            picture = show_picture(found, display.outlet.rules)
        except Slip as slip:
            slips.append(slip)
            continue
        made.append(EntryPicture(_name(display, work, view, names), view, picture))
    return tuple(made), slips


def _wanted(
    display: Display, work: PublicPiece, slips: list[Slip]
) -> Iterator[tuple[str, PhotoFacts]]:
    for asked in display.outlet.rules.pictures:
        photos = [photo for photo in work.photos if photo.view == asked.view]
        lacking = asked.count - len(photos)
        if lacking > 0:
            what = Said("entry.photos", number=lacking, view=asked.view, show=display.outlet.title)
            slips.append(Slip(what, Said("entry.take_it")))
        for photo in photos[: asked.count]:
            yield asked.view, photo


def _name(display: Display, work: PublicPiece, view: str, names: dict[str, int]) -> str:
    """The file name by the show's pattern; what would be the same gets its view, then a number."""
    rules, maker = display.outlet.rules, display.studio.maker
    count = sum(names.values()) + 1
    parts = {
        "n": str(count), "nn": f"{count:02}", "maker": maker, "first": maker.split()[0],
        "last": maker.split()[-1], "title": work.title, "number": work.number,
        "view": view, "year": work.year,
    }  # fmt: skip
    stem = file_name(rules.file_names, parts)
    for tried in (stem, f"{stem} {view}", *(f"{stem} {view} {i}" for i in range(2, 100))):
        if tried.casefold() not in names:
            names[tried.casefold()] = 1
            return f"{tried}.{ending(rules)}"
    raise AssertionError("a work has fewer than a hundred pictures")
