"""The words of a tag set into its size: lines, sizes of letters, places; nothing is printed yet.

In: `TagWords` and a `Form`. Out: blocks of lines with their places in millimetres, or a Slip.
Words are measured first and set as large as the tag has room for. A long title steps down and takes
more lines; plain words step down together, not below 7 pt; then the least needed go, in the order
of `short_of_room`, and what was left off is told. Nothing is ever cut off. Room that is left goes
between the blocks. The tags of one sheet have plain words of one size, that of the fullest.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate, pairwise

from provenance.papers.tags import style
from provenance.papers.tags.form import Form
from provenance.papers.tags.imposition import SAFE, in_mm
from provenance.papers.tags.short_of_room import in_one_line, run_together, trials
from provenance.papers.tags.style import FACES, ROLES, Block, Step, capital
from provenance.papers.tags.words import TagWords
from provenance.press.letters.measure import POINT, balanced, lines_of, width_mm
from provenance.problems import Said, Slip


@dataclass(frozen=True, slots=True)
class SetTag:
    """A tag ready to print: its blocks, what was left off for want of room."""

    words: TagWords
    form: Form
    blocks: tuple[Block, ...]
    left_off: tuple[str, ...]
    body: Fraction
    keeps_origin: bool = False


def set_tag(
    words: TagWords, form: Form, *, keeps_origin: bool = False, most: Fraction | None = None
) -> SetTag:
    """Set a tag, its plain words no larger than `most` points; Slip when they don't fit even with
    the least of them left off."""
    for (fields, left_off), step in trials(words, form, keeps_origin=keeps_origin):
        blocks = _attempt(fields, form, step) if most is None or step.body <= most else None
        if blocks is not None:
            more = (*_page(form), *(_stub(words, form) if form.has_stub else ()))
            return SetTag(words, form, (*blocks, *more), left_off, step.body, keeps_origin)
    sides = in_mm(width=form.width, height=form.height)
    raise Slip(Said("tag_slip.too_many", number=words.number, **sides), Said("tag_slip.shorter"))


def levelled(tags: Mapping[int, SetTag]) -> dict[int, SetTag]:
    """The tags of one sheet by cell, their plain words as large as those of the fullest."""
    least = min(tag.body for tag in tags.values())
    return {
        cell: tag
        if tag.body == least
        else set_tag(tag.words, tag.form, keeps_origin=tag.keeps_origin, most=least)
        for cell, tag in tags.items()
    }


def _attempt(fields: Mapping[str, str], form: Form, step: Step) -> tuple[Block, ...] | None:
    said = [
        (field, text) for field, text in fields.items() if text and field not in ("code", "page")
    ]
    said = run_together(said) if form.is_wide else list(in_one_line(said, form, step))
    at = len(said)
    while at and ROLES[said[at - 1][0]] in style.FOOT:
        at -= 1
    foot, head = _foot(said[at:], form, step), _head(said[:at], form, step)
    if foot is None or head is None:
        return None
    spare = _limit(foot, form) - _end(head)
    return (*_spread(head, spare, form), *foot) if spare >= 0 or not head else None


def _end(head: Sequence[Block]) -> Fraction:
    """How far the words above reach down."""
    return head[-1].last_baseline + _tail(head[-1]) if head else Fraction(0)


def _limit(foot: Sequence[Block], form: Form) -> Fraction:
    """How far they may reach: clear of the price, the code and the edge."""
    limit = form.height - SAFE
    if form.page_lines:
        limit = form.page_baseline - capital("page", form.page_size) - form.scaled("1")
    if foot:
        limit = foot[0].capital_top - form.scaled("2.2")
    return min(limit, form.code_top) if form.code_side and not form.is_wide else limit


def _spread(head: Sequence[Block], spare: Fraction, form: Form) -> Iterator[Block]:
    """The words above with the room that is left between their blocks, up to a bound."""
    gaps = [_is_apart(*pair) for pair in pairwise(head)]
    each = spare / (sum(gaps) + 1)  # one share stays over the foot
    each = min(each, form.scaled(style.WIDEST_GAP)) if form.code_modules else each
    moves = accumulate((each * gap for gap in gaps), initial=Fraction(0))
    yield from (replace(b, baseline=b.baseline + by) for b, by in zip(head, moves, strict=False))


def _is_apart(before: Block, block: Block) -> bool:
    return not (before.role == block.role and before.role in style.RUN_ON)


def _page(form: Form) -> tuple[Block, ...]:
    """Under the code, in words, where it leads."""
    if not form.page_lines:
        return ()
    room = form.width - form.margin - form.text_left
    line = Block("page", form.page_lines, form.text_left, form.page_baseline, room, form.page_size)
    return (replace(line, is_right=True),)


def _head(fields: Sequence[tuple[str, str]], form: Form, step: Step) -> tuple[Block, ...] | None:
    """Fields from the top downwards; None when one of them is too wide."""
    blocks: list[Block] = []
    for field, text in fields:
        block = _block(field, text, form.text_width, form, step)
        if block is None:
            return None
        if blocks:
            start = blocks[-1].last_baseline + _gap(blocks[-1].role, block, form)
        else:
            start = form.text_top
        baseline = start + capital(block.role, block.size)
        blocks.append(replace(block, x=form.text_left, baseline=baseline))
    return tuple(blocks)


def _foot(fields: Sequence[tuple[str, str]], form: Form, step: Step) -> tuple[Block, ...] | None:
    """The price and what follows it, from the foot upwards, beside the code."""
    blocks: list[Block] = []
    below = form.foot_baseline
    for at, (field, text) in reversed(list(enumerate(fields))):
        block = _block(field, text, form.foot_width, form, step)
        if field == "price" and _is_cramped(block, text, form):
            block = _block(field, text, form.text_width, form, step)
            below = min(below, form.code_top - (_tail(block) if block else 0))
        if block is None:
            return None
        baseline = below - block.leading * (len(block.lines) - 1)
        block = replace(block, x=form.text_left, baseline=baseline)
        blocks.insert(0, block)
        below = block.capital_top - _gap(ROLES[fields[at - 1][0]], block, form)
    return tuple(blocks)


def _is_cramped(price: Block | None, text: str, form: Form) -> bool:
    """Whether the price had better stand over the code than beside it."""
    if not form.code_side or form.is_wide:
        return False
    return price is None or (_is_figure(text) and price.size < style.BIG_PRICE * form.scale)


def _stub(words: TagWords, form: Form) -> tuple[Block, ...]:
    """Number and price below the perforation, and the title where it finds room."""
    top, room = form.height + form.scaled("3.6"), form.text_width
    x = form.text_left
    size = next(
        (size for size in style.STUB_SIZES if _stub_width(words, size) + 3 <= room),
        style.STUB_SIZES[-1],
    )
    baseline = top + capital("number", size)
    blocks = [Block("number", (words.number,), x, baseline, room, size)]
    if words.price:
        price = Block(
            "price", (words.price,), x, baseline, room, size * style.STUB_PRICE, is_right=True
        )
        if _stub_width(words, size) + 3 > room:
            price = replace(price, baseline=baseline + price.leading, is_right=False)
        blocks.append(price)
    under = blocks[-1].baseline + form.scaled("1.8")
    end = form.cell_height - SAFE
    for size in (Fraction(9), Fraction(8), style.LEAST):
        lines = lines_of(words.text.get("title", ""), FACES["title"], size, room)
        block = Block("title", lines, x, under + capital("title", size), room, size)
        if lines and block.last_baseline + _tail(block) <= end:
            return (*blocks, block)
    return tuple(blocks)


def _stub_width(words: TagWords, size: Fraction) -> Fraction:
    price = width_mm(words.price, FACES["price"], size * style.STUB_PRICE)
    return width_mm(words.number, FACES["number"], size) + price


def _tail(block: Block) -> Fraction:
    """How far letters and commas may reach below a baseline."""
    return block.size * POINT * Fraction(3, 10)


def _gap(before: str, block: Block, form: Form) -> Fraction:
    """From the baseline above to the top of a block's capitals."""
    if before == block.role and before in style.RUN_ON:
        return block.leading - capital(block.role, block.size)
    return form.scaled(style.GAPS.get((before, block.role), style.GAP))


def _block(field: str, text: str, room: Fraction, form: Form, step: Step) -> Block | None:
    role = ROLES[field]
    fitted = {"number": _line, "price": _line, "title": _title, "name": _name}.get(role, _body)(
        role, text, room, form, step
    )
    if fitted is None:
        return None
    lines, size = fitted
    return Block(role, lines, Fraction(0), Fraction(0), room, size)


Fitted = tuple[tuple[str, ...], Fraction]


def _line(role: str, text: str, room: Fraction, form: Form, step: Step) -> Fitted | None:
    """One line, as large as there is room for; words in place of a price may be smaller."""
    sizes = style.PRICES if _is_figure(text) else style.PRICES[3:]
    if role == "number":
        sizes = style.NUMBERS
    for size in (max(style.LEAST, each * form.scale) for each in sizes[step.price :]):
        if width_mm(text, FACES[role], size) <= room:
            return (text,), size
    return None


def _is_figure(text: str) -> bool:
    return any(sign.isdigit() for sign in text)


def _title(role: str, text: str, room: Fraction, form: Form, step: Step) -> Fitted | None:
    for size, most in ((each * form.scale, lines) for each, lines in style.TITLES[step.title :]):
        lines = balanced(text, FACES[role], size, room)
        if len(lines) <= most:
            return lines, size
    return None


def _name(role: str, text: str, room: Fraction, form: Form, step: Step) -> Fitted | None:
    """The maker's name, one line as long as it can be."""
    sizes = [max(style.LEAST, each * form.scale) for each in style.NAME]
    size = next((each for each in sizes if width_mm(text, FACES[role], each) <= room), sizes[-1])
    return lines_of(text, FACES[role], size, room), size


def _body(role: str, text: str, room: Fraction, form: Form, step: Step) -> Fitted | None:
    lines = (balanced if role == "fact" else lines_of)(text, FACES[role], step.body, room)
    if role == "maker" and len(lines) > 1:
        return _beside(text, FACES[role], step.body, room)
    return lines, step.body


def _beside(text: str, face: style.Face, most: Fraction, room: Fraction) -> Fitted:
    """Words beside the code: broken at commas, a little smaller before a word goes to a line of
    its own."""
    at_commas = text.replace(", ", ",\n")
    for size in sorted({most, *(each for each in style.BODY if each < most)}, reverse=True):
        lines = lines_of(at_commas, face, size, room)
        if len(lines) == 1 + at_commas.count("\n"):
            return lines, size
    return min(lines, lines_of(text, face, style.LEAST, room), key=len), style.LEAST
