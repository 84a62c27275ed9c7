"""Entries for a juried show, in the fields and with the pictures it asks for, and their list.

In: what is entered and the show's rules. Out: entries, and a slip for every picture that its rules
refuse; the list as PDF and CSV, every picture under the name the show asks for. Rules differ from
show to show (size in pixels, file names, views: fineartsblount.org, georgiawatercolorsociety.com,
flnps.org, gf.org, American Tapestry Alliance 2010), so they stand in the outlet's record.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.language.measures import inches
from provenance.papers.certificates.object_id import medium
from provenance.papers.sheets.frame import Display, Paper, price_of, whole_view
from provenance.papers.sheets.show_pictures import ending, file_name, megabytes, show_picture
from provenance.press.codes.qr import Code
from provenance.press.markup import to_plain
from provenance.press.pictures.ladder import Rendition
from provenance.press.pictures.photos import open_photo
from provenance.problems import Said, Slip
from provenance.public.dealings import Dealing
from provenance.public.piece import PhotoFacts, PublicPiece
from provenance.public.shapes import Size

_PHOTO_MM = (46.0, 62.0)


@dataclass(frozen=True, slots=True)
class Entry:
    """One work that is entered: its fields as words, what it is insured for, its pictures by their
    names at the show."""

    work: PublicPiece
    fields: dict[str, str]
    statement: str
    insured: Fraction
    pictures: dict[str, Rendition]


def entry_of(
    display: Display, work: PublicPiece, insured: Fraction, names: set[str]
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
    display: Display, work: PublicPiece, names: set[str]
) -> tuple[dict[str, Rendition], list[Slip]]:
    """The views asked for, made and named."""
    made: dict[str, Rendition] = {}
    slips: list[Slip] = []
    for view, photo in _wanted(display, work, slips):
        try:
            found = open_photo(display.studio.folder, photo.path)
            picture = show_picture(found, display.outlet.rules)
        except Slip as slip:
            slips.append(slip)
            continue
        made[_name(display, work, view, names)] = picture
    return made, slips


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


def _name(display: Display, work: PublicPiece, view: str, names: set[str]) -> str:
    """The file name by the show's pattern; what would be the same gets its view, then a number."""
    rules, maker = display.outlet.rules, display.studio.maker
    count = len(names) + 1
    parts = {
        "n": str(count), "nn": f"{count:02}", "maker": maker, "first": maker.split()[0],
        "last": maker.split()[-1], "title": work.title, "number": work.number,
        "view": view, "year": work.year,
    }  # fmt: skip
    stem = file_name(rules.file_names, parts)
    for tried in (stem, f"{stem} {view}", *(f"{stem} {view} {i}" for i in range(2, 100))):
        if tried.casefold() not in names:
            names.add(tried.casefold())
            return f"{tried}.{ending(rules)}"
    raise AssertionError("a work has fewer than a hundred pictures")


def entry_list(display: Display, deal: Dealing, entries: Sequence[Entry]) -> list[Paper]:
    """List and pictures; nothing where no work is entered."""
    if not entries:
        return []
    assets: dict[str, bytes | Code] = {}
    fields = display.outlet.rules.fields
    values = {
        "parties": {"maker": deal.maker, "outlet": deal.outlet},
        "entries": [
            (each, _rows(display, each), whole_view(display, each.work, _PHOTO_MM, assets))
            for each in entries
        ],
        "told": lambda picture: _told(display, picture),
        "with_statement": "statement" in fields,
        "with_pictures": "pictures" in fields,
    }
    page = display.page("entry_list", values, assets=assets)
    columns = [*map(str, fields), "currency"]
    pictures = [
        Paper(f"pictures/{name}", picture.content, display.say("pictures"))
        for entry in entries
        for name, picture in entry.pictures.items()
    ]
    cells = [_cells(display, each, columns) for each in entries]
    return display.papers(page, columns, cells) + pictures


def _rows(display: Display, entry: Entry) -> list[tuple[str, str]]:
    """The fields with their headings; number and title stand above them."""
    others = {"medium": "medium", "insurance": "insurance_value"}
    return [
        (display.say(others.get(field, f"field_{field}")), text)
        for field, text in entry.fields.items()
        if field not in ("title", "number") and text
    ]


def _told(display: Display, picture: Rendition) -> str:
    size = megabytes(len(picture.content))
    return display.say("pixels", width=picture.width, height=picture.height, size=size)


def _cells(display: Display, entry: Entry, columns: Sequence[str]) -> list[str]:
    known = {
        **entry.fields,
        "statement": entry.statement,
        "pictures": "; ".join(entry.pictures),
        "insurance": display.phrases.amount(entry.insured),
        "currency": display.studio.currency,
    }
    if entry.work.for_sale:
        known["price"] = display.phrases.amount(price_of(entry.work))
    return [known[column] for column in columns]
