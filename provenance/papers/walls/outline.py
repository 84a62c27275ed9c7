"""The outline of a work on paper, at its size, for the wall it is to hang on: a PDF to print.

In: the public studio, a piece, the sheet. Out: the bytes of a PDF whose lines are true to the
millimetre when it is printed at 100 %. A work that some sheets can go round is glued together of
those that its edges pass through; of a larger one there are the four corners and the middle of the
top edge with its hook, each with its distance in words, so that they need no paper between them.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from textwrap import wrap

from provenance.language.measures import inches
from provenance.language.phrases import Phrases
from provenance.papers.format import Format
from provenance.papers.walls.tiles import BESIDE, Point, Segment, Tile, Wall, tiles_of
from provenance.press.pdf.drawn import Leaf, drawn_pdf
from provenance.public.card import Card
from provenance.public.piece import PublicPiece
from provenance.public.studio import PublicStudio

MARGIN, FOOT = 10.0, 34.0  # mm kept free for printers; mm for words and ruler
RULER = 100  # mm
_LINE, _SIZE = 5.5, 10  # from a line of words to the next, in mm; its size in points
_ON_HALF = 40  # letters beside the centre line


def has_outline(card: PublicPiece | Card) -> bool:
    """Whether there is an outline for a wall: of a hanging, or of what has a hook, if its size is
    known."""
    return card.measures is not None and (card.kind == "hanging" or card.hook is not None)


def outline_pdf(studio: PublicStudio, facts: PublicPiece, sheet: Format) -> bytes:
    """The paper; a piece without a size has none (ValueError)."""
    wall, room = _wall(facts), _room(sheet)
    tiles = tiles_of(wall, *room)
    phrases = studio.phrases
    leaves = []
    for number, tile in enumerate(tiles, 1):
        leaf = Leaf(*sheet.size_mm)
        _draw(leaf, wall, tile, tiles, phrases)
        _foot(leaf, studio, facts, _place(number, tile, tiles, phrases))
        _key(leaf, wall, tile, tiles)
        leaves.append(leaf)
    title = f"{facts.number} {facts.title}: {phrases.say('outline.name')}"
    author = f"{studio.maker}, {studio.name}"
    return drawn_pdf(leaves, title, author, phrases.language, facts.by)


def sheets_of(card: PublicPiece | Card, sheet: Format) -> int:
    """How many sheets it takes."""
    return len(tiles_of(_wall(card), *_room(sheet)))


def _wall(card: PublicPiece | Card) -> Wall:
    size = card.measures
    if size is None:
        raise ValueError("an outline wants a size")
    hook = None if card.hook is None else float(card.hook * 10)
    return Wall(float(size.width * 10), float(size.height * 10), hook)


def _room(sheet: Format) -> tuple[float, float]:
    """What one sheet shows of the wall, in mm."""
    wide, high = sheet.size_mm
    return wide - 2 * MARGIN, high - 2 * MARGIN - FOOT


def _draw(leaf: Leaf, wall: Wall, tile: Tile, tiles: tuple[Tile, ...], phrases: Phrases) -> None:
    """What a sheet shows of the wall: its frame, the outline, the centre line, the hook."""

    def at(point: Point) -> Point:
        return point[0] - tile.x + MARGIN, point[1] - tile.y + MARGIN

    with leaf.decoration():
        _frame(leaf, tile)
        for line in _laps(tile, tiles):
            leaf.line(*map(at, line), wide=0.15, dashes="0.6 1.2")
    centre = ((wall.width / 2, wall.top - BESIDE), (wall.width / 2, wall.height + BESIDE))
    with leaf.figure(_told(wall, tile, phrases)):
        for edge in wall.edges:
            if part := tile.holds(edge):
                leaf.line(*map(at, part), wide=0.6)
        if part := tile.holds(centre):
            leaf.line(*map(at, part), wide=0.2, dashes="6 1.5 1 1.5")
        if wall.hook is not None and tile.holds(wall.stem):
            _hook(leaf, at(wall.stem[0]))
    _say(leaf, wall, tile, at((wall.width / 2, 0.0)), phrases)


def _frame(leaf: Leaf, tile: Tile) -> None:
    x, y = MARGIN, MARGIN
    far, low = x + tile.width, y + tile.height
    leaf.line((x, y), (far, y), (far, low), (x, low), (x, y), wide=0.1, dashes="2 2")


def _laps(tile: Tile, tiles: tuple[Tile, ...]) -> Iterator[Segment]:
    """Where the left or upper edge of the next sheet comes to lie."""
    for other in tiles if tile.row else ():
        if (other.row, other.column) == (tile.row, tile.column + 1):
            yield (other.x, tile.y), (other.x, tile.y + tile.height)
        if (other.row, other.column) == (tile.row + 1, tile.column):
            yield (tile.x, other.y), (tile.x + tile.width, other.y)


def _hook(leaf: Leaf, at: Point) -> None:
    """A cross in a ring."""
    x, y = at
    leaf.ring(at, 4, 0.3)
    leaf.line((x - 7, y), (x + 7, y), wide=0.3)
    leaf.line((x, y - 7), (x, y + 7), wide=0.3)


def _say(leaf: Leaf, wall: Wall, tile: Tile, top: Point, phrases: Phrases) -> None:
    """The words on a sheet: what hangs in the middle, or how far a corner is from there."""
    if tile.name not in ("", "middle"):
        is_left, is_low = "left" in tile.name, "lower" in tile.name
        inside = BESIDE + 8
        x = MARGIN + (inside if is_left else tile.width - inside)
        y = MARGIN + (tile.height - inside - 2 * _LINE if is_low else inside + 4)
        _lines(leaf, (x, y), _from_the_middle(wall, tile.name, phrases), ends=not is_left)
    elif tile.holds(wall.stem):
        (x, y), ends = top, top[0] > leaf.width * 0.6
        over = y - (wall.hook or 0.0) + (-3.0 if wall.hook else 6.0)
        told = wrap(_hook_words(wall, phrases), _ON_HALF)
        _lines(leaf, (x - 9 if ends else x + 9, over), told, ends=ends)
        centre = x - 3 if ends else x + 3, MARGIN + tile.height - 4
        _lines(leaf, centre, [phrases.say("outline.centre")], ends=ends)
        how = phrases.say("outline.how").split("\n") if tile.name else []
        _lines(leaf, (MARGIN + 6, y + 24), how)


def _from_the_middle(wall: Wall, corner: str, phrases: Phrases) -> list[str]:
    """How far a corner is from the middle of the top edge."""
    side = "outline.to_the_left" if "left" in corner else "outline.to_the_right"
    across = phrases.say(side, length=_length(wall.width / 2, phrases))
    is_low, high = "lower" in corner, _length(wall.height, phrases)
    down = phrases.say("outline.below", length=high) if is_low else phrases.say("outline.level")
    return [phrases.opening(phrases.say(f"outline.{corner}")), across, down]


def _lines(leaf: Leaf, at: Point, lines: Sequence[str], *, ends: bool = False) -> None:
    for turn, line in enumerate(lines):
        place = at[0], at[1] + turn * _LINE
        leaf.words(place, line, _SIZE, turn="end" if ends else "start")


def _hook_words(wall: Wall, phrases: Phrases) -> str:
    if wall.hook is None:
        return phrases.say("outline.no_hook")
    where = "above" if wall.hook > 0 else "below" if wall.hook < 0 else "at_edge"
    length = _length(abs(wall.hook), phrases)
    return phrases.opening(phrases.say(f"registrar.hook_{where}", length=length))


def _told(wall: Wall, tile: Tile, phrases: Phrases) -> str:
    """What the lines of a sheet show, for those who can't see them."""
    parts = [phrases.say("outline.edge")] if any(map(tile.holds, wall.edges)) else []
    if tile.holds(wall.stem):
        parts.append(_hook_words(wall, phrases))
    return ". ".join(parts) or phrases.say("outline.centre")


def _place(number: int, tile: Tile, tiles: tuple[Tile, ...], phrases: Phrases) -> str:
    """Sheet 2 of 5: upper left corner."""
    name = phrases.say(f"outline.{tile.name}") if tile.name else phrases.say(
        "outline.in_row", row=tile.row, column=tile.column
    )  # fmt: skip
    return phrases.say("outline.sheet", number=number, sheets=len(tiles), name=name)


def _foot(leaf: Leaf, studio: PublicStudio, facts: PublicPiece, place: str) -> None:
    """What the sheet belongs to, and the line by which a print is proved."""
    phrases, x, top = studio.phrases, MARGIN, leaf.height - MARGIN - FOOT
    leaf.words((x, top + 8), f"{facts.number}  {facts.title}", 14)
    leaf.words((x, top + 13), f"{studio.maker}, {studio.name}. {facts.size}", 9)
    leaf.words((x, top + 17.5), place, 9)
    y = leaf.height - MARGIN - 4
    proof = phrases.say("outline.print", whole=phrases.percent(100), length=f"{RULER} mm")
    leaf.words((x, y - 4.5), proof, 9)
    with leaf.figure(phrases.say("outline.ruler", length=f"{RULER} mm")):
        leaf.line((x, y), (x + RULER, y), wide=0.3)
        for at in range(0, RULER + 1, 10):
            leaf.line((x + at, y - (2 if at % 50 == 0 else 1.2)), (x + at, y), wide=0.2)
    leaf.words((x + RULER + 3, y), f"{RULER} mm", 9, is_told=False)


def _key(leaf: Leaf, wall: Wall, tile: Tile, tiles: tuple[Tile, ...]) -> None:
    """A small map of the sheets, this one filled."""
    boxes = [(each.x, each.y, each.x + each.width, each.y + each.height) for each in tiles]
    left, top = min(0.0, *(box[0] for box in boxes)), min(0.0, *(box[1] for box in boxes))
    right, foot = max(box[2] for box in boxes), max(box[3] for box in boxes)
    scale = min(40 / (right - left), 26 / (foot - top))
    start = leaf.width - MARGIN - (right - left) * scale, leaf.height - MARGIN - 27

    def at(x: float, y: float) -> Point:
        return start[0] + (x - left) * scale, start[1] + (y - top) * scale

    with leaf.decoration():
        own = (tile.x, tile.y, tile.x + tile.width, tile.y + tile.height)
        for x1, y1, x2, y2 in boxes:
            leaf.line(at(x1, y1), at(x2, y1), at(x2, y2), at(x1, y2), at(x1, y1), wide=0.1)
        x1, y1, x2, y2 = own
        leaf.grey(at(x1, y1), at(x2, y2))
        for one, other in wall.edges:
            leaf.line(at(*one), at(*other), wide=0.3)


def _length(mm: float, phrases: Phrases) -> str:
    """In the studio's own unit first, then in the other."""
    cm = Fraction(mm).limit_denominator(1000) / 10
    metric, imperial = f"{phrases.number(cm, 1)} cm", f"{inches(cm)} in"
    return f"{imperial} ({metric})" if phrases.is_american else f"{metric} ({imperial})"
