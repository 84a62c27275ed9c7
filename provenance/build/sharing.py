"""The pictures that pages are passed on with: one for each piece that has a picture.

In: the pieces shown, the tree with their pictures. Out: a landscape picture of each in the tree,
carried over where nothing it comes from has changed, else made by the crew, some at a time.
"""

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from provenance.build.memo import Memo
from provenance.build.placing import Hands
from provenance.build.program import program
from provenance.digest import digest_of
from provenance.output import Tree
from provenance.press.pictures.credit import Credit, packet
from provenance.press.pictures.sharing import Passed, share_picture
from provenance.public.studio import PublicStudio
from provenance.site.shown import ShownPiece, share_path

_AT_ONCE = 32  # pictures whose sources are held in memory


@dataclass(frozen=True, slots=True)
class Share:
    """What the picture of a piece is made of: the names and digests of source and words."""

    piece: ShownPiece
    passed: Passed
    xmp: bytes
    key: str
    made_of: str


def placed_shares(
    studio: PublicStudio, pieces: Sequence[ShownPiece], tree: Tree, hands: Hands
) -> list[ShownPiece]:
    """Put the picture of each piece into the tree; the pieces, with where it lies."""
    lie: dict[str, str] = {}
    missing = list(_missing(studio, pieces, tree, hands, lie))
    for start in range(0, len(missing), _AT_ONCE):
        some = missing[start : start + _AT_ONCE]
        sources = (tree.read(_source(each.piece)) for each in some)
        passed, packets = [each.passed for each in some], [each.xmp for each in some]
        made = hands.pool.map(share_picture, sources, passed, packets)
        for each, content in zip(some, made, strict=True):
            number, digest = each.piece.card.number, hashlib.sha256(content).hexdigest()
            lie[number] = share_path(number, digest)
            tree.put(lie[number], content)
            remember(hands.memo, each, digest)
    return [replace(each, share=lie.get(each.card.number, "")) for each in pieces]


def _missing(
    studio: PublicStudio,
    pieces: Sequence[ShownPiece],
    tree: Tree,
    hands: Hands,
    lie: dict[str, str],
) -> Iterator[Share]:
    """The pictures that have to be made; the others are carried over, also where the facts of the
    piece have changed and what its picture shows has not, and it is noted where they `lie`."""
    for piece in pieces:
        if piece.lead:
            number, source = piece.card.number, tree.digest(_source(piece))
            key = digest_of(program(), piece.stamp, source, studio.name, studio.maker)
            digest = hands.memo.get(f"share {number}", key)
            if digest and _kept(tree, number, digest, lie):
                continue
            share = share_of(studio, piece, source, key)
            digest = made_before(hands.memo, share)
            if digest and _kept(tree, number, digest, lie):
                remember(hands.memo, share, digest)
            else:
                yield share


def _kept(tree: Tree, number: str, digest: str, lie: dict[str, str]) -> bool:
    """Whether the picture is carried over; then it is noted where it lies."""
    path = share_path(number, digest)
    if not tree.keep(path, digest):
        return False
    lie[number] = path
    return True


def made_before(memo: Memo, share: Share) -> str:
    """The SHA-256 of a picture that was made of the very same before; '' for none."""
    return str(memo.get(f"share made {share.piece.card.number}", share.made_of) or "")


def remember(memo: Memo, share: Share, digest: str) -> None:
    """Keep the SHA-256 of a picture that was made."""
    number = share.piece.card.number
    if share.key:
        memo.put(f"share {number}", share.key, digest)
    memo.put(f"share made {number}", share.made_of, digest)


def _source(piece: ShownPiece) -> str:
    """The public picture that it is made from."""
    assert piece.lead is not None
    return piece.lead.for_sharing.path


def share_of(studio: PublicStudio, piece: ShownPiece, source: str, key: str = "") -> Share:
    """What the picture of a piece is made of; `source` is the SHA-256 of its public picture, `key`
    says in short all that its facts come from ('' where nobody asks by that)."""
    facts, lead = piece.facts, piece.lead
    assert lead is not None
    kind = f"{facts.kind_word}, {facts.year}"
    passed = Passed(facts.number, facts.title, kind, studio.name, facts.stripes)
    by = lead.credit or studio.maker
    credit = Credit(
        creator=by, rights=f"© {facts.year} {by}", credit_line=studio.name, alt=lead.alt
    )
    xmp = packet(credit)
    return Share(piece, passed, xmp, key, digest_of(program(), source, passed, xmp))
