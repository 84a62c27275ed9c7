"""What a tag says when room is short: lines put together, ever fewer facts, ever smaller steps.

In: the words of a tag and its form. Out: the fields to be tried one after the other, each with the
step to try them in and with what has gone. The size in the other unit goes untold: nothing is lost
with it.
"""

import re
from collections.abc import Iterator
from itertools import product

from provenance.papers.tags import style
from provenance.papers.tags.form import Form
from provenance.papers.tags.style import FACES, ROLES, Step
from provenance.papers.tags.words import TagWords
from provenance.press.letters.measure import width_mm

Reduced = tuple[dict[str, str], tuple[str, ...]]


def trials(words: TagWords, form: Form, *, keeps_origin: bool) -> Iterator[tuple[Reduced, Step]]:
    """All words large, then all but what is hardly missed; then ever fewer, and smaller ones; the
    title smallest of all."""
    steps = style.steps(form.scale, has_code=bool(form.code_modules))
    first = [step for step in steps if style.is_large(step, form.scale)]
    least, light = list(_reductions(words, keeps_origin=keeps_origin)), len(_light(words))
    yield from product(least[: light + 1], first)
    yield from product(least[light:], steps)
    yield from product(least[-1:], style.last_steps())


def _light(words: TagWords) -> list[tuple[str, str, str]]:
    """What is hardly missed: the other unit, and which dye went over which."""
    fields = words.text
    size, dyes = fields.get("size", ""), fields.get("dyes", "")
    light = [("size", size.split("\n")[0], "")] if "\n" in size else []
    is_longer = dyes and dyes != words.plain_dyes
    return light + ([("dyes", words.plain_dyes, "dye_order")] if is_longer else [])


def _reductions(words: TagWords, *, keeps_origin: bool) -> Iterator[Reduced]:
    """The fields, then ever fewer of them, each time with what has gone."""
    fields = dict(words.fields)
    gone: tuple[str, ...] = ()
    yield fields, gone
    steps = _light(words)
    steps += [("fleece", "", "fleece"), ("dyes", "", "dyes"), ("light", "", "light")]
    if not keeps_origin:
        steps.append(("origin", "", "origin"))
    care = re.split(r"(?<=[.!?]) ", fields.get("care", ""))
    steps += [("care", " ".join(care[:n]), "care") for n in range(len(care) - 1, 0, -1)]
    steps += [(field, "", "address") for field in ("responsible", "address")]
    for field, text, said in steps:
        if fields.get(field):
            fields = {**fields, field: text}
            gone = (*(each for each in gone if (each, said) != ("dye_order", "dyes")), said)
            gone = tuple(dict.fromkeys(filter(None, gone)))
            yield fields, gone


def in_one_line(said: list[tuple[str, str]], form: Form, step: Step) -> Iterator[tuple[str, str]]:
    """Kind and size in one line, where both are asked for one after the other and fit."""
    before: tuple[str, str] | None = None
    for field, text in said:
        if before and (before[0], field) == ("kind", "size"):
            together = f"{before[1]}, {text}"
            if width_mm(together.split("\n")[0], FACES["kind"], step.body) <= form.text_width:
                before = (field, together)
                continue
        if before:
            yield before
        before = (field, text)
    if before:
        yield before


def run_together(said: list[tuple[str, str]]) -> list[tuple[str, str]]:
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
