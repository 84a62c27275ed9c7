"""The site, built whole beside the old one and swapped in.

In: the setting, the maker's words, the target folder. Out: the site in its place, a list of what
the public sees differently, and photos that could not be shown. Every printed address must
resolve, else nothing is swapped.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from provenance.build.letters import site_letters
from provenance.build.pictures import Made, Wanted, public_pictures
from provenance.output import Tree, new_tree
from provenance.press.pictures.credit import Credit
from provenance.problems import Problem, Slip
from provenance.public.facts import PhotoFacts, PieceFacts, facts_of
from provenance.public.setting import Setting
from provenance.records.checks_photos import photo_path
from provenance.records.pages import Words
from provenance.records.pieces import Piece
from provenance.site.moved import moved_pages
from provenance.site.pages import SiteParts, site_files
from provenance.site.shown import Rendered, ShownPiece, picture_path, shown_piece
from provenance.site.studio import site_studio


@dataclass(frozen=True, slots=True)
class Change:
    """Something the public will see differently: a page, and the words of it that change."""

    page: str
    how: str
    fields: tuple[tuple[str, str, str], ...] = ()


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
    setting: Setting,
    words: Mapping[str, Words],
    target: Path,
    tell: Callable[[int, int], None],
    *,
    only_tell: bool = False,
) -> BuiltSite:
    """Build the site into `target`; hold a lock meanwhile. Slip when a printed address is lost.

    With `only_tell` everything is made and compared, and the old site stays.
    """
    built: list[BuiltSite] = []
    with suppress(_OnlyTold), new_tree(target) as tree:
        built.append(_fill(setting, words, tree, tell))
        if only_tell:
            raise _OnlyTold
    return built[0]


def _fill(
    setting: Setting, words: Mapping[str, Words], tree: Tree, tell: Callable[[int, int], None]
) -> BuiltSite:
    """Make every file of the site and put it into the new tree."""
    _refuse_another_studio(setting, tree)
    shown = _pieces_to_show(setting, tree)
    facts = {number: facts_of(setting, piece) for number, piece in shown.items()}
    rendered, problems = _pictures(setting, facts, tree, tell)
    parts = SiteParts(
        setting=setting,
        studio=site_studio(setting),
        pieces=tuple(_shown(setting, facts[number], rendered) for number in shown),
        withdrawn=_withdrawn(setting),
        words=words,
        letters=site_letters(),
    )
    files = site_files(parts)
    files |= dict(moved_pages(parts, tree.before, files))
    _check_permanence(setting, files)
    changes = tuple(_changes(tree, files))
    for name, content in files.items():
        tree.put(name, content)
    pages = sum(name.endswith(".html") for name in files)
    return BuiltSite(tree.target, pages, len(parts.listed), changes, tuple(problems))


def _refuse_another_studio(setting: Setting, tree: Tree) -> None:
    """A site is never swapped for another studio's; one that changed its name or address is known
    by the other."""
    try:
        words = (tree.target / ".studio").read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return
    studio = site_studio(setting)
    if len(words) == 2 and words[0] != studio.name and (words[1] != studio.site or not studio.site):
        raise Slip(
            f"{tree.target} holds the site of {words[0]}, not of {studio.name}",
            "name another folder: build --to FOLDER; or clear that one away first",
        )


def _pieces_to_show(setting: Setting, tree: Tree) -> dict[str, Piece]:
    """Finished pieces; drafts whose address is out already get a page but no place in lists."""
    known = {str(line.number) for line in setting.book.printed if line.address}
    known |= {name.removesuffix("/index.html") for name in tree.before}
    return {
        number: piece
        for number, piece in setting.book.pieces.items()
        if piece.state != "withdrawn" and (not piece.is_draft or number in known)
    }


def _withdrawn(setting: Setting) -> tuple[PieceFacts, ...]:
    gone = (each for each in setting.book.pieces.values() if each.state == "withdrawn")
    return tuple(facts_of(setting, piece) for piece in gone)


def _shown(
    setting: Setting, facts: PieceFacts, rendered: Mapping[str, Sequence[Rendered]]
) -> ShownPiece:
    finished = setting.book.pieces[facts.number].finished
    listed = not facts.is_draft
    own = {photo.file: rendered.get(f"{facts.number} {photo.file}", ()) for photo in facts.photos}
    return shown_piece(facts, own, finished, is_listed=listed)


def _pictures(
    setting: Setting,
    facts: Mapping[str, PieceFacts],
    tree: Tree,
    tell: Callable[[int, int], None],
) -> tuple[dict[str, list[Rendered]], list[Problem]]:
    """Make every public picture, put it into the tree, and say where it lies."""
    owners: dict[Wanted, list[tuple[PieceFacts, PhotoFacts]]] = {}
    for each in facts.values():
        for photo in each.photos:
            wanted = Wanted(
                setting.book.folder, photo_path(photo.file), _credit(setting, each, photo)
            )
            owners.setdefault(wanted, []).append((each, photo))
    rendered: dict[str, list[Rendered]] = {}
    problems: list[Problem] = []
    for made in public_pictures(list(owners), tell):
        for owner, photo in owners[made.wanted]:
            if made.slip:
                problems.append(_photo_problem(setting, owner, photo, made.slip))
            else:
                rendered[f"{owner.number} {photo.file}"] = _placed(made, owner, photo, tree)
    return rendered, sorted(problems)


def _placed(made: Made, owner: PieceFacts, photo: PhotoFacts, tree: Tree) -> list[Rendered]:
    placed = []
    for each in made.renditions:
        path = picture_path(owner, photo, each.width, each.format)
        tree.put(path, each.content)
        placed.append(Rendered(path, each.width, each.height, each.format))
    return sorted(placed, key=lambda file: (file.format, file.width))


def _credit(setting: Setting, facts: PieceFacts, photo: PhotoFacts) -> Credit:
    studio = setting.book.studio
    return Credit(
        creator=photo.credit or str(studio.maker),
        rights=f"© {facts.year} {photo.credit or studio.maker}",
        credit_line=str(studio.studio),
        title=facts.title,
        alt=photo.alt,
        terms=f"{studio.site}/{facts.number}/" if studio.site else "",
        piece_title=facts.title,
        piece_maker=str(studio.maker),
        piece_year=facts.year,
        piece_number=facts.number,
    )


def _photo_problem(setting: Setting, facts: PieceFacts, photo: PhotoFacts, slip: Slip) -> Problem:
    piece = setting.book.pieces[facts.number]
    place = next(p.file.place for p in piece.photos if p.file == photo.file)
    return Problem(place, slip.what, slip.remedy)


def _check_permanence(setting: Setting, files: Mapping[str, bytes]) -> None:
    """Every address ever printed still has its page."""
    for line in setting.book.printed:
        if line.address and f"{line.number}/index.html" not in files:
            raise Slip(
                f"{line.number} '{line.title}' was printed on {line.on} and would have no page",
                "bring its record back; if the piece is no more, write 'status: withdrawn'",
            )


def _changes(tree: Tree, files: Mapping[str, bytes]) -> Iterator[Change]:
    """What the public will see differently, by the facts of each piece and by page."""
    for name in sorted(files):
        if not name.endswith("piece.json"):
            continue
        number = name.removesuffix("/piece.json")
        new = json.loads(files[name])
        if name not in tree.before:
            yield Change(f"{number}/", f"new: {new.get('title', '')}")
            continue
        old = _old_facts(tree.target / name)
        words = [word for word in {**old, **new} if old.get(word) != new.get(word)]
        if words:
            fields = tuple((word, _brief(old.get(word)), _brief(new.get(word))) for word in words)
            yield Change(f"{number}/", "changed", fields)
    for name in sorted(tree.before):
        if name.endswith("/piece.json") and name not in files:
            yield Change(f"{name.removesuffix('piece.json')}", "no longer shown with its facts")


def _old_facts(path: Path) -> dict[str, object]:
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def _brief(value: object) -> str:
    if value is None:
        return "nothing"
    text = "; ".join(map(str, value)) if isinstance(value, list) else str(value)
    return text if len(text) <= 60 else text[:57].rstrip() + "..."
