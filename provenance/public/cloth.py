"""What a registrar asks of a cloth: sett, ply and twist, how it was woven, how it is mounted.

In: the view and a worked-out piece. Out: short lines, only of what is written in its record and in
those of its yarns; what is silent there is silent here. That these are asked: V&A and Dress and
Textile Specialists, Identifying Textile Types and Weaves (2007), its check list of yarn and weave.
"""

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction

from provenance.figures.flow.makeup import base_yarn, fleeces_of
from provenance.language.measures import inches
from provenance.language.phrases import Phrases
from provenance.public.names import capital, inside, spelled
from provenance.public.view import View
from provenance.records.lots import Fleece
from provenance.records.pieces import YarnUse
from provenance.records.sets import ONLY_ONE
from provenance.records.woven import SettNoted
from provenance.reference.measures import INCH
from provenance.studio import Worked

# A sundry that is called so holds a work up; in the languages that the program speaks.
MOUNTS = re.compile(
    r"\b(?:bars?|rods?|battens?|slats?|dowels?|poles?|hanging tape|velcro|hooks?|rings?|frame"
    r"|sleeve)\b|(?:leiste|stab|stange|klettband|haken|rahmen|tunnel)\b",
    re.IGNORECASE,
)


def cloth_lines(view: View, worked: Worked) -> tuple[str, ...]:
    """Sett, yarns, direction on the loom, each a line; no line where nothing is written."""
    piece, phrases = worked.record, view.phrases
    woven = phrases.say(f"registrar.{piece.woven}") if piece.woven else ""
    sett = _sett(phrases, piece.sett) if piece.sett else ""
    return tuple(filter(None, (sett, _yarns(view, piece.yarns), woven)))


def mount_line(view: View, worked: Worked) -> str:
    """What holds the work up, and where its hook sits: Hanging bar (oak); hook 4 cm above ..."""
    piece, phrases = worked.record, view.phrases
    held = [_mount(view, name) for name in map(str, piece.sundries) if MOUNTS.search(name)]
    is_hung = piece.kind == "hanging" or piece.hook is not None
    hook = "" if piece.hook is None else _hook(phrases, piece.hook)
    return capital("; ".join(filter(None, (", ".join(held) if is_hung else "", hook))))


def edition_line(view: View, worked: Worked) -> str:
    """What the record says of an edition or a set, and nothing where it says nothing."""
    piece = worked.record
    if piece.made > 1 and not piece.edition:
        return view.phrases.say("label.one_of_set", made=spelled(view.phrases, piece.made))
    edition = " ".join(str(piece.edition or "").split())
    is_only = edition.rstrip(".").casefold() in ONLY_ONE
    return view.phrases.say("label.one_of_a_kind") if is_only else edition


def edition_size(edition: str) -> str:
    """How many there are in all, of `3 of 8` or `3/8`; '' where that is not said."""
    found = re.search(r"\d\s*(?:of|/|von)\s*(\d+)", edition)
    return found[1] if found else ""


def _sett(phrases: Phrases, sett: SettNoted) -> str:
    each = {"ends": sett.ends, "picks": sett.picks}
    per = INCH if phrases.is_american else Fraction(1)
    counted = [
        phrases.say(f"registrar.{what}", count=phrases.number(count * per, 1))
        for what, count in each.items()
        if count
    ]
    unit = "per_inch" if phrases.is_american else "per_cm"
    said = phrases.say(f"registrar.{unit}", threads=phrases.listed(counted)) if counted else ""
    is_on_loom = any(count.is_on_loom for count in each.values() if count)
    return phrases.say("registrar.on_loom", threads=said) if is_on_loom else said


def _yarns(view: View, yarns: Sequence[YarnUse]) -> str:
    """Warp: 2-ply, twist S; weft: singles. Where some yarns of a use are silent: partly."""
    phrases, said = view.phrases, []
    for use in dict.fromkeys(str(yarn.use) for yarn in yarns):
        told = [_yarn(view, yarn) for yarn in yarns if yarn.use == use]
        known = phrases.listed(list(dict.fromkeys(filter(None, told))))
        if known:
            whole = "of_use" if all(told) else "of_use_in_part"
            name = phrases.named("use", use) or phrases.say("registrar.yarn")
            said.append(phrases.say(f"registrar.{whole}", use=name, yarns=known))
    return "; ".join(said)


def _yarn(view: View, use: YarnUse) -> str:
    """Plies and twist of a yarn, staple and fineness of the fleece it was spun from."""
    phrases, book = view.phrases, view.book
    yarn = book.yarns.get(base_yarn(book, str(use.lot))) if use.lot else None
    in_place = book.fleece.get(str(use.fleece))
    said = []
    if yarn and yarn.plies:
        plies = phrases.number(yarn.plies)
        said.append(
            phrases.say("registrar.singles" if plies == "1" else "registrar.plied", count=plies)
        )
    if yarn and yarn.twist:
        said.append(phrases.say("registrar.twist", twist=str(yarn.twist)))
    fleeces = fleeces_of(book, yarn) if yarn else [in_place] if in_place else []
    said += dict.fromkeys(line for fleece in fleeces for line in _locks(phrases, fleece))
    return ", ".join(said)


def _locks(phrases: Phrases, fleece: Fleece) -> Iterator[str]:
    if fleece.staple:
        yield phrases.say("registrar.staple", length=_length(phrases, fleece.staple))
    if fleece.micron:
        yield phrases.say("registrar.fineness", fineness=str(fleece.micron))


def _mount(view: View, name: str) -> str:
    lot, told = view.book.sundries.get(name), inside(view.phrases, view.book, name)
    fibres = map(view.phrases.fibre, map(str, lot.fibre or ())) if lot else ()
    stuff = str(lot.material or "") or view.phrases.listed(list(fibres)) if lot else ""
    return f"{told} ({stuff})" if stuff else told


def _hook(phrases: Phrases, height: Fraction) -> str:
    if not height:
        return phrases.say("registrar.hook_at_edge")
    where = "hook_above" if height > 0 else "hook_below"
    return phrases.say(f"registrar.{where}", length=_length(phrases, abs(height)))


def _length(phrases: Phrases, length: Fraction) -> str:
    return f"{inches(length)} in" if phrases.is_american else f"{phrases.number(length, 1)} cm"
