"""The pictures that pages are passed on with: one for each piece that has a picture.

In: the pieces shown, the tree with their pictures. Out: a landscape picture of each in the tree,
carried over where nothing it comes from has changed, else made by the crew, some at a time.
"""

from collections.abc import Iterator, Sequence

from provenance.build.placing import Hands
from provenance.build.program import program
from provenance.digest import digest_of
from provenance.output import Tree
from provenance.press.pictures.credit import Credit, packet
from provenance.press.pictures.sharing import Passed, share_picture
from provenance.public.studio import PublicStudio
from provenance.site.shown import ShownPiece

_AT_ONCE = 32  # pictures whose sources are held in memory
Job = tuple[bytes, Passed, bytes]


def placed_shares(
    studio: PublicStudio, pieces: Sequence[ShownPiece], tree: Tree, hands: Hands
) -> None:
    """Put the picture of each piece into the tree."""
    missing = list(_missing(studio, pieces, tree, hands))
    for start in range(0, len(missing), _AT_ONCE):
        some = missing[start : start + _AT_ONCE]
        jobs = [_job(studio, piece, tree) for piece, _ in some]
        made = hands.pool.map(_made, jobs)
        for (piece, key), content in zip(some, made, strict=True):
            digest = tree.put(piece.share, content)
            hands.memo.put(f"share {piece.card.number}", key, digest)


def _missing(
    studio: PublicStudio, pieces: Sequence[ShownPiece], tree: Tree, hands: Hands
) -> Iterator[tuple[ShownPiece, str]]:
    """The pieces whose picture has to be made, with its key; the others' are carried over."""
    for piece in pieces:
        if piece.lead:
            source = tree.digest(piece.lead.for_sharing.path)
            key = digest_of(program(), piece.stamp, source, studio.name, studio.maker)
            digest = hands.memo.get(f"share {piece.card.number}", key)
            if not (digest and tree.keep(piece.share, digest)):
                yield piece, key


def _job(studio: PublicStudio, piece: ShownPiece, tree: Tree) -> Job:
    facts, lead = piece.facts, piece.lead
    assert lead is not None
    kind = f"{facts.kind_word}, {facts.year}"
    passed = Passed(facts.number, facts.title, kind, studio.name, facts.stripes)
    by = lead.credit or studio.maker
    credit = Credit(
        creator=by, rights=f"© {facts.year} {by}", credit_line=studio.name, alt=lead.alt
    )
    return tree.read(lead.for_sharing.path), passed, packet(credit)


def _made(job: Job) -> bytes:
    return share_picture(*job)
