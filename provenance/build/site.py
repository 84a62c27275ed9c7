"""The site, built whole beside the old one and swapped in.

In: the border, the maker's words, the target folder. Out: the site in its place, a list of what
the public sees differently, and photos that could not be shown. Every printed address must
resolve, else nothing is swapped.
"""

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from provenance.build.changes import Change, changes_in
from provenance.build.letters import site_letters
from provenance.build.pictures import Made, Wanted, public_pictures
from provenance.output import Tree, new_tree
from provenance.press.pictures.credit import Credit
from provenance.problems import Problem, Said, Slip
from provenance.public.border import Border
from provenance.public.piece import PhotoFacts, PublicPiece
from provenance.public.shapes import PublicWords
from provenance.public.shelves import public_dye, public_fleece
from provenance.public.studio import PublicStudio
from provenance.site.moved import moved_pages
from provenance.site.pages import Site, site_files
from provenance.site.shown import Rendered, picture_path, shown_piece
from provenance.studio import Studio

Tell = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class BuiltSite:
    """What a build did."""

    folder: Path
    pages: int
    pieces: int
    changes: tuple[Change, ...]
    problems: tuple[Problem, ...]


class _OnlyTold(Exception):
    """The build was asked to tell what would change, and to change nothing."""


def build_site(
    border: Border,
    words: Mapping[str, PublicWords],
    target: Path,
    tell: Tell,
    *,
    only_tell: bool = False,
) -> BuiltSite:
    """Build the site into `target`; hold a lock meanwhile. Slip when a printed address is lost.

    With `only_tell` everything is made and compared, and the old site stays.
    """
    built: list[BuiltSite] = []
    with suppress(_OnlyTold), new_tree(target) as tree:
        built.append(_fill(border, words, tree, tell))
        if only_tell:
            raise _OnlyTold
    return built[0]


def _fill(border: Border, words: Mapping[str, PublicWords], tree: Tree, tell: Tell) -> BuiltSite:
    """Make every file of the site and put it into the new tree."""
    _refuse_another_studio(border.house, tree)
    pieces = [border.piece(number) for number in _to_show(border.studio, tree)]
    rendered, problems = _pictures(border, pieces, tree, tell)
    site = Site(
        studio=border.house,
        dyes=tuple(public_dye(border, lot) for lot in border.book.dyestuffs.values()),
        fleeces=tuple(public_fleece(border, lot) for lot in border.book.fleece.values()),
        outlets=tuple(border.outlet(name) for name in border.studio.book.outlets),
        pieces=tuple(shown_piece(each, rendered.get(each.number, {})) for each in pieces),
        withdrawn=_withdrawn(border),
        words=words,
        letters=site_letters(),
    )
    files = site_files(site)
    files |= dict(moved_pages(site, tree.before, files))
    _check_permanence(border.studio, files)
    for name, content in files.items():
        tree.put(name, content)
    pages = sum(name.endswith(".html") for name in files)
    changes = tuple(changes_in(tree, files))
    return BuiltSite(tree.target, pages, len(site.listed), changes, tuple(problems))


def _refuse_another_studio(studio: PublicStudio, tree: Tree) -> None:
    """A site is never swapped for another studio's; one that changed its name or address is known
    by the other."""
    try:
        words = (tree.target / ".studio").read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return
    if len(words) == 2 and words[0] != studio.name and (words[1] != studio.site or not studio.site):
        what = Said("build.another", folder=str(tree.target), old=words[0], studio=studio.name)
        raise Slip(what, Said("build.elsewhere"))


def _to_show(studio: Studio, tree: Tree) -> list[str]:
    """Finished pieces; drafts whose address is out already get a page but no place in lists."""
    known = {str(line.number) for line in studio.book.printed if line.address}
    known |= {name.removesuffix("/index.html") for name in tree.before}
    return [
        number
        for number, piece in studio.book.pieces.items()
        if piece.state != "withdrawn" and (not piece.is_draft or number in known)
    ]


def _withdrawn(border: Border) -> tuple[PublicPiece, ...]:
    pieces = border.studio.book.pieces.items()
    return tuple(border.piece(number) for number, each in pieces if each.state == "withdrawn")


Pictures = dict[str, dict[str, Sequence[Rendered]]]


def _pictures(
    border: Border, pieces: Sequence[PublicPiece], tree: Tree, tell: Tell
) -> tuple[Pictures, list[Problem]]:
    """Make every public picture, put it into the tree, and say where it lies."""
    house = border.house
    owners: dict[Wanted, list[tuple[PublicPiece, PhotoFacts]]] = {}
    for each in pieces:
        for photo in each.photos:
            wanted = Wanted(house.folder, photo.path, _credit(house, each, photo))
            owners.setdefault(wanted, []).append((each, photo))
    rendered: Pictures = {}
    problems: list[Problem] = []
    for made in public_pictures(list(owners), tell):
        for owner, photo in owners[made.wanted]:
            if made.slip:
                problems.append(_photo_problem(border.studio, owner, photo, made.slip))
            else:
                placed = _placed(made, owner, photo, tree)
                rendered.setdefault(owner.number, {})[photo.file] = placed
    return rendered, sorted(problems)


def _placed(made: Made, owner: PublicPiece, photo: PhotoFacts, tree: Tree) -> list[Rendered]:
    placed = []
    for each in made.renditions:
        path = picture_path(owner, photo, each.width, each.format)
        tree.put(path, each.content)
        placed.append(Rendered(path, each.width, each.height, each.format))
    return sorted(placed, key=lambda file: (file.format, file.width))


def _credit(studio: PublicStudio, piece: PublicPiece, photo: PhotoFacts) -> Credit:
    return Credit(
        creator=photo.credit or studio.maker,
        rights=f"© {piece.year} {photo.credit or studio.maker}",
        credit_line=studio.name,
        title=piece.title,
        alt=photo.alt,
        terms=f"{studio.site}/{piece.number}/" if studio.site else "",
        piece_title=piece.title,
        piece_maker=studio.maker,
        piece_year=piece.year,
        piece_number=piece.number,
    )


def _photo_problem(studio: Studio, piece: PublicPiece, photo: PhotoFacts, slip: Slip) -> Problem:
    place = studio.piece(piece.number).record.place_of(photo.file)
    return Problem(place, slip.what, slip.remedy)


def _check_permanence(studio: Studio, files: Mapping[str, bytes]) -> None:
    """Every address ever printed still has its page."""
    for line in studio.book.printed:
        if line.address and f"{line.number}/index.html" not in files:
            told = {"number": str(line.number), "title": str(line.title), "on": str(line.on)}
            raise Slip(Said("build.lost", **told), Said("build.bring_back"))
