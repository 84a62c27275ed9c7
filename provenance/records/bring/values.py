"""What the cells of a column say, in the words and the forms of a record.

In: a cell's text, its column (word, unit, signs, order of days), the habits of the studio. Out:
text as a maker would have written it into a record; a Slip for what can't be told.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from provenance.problems import Said, Slip, did_you_mean
from provenance.records import quantities as q
from provenance.records.amounts import size_from
from provenance.records.bring.headings import folded
from provenance.records.bring.signs import NUMBER, Order, day_from, settled
from provenance.records.fields import read_name
from provenance.records.pieces import KINDS
from provenance.records.status import STATES, read_status
from provenance.records.text import Written
from provenance.reference.currencies import currency_codes

EMPTY = frozenset(("", "-", "–", "—", "n/a", "n.a.", "k. a.", "./."))
YES = frozenset(("yes", "y", "x", "ja", "j", "oui", "o", "true", "wahr", "vrai", "sold", "verkauft",
                 "vendu", "vendue", "1", "✓", "✔"))  # fmt: skip
NO = frozenset(["no", "n", "nein", "non", "false", "falsch", "faux", "0", "unsold", "available"])
_KINDS: Mapping[str, str] = {
    "hanging": "wall hanging|wallhanging|tapestry|wandbehang|bildteppich|gobelin|tapisserie"
    "|tenture",
    "rug": "carpet|mat|teppich|vorleger|laufteppich|tapis",
    "blanket": "decke|wolldecke|couverture",
    "throw": "plaid|uberwurf|jete",
    "shawl": "wrap|stole|stola|umschlagtuch|schultertuch|chale|etole",
    "scarf": "schal|echarpe|foulard|cowl|halstuch",
    "runner": "table runner|laufer|tischlaufer|chemin de table",
    "cushion": "pillow|cushion cover|kissen|kissenhulle|coussin",
    "cloth": "fabric|yardage|towel|tea towel|napkin|stoff|tuch|tischtuch|handtuch|tissu|torchon",
    "garment": "jacket|coat|vest|waistcoat|poncho|dress|skirt|kleid|jacke|mantel|weste|kleidung"
    "|vetement|veste|manteau|robe|jupe",
    "bag": "tote|tasche|beutel|sac",
    "other": "andere|anderes|sonstiges|autre|misc|miscellaneous",
}
_STATES: Mapping[str, str] = {
    "available": "for sale|in stock|verfugbar|zu verkaufen|disponible|a vendre|unsold",
    "reserved": "on hold|reserviert|reserve|reservee",
    "sold": "verkauft|vendu|vendue|gone",
    "not for sale": "nfs|kept|private|own use|unverkauflich|nicht zu verkaufen|privat|pas a vendre",
    "withdrawn": "destroyed|lost|vernichtet|verloren|zuruckgezogen|detruit|perdu|retire",
    "in progress": "on the loom|in arbeit|en cours",
}
_AT_HOME = frozenset(
    ["studio", "atelier", "werkstatt", "home", "here", "zu", "hause", "maison", "chez", "moi"]
)
_LETTERS = re.compile(r"\b(?:height|width|high|wide|hoch|breit|h|w|b|l|d|t)\b\.?|[()=:]", re.I)
_WIDTH = re.compile(r"\b(?:width|wide|breit|breite|b|w)\b", re.I)
_HEIGHT = re.compile(r"\b(?:height|high|hoch|höhe|h)\b", re.I)
_CROSS = re.compile(r"\s*(?:[x×*✕]|\b(?:by|mal|par)\b)\s*", re.I)
_UNITS = {"zoll": "in", "inch": "in", "inches": "in", "ins": "in", '"': "in", "″": "in", "”": "in",
          "''": "in", "gr": "g", "gramm": "g", "grammes": "g"}  # fmt: skip
_UNIT = re.compile(r"(?:[^\W\d_]+|''|[\"″”])\.?\s*$")
_MONEY = re.compile(
    r"(?P<sign>[£€$¥]|[A-Za-z]{3})?\s*(?P<amount>[0-9][0-9.,'’ ]*?)[.,]?[-–—]*"
    r"\s*(?P<after>[£€$¥]|[A-Za-z]{3,4})?"
)


@dataclass(frozen=True, slots=True)
class Column:
    """A column and what it means; `word` is empty where it is left out.

    `sign` is how its numbers are cut, `order` that of day and month in its days.
    """

    index: int
    heading: str
    word: str = ""
    unit: str = ""
    is_width_first: bool = False
    sign: str = ""
    order: Order = ""
    is_guessed: bool = False  # by its values, not by its heading


@dataclass(frozen=True, slots=True)
class Ways:
    """What values are read by: the studio's habits, today, its outlets by folded name and title."""

    habits: q.Habits
    today: date
    outlets: Mapping[str, str]


Reader = Callable[[str, Column, Ways], str]


def _plain(text: str, _column: Column, _ways: Ways) -> str:
    return text


def _line(text: str, _column: Column, _ways: Ways) -> str:
    return " ".join(text.split())


def _number(text: str, _column: Column, _ways: Ways) -> str:
    if re.fullmatch(r"[0-9]+(-[0-9]+)*", text) and len(text) <= 20:
        return text
    parts = "-".join(re.findall("[0-9]+", text))[:20].rstrip("-")
    like = Said("bring.number_like", like=parts) if parts else Said("value.number_of")
    raise Slip(Said("value.number", text=text), like)


def _day(text: str, column: Column, ways: Ways) -> str:
    return day_from(text, column.order, ways.today)


def _kind(text: str, _column: Column, _ways: Ways) -> str:
    """A kind of ours by its name in three languages, or by a name within: `large wool rug`."""
    name = folded(text)
    names = {each: kind for kind, told in _KINDS.items() for each in (*told.split("|"), kind)}
    for known in (name, *(name.removesuffix(end) for end in ("s", "n", "e", "en", "es"))):
        if known in names:
            return names[known]
    held = [known for known in names if f" {known} " in f" {name} "]
    if len(kinds := {names[known] for known in held}) == 1:
        return kinds.pop()
    raise Slip(Said("bring.kind", text=text), did_you_mean(name, KINDS))


def _size(text: str, column: Column, ways: Ways) -> str:
    """Height by width; letters beside the sides, then the heading, say which is which."""
    sides = _CROSS.split(_LETTERS.sub(" ", text).strip())
    if len(sides) not in (2, 3):
        raise Slip(Said("amount.size", text=text), Said("amount.write_size"))
    unit = _unit_of(sides[-1]) or _unit_of(text) or column.unit
    if not unit:
        raise Slip(Said("amount.size_unit", text=text), Said("bring.say_unit"))
    first, *others = (_with_unit(each, _unit_of(each) or unit, column, ways) for each in sides)
    width, height = _WIDTH.search(text), _HEIGHT.search(text)
    turned = width.start() < height.start() if width and height else column.is_width_first
    told = [others[0], first, *others[1:]] if turned else [first, *others]
    if all(each.endswith(f" {unit}") for each in told):
        told = [each.removesuffix(f" {unit}") for each in told[:-1]] + told[-1:]
    size = " x ".join(told)
    size_from(Written(size), ways.habits)
    return size


def _side(text: str, column: Column, ways: Ways) -> str:
    side = _with_unit(text, _unit(text, column), column, ways)
    q.Centimetres.read(side, ways.habits)
    return side


def _weight(text: str, column: Column, ways: Ways) -> str:
    if re.search(r"[0-9]\s*[a-z]+\s*[0-9]", text):  # 3 lb 4 oz
        q.Grams.read(text, ways.habits)
        return text
    weight = _with_unit(text, _unit(text, column), column, ways)
    q.Grams.read(weight, ways.habits)
    return weight


def _unit(text: str, column: Column) -> str:
    """The unit in a cell, else the one its column is in; Slip where neither says."""
    unit = _unit_of(text) or column.unit
    if not unit:
        raise Slip(Said("bring.no_unit", text=text), Said("bring.say_unit"))
    return unit


def _unit_of(text: str) -> str:
    found = _UNIT.search(text.strip())
    unit = found[0].strip().rstrip(".").lower() if found else ""
    return _UNITS.get(unit, unit)


def _with_unit(text: str, unit: str, column: Column, ways: Ways) -> str:
    """A number with its unit; one with a fraction (`48 1/2`) or several units as it is."""
    bare = _UNIT.sub("", text.strip()).strip()
    if not NUMBER.fullmatch(bare):
        return f"{bare} {unit}"
    number = settled(bare, column.sign)
    return f"{_own(number, ways)} {unit}"


def _own(number: str, ways: Ways) -> str:
    """A number as the studio writes it."""
    number = number.rstrip("0").rstrip(".") if "." in number else number
    return number.replace(".", ",") if ways.habits.decimal_comma else number


def _money(text: str, column: Column, ways: Ways) -> str:
    """An amount in the studio's currency; another one is asked for its rate."""
    if re.search(r"\sat\s+[0-9]", text):
        q.Money.read(text, ways.habits)
        return text
    found = _MONEY.fullmatch(text)
    code = (found["sign"] or found["after"] or column.unit) if found else ""
    if not found or (code.isalpha() and code.upper()[:3] not in currency_codes()):
        raise Slip(
            Said("amount.not_a", text=text, kind=Said("amount.money")), Said("bring.write_money")
        )
    amount = settled(found["amount"].strip(), column.sign, is_money=True)
    q.Money.read(f"{amount} {code[:3].upper()}".strip(), q.Habits(currency=ways.habits.currency))
    return amount.replace(".", ",") if ways.habits.decimal_comma else amount


def _hours(text: str, column: Column, ways: Ways) -> str:
    if NUMBER.fullmatch(text):
        text = _own(settled(text, column.sign), ways)
    q.Hours.read(text, ways.habits)
    return text


def _yes(text: str, _column: Column, _ways: Ways) -> str:
    told = text.casefold()
    if told not in YES | NO:
        raise Slip(Said("value.yes_no", text=text), Said("value.write_yes_no"))
    return "yes" if told in YES else "no"


def _sold(text: str, column: Column, ways: Ways) -> str:
    """Yes or no, or the day it was sold."""
    told = text.casefold()
    return _yes(text, column, ways) if told in YES | NO else _day(text, column, ways)


def _status(text: str, _column: Column, _ways: Ways) -> str:
    name = folded(text)
    for state, names in _STATES.items():
        if name in (state, *names.split("|")):
            return state
    try:
        read_status(Written(text))
    except Slip:
        raise Slip(Said("record.status", text=text), did_you_mean(name, STATES)) from None
    return text


def _outlet(text: str, _column: Column, ways: Ways) -> str:
    """An outlet by its name or title; `?` before what is none."""
    name = folded(text)
    if name in _AT_HOME and name not in ways.outlets:
        return ""
    return ways.outlets.get(name, f"?{text}")


READERS: Mapping[str, Reader] = {
    **dict.fromkeys(("title", "structure", "made of", "signed", "edition", "to", "buyer", "email",
                     "kept", "old number"), _line),
    **dict.fromkeys(("story", "notes"), _plain),
    "number": _number, "finished": _day, "kind": _kind, "size": _size,
    "height": _side, "width": _side, "depth": _side, "weight": _weight,
    "price": _money, "sold for": _money, "sold": _sold, "sold on": _day, "consent": _yes,
    "earlier": _yes, "hours": _hours, "status": _status, "where": _outlet, "sold at": _outlet,
}  # fmt: skip
IN_NUMBERS = frozenset(("size", "height", "width", "depth", "weight", "price", "sold for", "hours"))
IN_DAYS = frozenset(("finished", "sold", "sold on"))
_ITS_OWN_DASH = frozenset(("title", "story", "notes"))


def is_empty(text: str, word: str) -> bool:
    """Whether a cell says nothing; a dash is a title of its own."""
    return text == "" or (text.casefold() in EMPTY and word not in _ITS_OWN_DASH)


def outlet_names(outlets: Sequence[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """Every way an outlet (its name, its title) may be written in a table."""
    for name, title in outlets:
        read_name(Written(name))
        yield from ((folded(told), name) for told in (title, name) if told)
