"""The site, built whole beside the old one and swapped in.

In: the border, the maker's words, the target folder. Out: the site in its place, a list of what
the public sees differently, and photos that could not be shown. Every printed address must
resolve, else nothing is swapped.
"""

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from provenance.build.letters import site_letters
from provenance.build.pictures import Made, Wanted, public_pictures
from provenance.output import Tree, new_tree
from provenance.press.pictures.credit import Credit
from provenance.problems import Problem, Said, Slip, Words
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
_FACTS = "piece.json"
_UNSEEN = (".studio", ".nojekyll")
_BRIEF = 60


@dataclass(frozen=True, slots=True)
class Change:
    """A file that differs: how (new, changed, gone), a new piece's title, the facts that differ
    (word, old, new)."""

    file: str
    how: str
    title: str = ""
    fields: tuple[tuple[str, str, str], ...] = ()

    @property
    def page(self) -> str:
        """The address of a page; else the file."""
        return self.file.removesuffix("index.html")

    @property
    def is_page(self) -> bool:
        """Whether it is a page that people read."""
        return self.file.endswith(".html")


@dataclass(frozen=True, slots=True)
class Built:
    """What a build did and what it could not do; `lines` tell the maker of it."""

    folder: Path
    pages: int
    pieces: int
    changes: tuple[Change, ...]
    problems: tuple[Problem, ...]
    lines: tuple[Words, ...] = ()


def build_site(
    border: Border,
    words: Mapping[str, PublicWords],
    target: Path,
    tell: Tell,
    *,
    only_tell: bool = False,
) -> Built:
    """Build the site into `target`; hold a lock meanwhile. Slip when a printed address is lost.

    With `only_tell` everything is made and compared, and the old site stays.
    """
    with new_tree(target, swaps=not only_tell) as tree:
        return _fill(border, words, tree, tell)


def _fill(border: Border, words: Mapping[str, PublicWords], tree: Tree, tell: Tell) -> Built:
    """Make every file of the site and put it into the new tree."""
    _refuse_another_studio(border.house, tree)
    withdrawn = (n for n, each in border.studio.book.pieces.items() if each.state == "withdrawn")
    pieces = [border.piece(number) for number in _to_show(border.studio, tree)]
    rendered, problems = _pictures(border, pieces, tree, tell)
    site = Site(
        studio=border.house,
        dyes=tuple(public_dye(border, lot) for lot in border.book.dyestuffs.values()),
        fleeces=tuple(public_fleece(border, lot) for lot in border.book.fleece.values()),
        outlets=tuple(border.outlet(name) for name in border.studio.book.outlets),
        pieces=tuple(shown_piece(each, rendered.get(each.number, {})) for each in pieces),
        withdrawn=tuple(map(border.piece, withdrawn)),
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
    return Built(tree.target, pages, len(site.listed), changes, tuple(problems))


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
                place = border.studio.piece(owner.number).record.place_of(photo.file)
                problems.append(Problem(place, made.slip.what, made.slip.remedy))
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


def _check_permanence(studio: Studio, files: Mapping[str, bytes]) -> None:
    """Every address ever printed still has its page."""
    for line in studio.book.printed:
        if line.address and f"{line.number}/index.html" not in files:
            told = {"number": str(line.number), "title": str(line.title), "on": str(line.on)}
            raise Slip(Said("build.lost", **told), Said("build.bring_back"))


def changes_in(tree: Tree, files: Mapping[str, bytes]) -> Iterator[Change]:
    """Every public file that differs from the site before."""
    for name, how in tree.changes():
        if name in _UNSEEN:
            continue
        facts = f"{name.removesuffix('index.html')}{_FACTS}"
        if not name.endswith("/index.html") or facts not in files:
            yield Change(name, how)
            continue
        new = json.loads(files[facts])
        if how == "new":
            yield Change(name, how, str(new.get("title", "")))
        else:
            yield Change(name, how, fields=tuple(_differing(_old(tree.target / facts), new)))


def _differing(
    old: Mapping[str, object], new: Mapping[str, object]
) -> Iterator[tuple[str, str, str]]:
    for word in {**old, **new}:
        if old.get(word) != new.get(word):
            yield word, _brief(old.get(word)), _brief(new.get(word))


def _old(path: Path) -> dict[str, object]:
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def _brief(value: object) -> str:
    text = "; ".join(map(str, value)) if isinstance(value, list) else str(value or "")
    return text if len(text) <= _BRIEF else text[: _BRIEF - 3].rstrip() + "..."
