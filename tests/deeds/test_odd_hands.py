"""1,000 deeds at random on records in odd hands: the one value changes, and no other byte.

A hand is how a maker writes: line ends, a byte order mark, tabs after the colon, quotes, notes at
the ends of lines, braces in one line or in many, odd indents, trailing spaces, no last line end,
words in any order, signs beyond ASCII. Some hands are not sane: values that are shared, tagged, a
list, or written twice. Second opinion: PyYAML by itself reads what was and what is.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from provenance.build.opening import open_studio
from provenance.deeds.counting import count
from provenance.deeds.deed import Deed
from provenance.deeds.moving import move
from provenance.deeds.pricing import reprice
from provenance.deeds.selling import Wished, sell
from provenance.language.phrases import british
from provenance.language.telling import told_slip
from provenance.problems import Slip
from provenance.studio import Studio

TODAY = date(2026, 11, 25)
STUDIOS, IN_EACH, EACH, INSANE = 10, 50, 2, 5  # one record in five is in a hand that is not sane
LOADER: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
TITLES = ("Ebb", "Möwe & Watt", "Hoar, second", "Study #3", "It's late", 'A "quoted" one', "織り")
NOTES = ("  # settled", " # see p. 12: {not yet}", "\t# tab before", '   # it\'s "so"', "# tight")
OUTLETS = ("dale-fair", "harbour-gallery", "St. Ives")


@dataclass
class Hand:
    """How one maker writes."""

    dice: random.Random

    def __post_init__(self) -> None:
        dice = self.dice
        self.end = dice.choice(("\n", "\n", "\r\n"))
        self.mark = dice.choice((b"", b"", b"\xef\xbb\xbf"))
        self.quote = dice.choice(('"', "'", "", "", ""))
        self.after = dice.choice((": ", ": ", ":  ", ":\t", ":     "))
        self.indent = " " * dice.choice((1, 2, 2, 3, 4, 7))
        self.has_notes = dice.random() < 0.5
        self.has_last_end = dice.random() < 0.7
        self.form = dice.choice(("block", "block", "block", "braces", "lines"))

    def text(self, value: str, *, in_flow: bool = False) -> str:
        """A value, quoted where this hand quotes or where it must be."""
        must = re.search(r"[:#\"'&{}]" + ("|," if in_flow else ""), value)
        sign = self.quote if self.dice.random() < 0.7 else ""
        if must and not sign:
            sign = '"'
        if sign == "'":
            return "'" + value.replace("'", "''") + "'"
        return '"' + value.replace('"', '\\"') + '"' if sign else value

    def note(self) -> str:
        if not self.has_notes or self.dice.random() < 0.6:
            return self.dice.choice(("", "", "", " ", "   "))
        return self.dice.choice(NOTES[:4])

    def word(self, word: str) -> str:
        return f'"{word}"' if self.dice.random() < 0.05 else word

    def record(self, entries: Mapping[str, str]) -> str:
        """A whole record from words and values that are written already."""
        order = list(entries.items())
        self.dice.shuffle(order)
        if self.form == "block":
            return self.block(order, "")
        if self.form == "braces":
            inside = ", ".join(f"{self.word(word)}: {value}" for word, value in order)
            return f"{{{inside}}}{self.note()}{self.end}"
        lines = [f"{self.indent}{self.word(word)}: {value}" for word, value in order]
        last = self.dice.choice((",", ""))
        notes = [self.note() for _ in lines]
        commas = [","] * (len(lines) - 1) + [last]
        inside = "".join(
            f"{line}{comma}{note}{self.end}"
            for line, comma, note in zip(lines, commas, notes, strict=True)
        )
        return f"{{{self.note()}{self.end}{inside}}}{self.end}"

    def block(self, order: list[tuple[str, str]], indent: str) -> str:
        found = ""
        for word, value in order:
            if self.has_notes and self.dice.random() < 0.15:
                found += f"{indent}# about {word}{self.end}"
            if self.dice.random() < 0.1:
                found += self.end
            found += f"{indent}{self.word(word)}{self.after}{value}{self.note()}{self.end}"
        return found

    def bytes(self, text: str) -> bytes:
        if not self.has_last_end:
            text = text.rstrip()
        return self.mark + text.encode()


def a_piece(hand: Hand, number: str, *, is_insane: bool) -> str:
    dice, in_flow = hand.dice, hand.form != "block"
    entries = {
        "number": hand.text(number),
        "title": hand.text(dice.choice(TITLES), in_flow=in_flow),
        "kind": "scarf",
        "size": hand.text("180 x 28 cm"),
        "yarns": "[{use: weft, lot: grey-2ply, weight: 1 g}]",
        "hours": dice.choice(("6", "{weaving: 6, finishing: 1}")),
    }
    if dice.random() < 0.8:
        entries["price"] = hand.text(dice.choice(("480", "480.00", "£480", "1250")))
    if dice.random() < 0.7:
        entries["at"] = hand.text(dice.choice(OUTLETS))
    if dice.random() < 0.5:
        entries["status"] = hand.text(dice.choice(("available", "reserved", "not for sale")))
    if dice.random() < 0.3:
        entries["notes"] = ""
    text = hand.record(spoilt(dice, entries) if is_insane else entries)
    if hand.form == "block" and dice.random() < 0.3:
        story = dice.choice(("|", "|-", ">", "|+"))
        text += f"story: {story}{hand.end}{hand.indent}One.{hand.end}{hand.end}{hand.indent}Two."
        text += hand.end
    if is_insane and dice.random() < 0.3:
        text += f"price: 12{hand.end}" if hand.form == "block" else f"---{hand.end}a: b{hand.end}"
    return text


def spoilt(dice: random.Random, entries: dict[str, str]) -> dict[str, str]:
    """A record with something that can't be changed safely, or at all."""
    word = dice.choice([word for word in ("price", "at", "status") if word in entries] or ["kind"])
    ways: list[Callable[[str], str]] = [
        lambda value: f"&shared {value}",
        lambda value: f"!!str {value}",
        lambda value: f"[{value}]",
    ]
    return {**entries, word: dice.choice(ways)(entries[word])}


def the_yarns(hand: Hand, names: list[str]) -> str:
    """Lots under their names, each in braces or lines."""
    found = ""
    for name in names:
        entries = [("fibre", "wool"), ("weight", hand.text("500 g")), ("cost", "30")]
        hand.dice.shuffle(entries)
        if hand.dice.random() < 0.5:
            inside = ", ".join(f"{word}: {value}" for word, value in entries)
            found += f"{name}{hand.after}{{{inside}}}{hand.note()}{hand.end}"
        else:
            found += f"{name}:{hand.note()}{hand.end}{hand.block(entries, hand.indent)}"
    return found


def a_studio(dice: random.Random, folder: Path) -> set[str]:
    """A studio in odd hands; the numbers and lots that are in hands which are not sane."""
    insane = set()
    (folder / "studio").mkdir(parents=True)
    (folder / "studio" / "studio.yaml").write_text(
        "studio: Brackenfold\nmaker: Isla Wren\npay: {any: 18}\nprices: {round up to: 5}\n"
    )
    (folder / "studio" / "outlets.yaml").write_text(
        "".join(f"{name}: {{kind: gallery, commission: 40 %}}\n" for name in OUTLETS)
    )
    for turn in range(IN_EACH):
        hand, number = Hand(dice), f"2026-{turn:03}"
        is_insane = dice.randrange(INSANE) == 0
        if is_insane:
            insane.add(number)
        text = a_piece(hand, number, is_insane=is_insane)
        (folder / f"{number}.yaml").write_bytes(hand.bytes(text))
    hand = Hand(dice)
    lots = f"grey-2ply: {{fibre: wool, weight: 9 kg, cost: 80}}{hand.end}"
    lots += the_yarns(hand, [f"lot {turn}" for turn in range(10)])
    (folder / "studio" / "yarns.yaml").write_bytes(hand.bytes(lots))
    return insane


def a_deed(dice: random.Random, studio: Studio, turn: int) -> tuple[str, Deed]:
    """A deed at random, and what it is about."""
    number = f"2026-{turn:03}"
    match dice.choice(("sell", "sell", "move", "move", "reprice", "reprice", "count")):
        case "sell":
            to = dice.choice((None, *TITLES))
            at = dice.choice((None, *OUTLETS))
            return number, sell(studio, number, Wished(dice.choice(("500", "512.50")), at, to=to))
        case "move":
            where = [each for each in OUTLETS if each != str(place_of(studio, number))]
            return number, move(studio, [number], dice.choice(where))
        case "reprice":
            priced = studio.book.pieces.get(number)
            how = "+8%" if priced and priced.price is not None else "475"
            return number, reprice(studio, [number], dice.choice((how, "505")))
        case _:
            lot = f"lot {dice.randrange(10)}"
            return lot, count(studio, lot, f"{dice.randrange(1, 499)} g")


def place_of(studio: Studio, number: str) -> object:
    return studio.book.pieces[number].at if number in studio.book.pieces else None


def plain(content: bytes) -> dict[str, Any]:
    """What PyYAML by itself makes of a record, every value as text."""
    found = yaml.load(content.decode("utf-8-sig"), Loader=LOADER)
    assert isinstance(found, dict)
    return found


def hold(before: bytes, after: bytes, about: str) -> None:
    """One value differs as PyYAML reads it, and where it stands alone the bytes differ."""
    old, new = plain(before), plain(after)
    if about.startswith("lot"):
        assert list(new) == list(old)
        assert {**new, about: None} == {**old, about: None}
        old, new = old[about], new[about]
    changed = {word for word in {**old, **new} if old.get(word) != new.get(word)}
    assert changed in ({"sale"}, {"sale", "status"}, {"price"}, {"at"}, {"lost"})
    kept = [word for word in new if word in old]
    assert kept == list(old)
    before_that = {after}
    for word in sorted(changed):
        before_that = {
            each for one in before_that for each in unwritten(one, word, old.get(word), new[word])
        }
    assert before in before_that, (before, after)


def unwritten(after: bytes, word: str, old: str | None, new: Any) -> Iterator[bytes]:
    """Every text from which writing one word alone could have made this one."""
    if old is not None:
        for found in re.finditer(rb"[\"']?" + word.encode() + rb"[\"']?:[ \t]*[\"']?", after):
            if after[found.end() :].startswith(new.encode()):
                rest = after[found.end() + len(new.encode()) :]
                yield after[: found.end()] + old.encode() + rest
        return
    value = r"\{.*?\}" if isinstance(new, dict) else rf"[\"']?{re.escape(new)}[\"']?"
    entry = re.search(f"{word}: {value}".encode(), after)
    assert entry
    written = re.escape(entry[0])
    ways = (
        rb"(?m)^ *" + written + rb"\r?\n", rb"\r?\n *" + written + rb"$", rb", " + written,
        written + rb", ", rb"(?m)^ *" + written + rb",\r?\n",
    )  # fmt: skip
    for way in ways:
        left = re.sub(way, b"", after, count=1)
        if left != after:
            yield left
            for comma in re.finditer(rb",", left):  # that the last of several lines had to get
                yield left[: comma.start()] + left[comma.end() :]


def test_a_thousand_deeds_in_odd_hands(tmp_path: Path) -> None:
    """Five seconds: a thousand are what was promised, and each is read twice and held twice."""
    dice = random.Random(20261125)
    done, refused = 0, []
    for turn in range(STUDIOS):
        folder = tmp_path / str(turn) / "pieces"
        insane = a_studio(dice, folder)
        studio = open_studio(folder, TODAY)
        for each in [*range(IN_EACH)] * EACH:
            try:
                about, deed = a_deed(dice, studio, each)
            except Slip as slip:
                said = told_slip(slip, british())
                number = f"2026-{each:03}"
                assert number in insane, (said, (folder / f"{number}.yaml").read_bytes())
                assert number in said
                refused.append(said)
                continue
            done += 1
            for change in deed.changes:
                assert change.before != change.after
                hold(change.before or b"", change.after or b"", about)
    assert done + len(refused) == STUDIOS * IN_EACH * EACH == 1000
    assert 100 <= len(refused) <= 200  # 853 done and 147 refused with Python 3.11
    for why in ("is shared by a reference", "can't be read"):
        assert any(why in said for said in refused)


@pytest.mark.parametrize("seed", [1])
def test_the_hands_are_as_odd_as_they_should_be(tmp_path: Path, seed: int) -> None:
    """The generator itself: every oddity turns up."""
    folder = tmp_path / "pieces"
    a_studio(random.Random(seed), folder)
    texts = [path.read_bytes() for path in folder.glob("*.yaml")]
    for sign in (b"\r\n", b"\xef\xbb\xbf", b":\t", b"\t#", b"&shared", b"!!str", b"story: |+",
                 b"\nprice: 12", "織".encode(), b"{", b'"price"', b"'"):  # fmt: skip
        assert any(sign in text for text in texts), sign
    assert any(not text.endswith(b"\n") for text in texts)
