"""A page of the maker's own words, with a picture beside it.

In: the words, the pieces of the lists, newest first. Out: what the template is filled with.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from provenance.press.markup import to_html
from provenance.public.shapes import PublicWords
from provenance.site.shown import Picture, ShownPiece

Shown = tuple[ShownPiece, Picture]
_IMAGE = re.compile(r"!\[[^\]]*\]\(\s*([^)\s]+)")


def of_words(words: PublicWords, shown: Shown | None) -> Mapping[str, Any]:
    """What the page is filled with."""
    return {"words": words, "body": to_html(words.text), "shown": shown}


def beside_words(words: PublicWords, place: int, listed: Sequence[ShownPiece]) -> Shown | None:
    """The photo of a piece that the text names, else one of the newest pieces, another for each
    page: in a room or near by, rather than whole."""
    pictures = [(piece, picture) for piece in listed for picture in piece.pictures]
    views = [[each for each in pictures if each[1].view == view] for view in ("room", "detail")]
    usual = next(filter(None, (*views, pictures)), [])
    return next(_named(words, listed), usual[place % len(usual)] if usual else None)


def _named(words: PublicWords, listed: Sequence[ShownPiece]) -> Iterator[Shown]:
    """Pictures of the photo whose file the text names; the file itself is never told."""
    found = _IMAGE.search(words.text)
    for piece in listed if found else ():
        named = {(p.alt, p.view) for p in piece.card.photos if found and p.file == found[1]}
        yield from ((piece, each) for each in piece.pictures if (each.alt, each.view) in named)
