"""Entries for a juried show: which works may go, their pictures by name, and the fields asked for.

In: the papers of a show and its rules. Out: entries, and a problem for every work or picture that
its rules refuse. Rules differ from show to show (size in pixels, file names, views, largest work,
age of the work: fineartsblount.org, georgiawatercolorsociety.com, flnps.org, gf.org, American
Tapestry Alliance 2010), so they stand in the outlet's record.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.money.consignment import parts_of
from provenance.figures.working import Figure
from provenance.language.phrases import british, eighths
from provenance.papers.certificates.object_id import medium
from provenance.papers.sheets.frame import Held, Papers, price_of
from provenance.papers.sheets.show_pictures import ShowPicture, ending, file_name, show_picture
from provenance.press.markup import to_plain
from provenance.press.pictures.photos import open_photo
from provenance.problems import Problem, Slip
from provenance.public.facts import PhotoFacts
from provenance.records.amounts import Size
from provenance.records.checks_photos import photo_path
from provenance.records.show_rules import ShowRules

_INCH = Fraction("2.54")


@dataclass(frozen=True, slots=True)
class EntryPicture:
    """A picture with its name at the show."""

    name: str
    view: str
    picture: ShowPicture


@dataclass(frozen=True, slots=True)
class Entry:
    """One work that is entered: its fields as words, and its pictures."""

    work: Held
    fields: dict[str, str]
    statement: str
    pictures: tuple[EntryPicture, ...]


def entries_of(papers: Papers) -> tuple[tuple[Entry, ...], tuple[Problem, ...]]:
    """Every work that the rules let in, in order of number, and what they refuse."""
    entries: list[Entry] = []
    problems: list[Problem] = []
    names: dict[str, int] = {}
    for work in papers.pieces:
        refused = [_problem(work, what, remedy) for what, remedy in refusals(papers, work)]
        problems += refused
        if refused:
            continue
        pictures, slips = _pictures(papers, work, names)
        tell = british().tell
        problems += [_problem(work, tell(slip.what), tell(slip.remedy)) for slip in slips]
        statement = to_plain(work.facts.story)
        problems += _too_wordy(papers, work, statement)
        entries.append(Entry(work, fields_of(papers, work), statement, pictures))
    most = papers.outlet.rules.most_works
    if most is not None and len(entries) > most:
        what = f"{len(entries)} works are entered and {papers.title} takes {int(most)} at most"
        problems.append(Problem(most.place, what, "set the others' 'at:' to another place"))
    return tuple(entries), tuple(problems)


def _problem(work: Held, what: str, remedy: str, *, is_remark: bool = False) -> Problem:
    number, title = work.facts.number, work.facts.title
    said = f"{number} {title}: {what}"
    return Problem(work.piece.number.place, said, remedy, is_remark)


def refusals(papers: Papers, work: Held) -> Iterator[tuple[str, str]]:
    """Why a work may not be entered, each with a remedy."""
    rules, piece, size = papers.outlet.rules, work.piece, work.piece.size
    remedy = "enter a smaller work: change 'at:' in this record"
    if size is not None:
        for why in _too_large(size, rules):
            said = papers.setting.phrases.size(size)
            yield f"{said} {why}, which {papers.title} does not take", remedy
    if rules.made_since and piece.finished:
        made = piece.finished.isoformat()[: len(rules.made_since)]
        if made < rules.made_since:
            what = f"finished {piece.finished}, and {papers.title} takes work since"
            yield f"{what} {rules.made_since}", "enter a newer work: change 'at:' in this record"


def _too_large(size: Size, rules: ShowRules) -> Iterator[str]:
    if rules.largest_work is not None and not fits(size, rules.largest_work):
        yield f"is larger than {rules.largest_work.written}"
    if rules.no_side_over is not None and max(_sides(size)) > rules.no_side_over:
        yield f"has a side over {rules.no_side_over.written}"
    if rules.largest_area is not None and size.area > rules.largest_area:
        yield "covers more than the largest area"


def _sides(size: Size) -> list[Fraction]:
    return [Fraction(side) for side in (size.height, size.width, size.depth) if side is not None]


def fits(size: Size, largest: Size) -> bool:
    """Whether height, width and, where both have one, depth stay within the largest."""
    return all(a <= b for a, b in zip(_sides(size), _sides(largest), strict=False))


def _too_wordy(papers: Papers, work: Held, statement: str) -> list[Problem]:
    asked, count = papers.outlet.rules.statement, len(statement.split())
    if asked is None or asked.least <= count <= asked.most:
        return []
    range_ = f"{asked.least} to {asked.most}" if asked.least else f"{asked.most} at most"
    what = f"its story has {count} words and {papers.title} asks for {range_}"
    return [_problem(work, what, "write a statement of that length", is_remark=True)]


def fields_of(papers: Papers, work: Held) -> dict[str, str]:
    """The fields the show asks for, in its order; statement and pictures stand by themselves."""
    facts, rules = work.facts, papers.outlet.rules
    known = {
        "number": facts.number,
        "title": facts.title,
        "maker": str(papers.setting.book.studio.maker),
        "kind": facts.kind_word,
        "medium": medium(facts),
        "size": size_words(papers, work.piece.size) if work.piece.size else "",
        "weight": facts.weight,
        "year": facts.year,
        "price": facts.price if work.for_sale else papers.say("nfs"),
        "insurance": papers.money(insured_for(papers, work)),
    }
    return {str(field): known[str(field)] for field in rules.fields if str(field) in known}


def insured_for(papers: Papers, work: Held) -> Figure:
    """The price, or what of it would come to the maker, as the show asks."""
    price = price_of(work)
    if papers.outlet.rules.insurance == "price":
        return price
    return parts_of(price, papers.outlet, papers.minor).to_maker


def size_words(papers: Papers, size: Size) -> str:
    """A size in the unit and the order that the show asks for, with letters: W 74 × H 92 cm."""
    rules, phrases = papers.outlet.rules, papers.setting.phrases
    if rules.sizes_in == "both" and rules.first == "height":
        return phrases.size(size)
    sides = list(zip("HWD", _sides(size), strict=False))
    if rules.first == "width":
        sides[:2] = sides[1::-1]
    cm = " × ".join(f"{letter} {phrases.number(side, 1)}" for letter, side in sides) + " cm"
    inches = " × ".join(f"{letter} {eighths(side / _INCH)}" for letter, side in sides) + " in"
    return {"cm": cm, "in": inches}.get(rules.sizes_in, f"{cm} ({inches})")


def _pictures(
    papers: Papers, work: Held, names: dict[str, int]
) -> tuple[tuple[EntryPicture, ...], list[Slip]]:
    """The views asked for, made and named; `names` are those given so far, in all entries."""
    made: list[EntryPicture] = []
    slips: list[Slip] = []
    for view, photo in _wanted(papers, work, slips):
        try:
            found = open_photo(papers.setting.book.folder, photo_path(photo.file))
            picture = show_picture(found, papers.outlet.rules)
        except Slip as slip:
            slips.append(slip)
            continue
        made.append(EntryPicture(_name(papers, work, view, names), view, picture))
    return tuple(made), slips


def _wanted(papers: Papers, work: Held, slips: list[Slip]) -> Iterator[tuple[str, PhotoFacts]]:
    for asked in papers.outlet.rules.pictures:
        photos: Sequence[PhotoFacts] = [p for p in work.facts.photos if p.view == asked.view]
        lacking = asked.count - len(photos)
        if lacking > 0:
            noun = "photo" if lacking == 1 else "photos"
            slips.append(
                Slip(
                    f"{lacking} {noun} with 'view: {asked.view}' lacking, which "
                    f"{papers.title} asks for",
                    "take it, and add it to the photos of the record",
                )
            )
        for photo in photos[: asked.count]:
            yield asked.view, photo


def _name(papers: Papers, work: Held, view: str, names: dict[str, int]) -> str:
    """The file name by the show's pattern; what would be the same gets its view, then a number."""
    rules, maker = papers.outlet.rules, str(papers.setting.book.studio.maker)
    count = sum(names.values()) + 1
    parts = {
        "n": str(count), "nn": f"{count:02}", "maker": maker, "first": maker.split()[0],
        "last": maker.split()[-1], "title": work.facts.title, "number": work.facts.number,
        "view": view, "year": work.facts.year,
    }  # fmt: skip
    stem = file_name(rules.file_names, parts)
    for tried in (stem, f"{stem} {view}", *(f"{stem} {view} {i}" for i in range(2, 100))):
        if tried.casefold() not in names:
            names[tried.casefold()] = 1
            return f"{tried}.{ending(rules)}"
    raise AssertionError("a work has fewer than a hundred pictures")
