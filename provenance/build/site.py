"""The site, built whole beside the old one and swapped in.

In: the border, the maker's words, the target folder. Out: the site in its place, a list of what
the public sees differently, and photos that could not be shown. Every printed address must
resolve, else nothing is swapped.
"""

import os
from collections.abc import Container, Mapping, Sequence
from dataclasses import replace
from functools import partial
from itertools import chain
from pathlib import Path

from provenance.build.letters import Letters, begin_letters
from provenance.build.memo import Memo
from provenance.build.placing import Hands, placed_pictures
from provenance.build.program import program
from provenance.build.sealing import Sealing
from provenance.build.seen import FACTS, Built, changes_in
from provenance.build.sharing import placed_shares
from provenance.build.site_files import Trusted
from provenance.build.taking import Allow, taken_away
from provenance.digest import digest_of
from provenance.language.catalogue import own_words
from provenance.output import Tree, new_tree
from provenance.problems import Said, Slip
from provenance.public.border import Border
from provenance.public.shelves import public_dye, public_fleece
from provenance.public.studio import PublicStudio
from provenance.site.moved import moved_pages
from provenance.site.pages import site_pages
from provenance.site.shown import ShownPiece, pictures_of
from provenance.site.whole import Site
from provenance.studio import Studio
from provenance.workers import Tell


def build_site(
    border: Border, target: Path, hands: Hands, tell: Tell, *, allow: Allow | None
) -> Built:
    """Build the site into `target`; hold a lock meanwhile. Slip when a printed address is lost.

    What the public would lose has to be allowed first; where nobody is to be asked (None)
    everything is made and compared, and the old site stays.
    """
    place = Path(os.path.realpath(target))
    trusts, warm = Trusted(hands.memo, place), hands.warm
    with new_tree(place, swaps=allow is not None, trusts=trusts, pool=warm) as tree:
        built = _fill(border, tree, hands, tell)
        if allow:
            allow(taken_away(tree), built.problems)
    names = tree.names if allow else tree.before.keys()
    trusts.remember(names, [name for name in names if not allow or tree.is_carried(name)])
    return replace(built, problems=(*built.problems, *tree.remains))


def _fill(border: Border, tree: Tree, hands: Hands, tell: Tell) -> Built:
    """Make every file of the site that is not as it was, and put all into the new tree."""
    _refuse_another_studio(border.house, tree)
    facts, letters = hands.facts, begin_letters(hands.pool)
    cards = [facts.card(border, number) for number in _to_show(border.studio, tree)]
    rendered, problems = placed_pictures(border, cards, tree, hands, tell)
    if hands.sealing:
        hands.sealing.look_at(rendered, tree)
        hands.pictured()
    pieces = [
        ShownPiece(card, pictures_of(card, rendered.get(card.number, {})),
                   partial(border.piece, card.number), facts.key(border, card.number))
        for card in cards
    ]  # fmt: skip
    pieces = placed_shares(border.house, pieces, tree, hands)
    site = _site(border, hands, pieces, letters)  # waits for certificates that carry a statement
    names, told = _put_pages(site, tree, hands)
    for name, content in moved_pages(site, tree.before, names):
        tree.put(name, content)
        names.add(name)
    _check_permanence(border.studio, names)
    pages = sum(name.endswith(".html") for name in names)
    return Built(
        tree.target, pages, len(site.listed), tuple(changes_in(tree, told)), tuple(problems)
    )


def _site(border: Border, hands: Hands, pieces: Sequence[ShownPiece], letters: Letters) -> Site:
    """Everything that pages are made from."""
    kinds = border.studio.book.pieces.items()
    withdrawn = tuple(border.piece(number) for number, each in kinds if each.state == "withdrawn")
    site = site_of(border, pieces, pieces, hands.sealing, hands.memo, letters())
    return replace(site, withdrawn=withdrawn)


def site_of(
    border: Border, pieces: Sequence[ShownPiece], signed: Sequence[ShownPiece],
    sealing: Sealing | None, memo: Memo, letters: Mapping[str, bytes],
) -> Site:  # fmt: skip
    """What pages of these pieces are made from, with the statements of those that are `signed`."""
    book = border.studio.book
    return Site(
        studio=border.house,
        dyes=tuple(public_dye(border, lot) for lot in book.dyestuffs.values()),
        fleeces=tuple(public_fleece(border, lot) for lot in book.fleece.values()),
        outlets=tuple(border.outlet(name) for name in book.outlets),
        pieces=tuple(pieces),
        withdrawn=(),
        words=book.own_pages,
        letters=letters,
        own_words=own_words(book.studio),
        trusted=sealing.trusted if sealing else None,
        sealed=sealing.shown(signed) if sealing else None,
        once=memo.once,
        shows=border.shows,
    )


def _put_pages(site: Site, tree: Tree, hands: Hands) -> tuple[set[str], dict[str, bytes]]:
    """Put every page into the tree: made anew, or carried over when all it comes from is the same.

    Gives the names of all, and the facts of pieces that were made anew.
    """
    frame, place = digest_of(program(), *site.frame), str(tree.target)
    known: Mapping[str, tuple[str, str]] = hands.memo.get("pages", place) or {}
    kept: dict[str, tuple[str, str]] = {}
    told: dict[str, bytes] = {}
    last, key = None, ""  # files of one piece come one after another, most from the same
    sealed = hands.sealing.pages(site.pieces) if hands.sealing else ()
    for page in chain(site_pages(site), sealed):
        if page.comes_from is not last:
            last, key = page.comes_from, digest_of(frame, *page.comes_from)
        before, digest = known.get(page.name, ("", ""))
        if before != key or not tree.keep(page.name, digest):
            content = page.make()
            digest = tree.put(page.name, content)
            if page.name.endswith(FACTS):
                told[page.name] = content
        kept[page.name] = key, digest
    hands.memo.put("pages", place, kept)
    return set(kept), told


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
    known = {name.removesuffix("/index.html") for name in tree.before}
    return with_pages(studio, known)


def with_pages(studio: Studio, known: Container[str] = ()) -> list[str]:
    """The numbers of all that have a page, in the order of the record book: of drafts those that
    were printed or are known."""
    printed = {str(line.number) for line in studio.book.printed if line.address}
    return [
        number
        for number, piece in studio.book.pieces.items()
        if piece.state != "withdrawn"
        and (not piece.is_draft or number in printed or number in known)
    ]


def _check_permanence(studio: Studio, names: Container[str]) -> None:
    """Every address ever printed still has its page."""
    for line in studio.book.printed:
        if line.address and f"{line.number}/index.html" not in names:
            told = {"number": str(line.number), "title": str(line.title), "on": str(line.on)}
            raise Slip(Said("build.lost", **told), Said("build.bring_back"))
