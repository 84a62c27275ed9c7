"""The words of a tag set into its size: lines, sizes of letters, places; nothing is printed yet.

In: `TagWords` and a `Form`. Out: blocks of lines with their places in millimetres, or a Slip.
Words are measured first. A long title steps down and takes more lines; all words step down
together, not below 6 pt (smaller can't be read at arm's length; common practice); then the least
needed go, in the order of `_reductions`, and what was left off is told. Nothing is ever cut off.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from provenance.papers.tags import style
from provenance.papers.tags.form import Form
from provenance.papers.tags.imposition import SAFE, in_mm
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


def set_tag(words: TagWords, form: Form, *, keeps_origin: bool = False) -> SetTag:
    """Set a tag; Slip when its words don't fit even with the least of them left off."""
    for fields, left_off in _reductions(words, keeps_origin=keeps_origin):
        for step in style.STEPS:
            blocks = _attempt(fields, form, step)
            if blocks is not None:
                stub = _stub(words, form) if form.has_stub else ()
                return SetTag(words, form, (*blocks, *stub), left_off)
    sides = in_mm(width=form.width, height=form.height)
    raise Slip(Said("tag_slip.too_many", number=words.number, **sides), Said("tag_slip.shorter"))


def _reductions(
    words: TagWords, *, keeps_origin: bool
) -> Iterator[tuple[dict[str, str], tuple[str, ...]]]:
    """The fields, then ever fewer of them, each time with what has gone."""
    fields = dict(words.fields)
    gone: tuple[str, ...] = ()
    yield fields, gone
    steps: list[tuple[str, str, str]] = []
    if fields.get("dyes") and fields["dyes"] != words.plain_dyes:
        steps.append(("dyes", words.plain_dyes, "dye_order"))
    steps += [("fleece", "", "fleece"), ("dyes", "", "dyes"), ("light", "", "light")]
    if not keeps_origin:
        steps.append(("origin", "", "origin"))
    care = re.split(r"(?<=[.!?]) ", fields.get("care", ""))
    steps += [("care", " ".join(care[:n]), "care") for n in range(len(care) - 1, 0, -1)]
    steps += [(field, "", "address") for field in ("responsible", "address")]
    for field, text, said in steps:
        if fields.get(field):
            fields = {**fields, field: text}
            told = {"dye_order"} if said == "dyes" else {said}
            gone = (*(each for each in gone if each not in told), said)
            yield fields, gone


def _attempt(fields: Mapping[str, str], form: Form, step: Step) -> tuple[Block, ...] | None:
    said = [(field, text) for field, text in fields.items() if text and field != "code"]
    if form.is_wide:
        said = _run_together(said)
    names = [field for field, _ in said]
    at = names.index("price") if "price" in names else len(names)
    if any(ROLES[field] != "maker" for field in names[at + 1 :]):
        at = len(names)
    foot, head = _foot(said[at:], form, step), _head(said[:at], form, step)
    if foot is None or head is None or not _is_free(head, foot, form):
        return None
    return (*head, *foot)


def _run_together(said: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Short lines of one kind as one line, for tags that are wide and low."""
    joined: list[tuple[str, str]] = []
    for field, text in said:
        text = text.replace("\n", " / ") if ROLES[field] == "kind" else text
        is_same = joined and ROLES[field] in style.RUN_ON and ROLES[joined[-1][0]] == ROLES[field]
        if is_same or (field == "fleece" and joined and joined[-1][0] == "fibres"):
            before, gap = joined[-1], ", " if ROLES[field] == "kind" else ". "
            joined[-1] = (before[0], before[1] + gap + text)
        else:
            joined.append((field, text))
    return joined


def _is_free(head: Sequence[Block], foot: Sequence[Block], form: Form) -> bool:
    """Whether the words above keep clear of the price, the code and the edge."""
    if not head:
        return True
    end = head[-1].last_baseline + _tail(head[-1])
    limit = form.height - SAFE
    if foot:
        limit = foot[0].capital_top - form.scaled("2.8")
    if form.code_side and not form.is_wide:
        limit = min(limit, form.code_top)
    return end <= limit


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
    for size in (Fraction(8), Fraction(7), style.LEAST):
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
    fitted = {"number": _line, "price": _line, "title": _title}.get(role, _body)(
        role, text, room, form, step
    )
    if fitted is None:
        return None
    lines, size = fitted
    return Block(role, lines, Fraction(0), Fraction(0), room, size)


Fitted = tuple[tuple[str, ...], Fraction]


def _line(role: str, text: str, room: Fraction, form: Form, step: Step) -> Fitted | None:
    """One line, as large as there is room for; words in place of a price may be smaller."""
    sizes = (
        style.NUMBERS
        if role == "number"
        else style.PRICES
        if _is_figure(text)
        else style.PRICES[3:]
    )
    for size in (each * form.scale for each in sizes[step[2] :]):
        if width_mm(text, FACES[role], size) <= room:
            return (text,), size
    return None


def _is_figure(text: str) -> bool:
    return any(sign.isdigit() for sign in text)


def _title(role: str, text: str, room: Fraction, form: Form, step: Step) -> Fitted | None:
    for size, most in ((each * form.scale, lines) for each, lines in style.TITLES[step[1] :]):
        lines = balanced(text, FACES[role], size, room)
        if len(lines) <= most:
            return lines, size
    return None


def _body(role: str, text: str, room: Fraction, form: Form, step: Step) -> Fitted | None:
    # The foot keeps its size as long as it can: prices then stand in line from tag to tag.
    smaller = step[0] if role != "maker" or step[1] else 0
    size = max(style.LEAST, style.BODY[smaller] * form.scale)
    lines = (balanced if role == "fact" else lines_of)(text, FACES[role], size, room)
    if role == "maker" and len(lines) > 1:
        at_commas = text.replace(", ", ",\n")
        lines = min(lines_of(at_commas, FACES[role], size, room), lines, key=len)
    return lines, size
