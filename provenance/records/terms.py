"""What an outlet lays down: the terms of selling there, and what a juried show asks of entries.

In: the words under `terms:` and `rules:` of an outlet. Out: frozen `Terms` and `ShowRules`.
Of the terms what carries a sum (a discount, the payment for a loss) is read, the rest is kept as
written. Who bears a discount must be written down (code.visualarts.net.au, selling on-line); a lost
piece is paid at its price less the commission, or as a guild's rules have it (cwsg.missouri.org,
older text: above 200 half the price). Every show has its own rules; the words here say those met
in calls for entry: the longer or the shorter side in pixels, the size of the file, the format, the
file names, which views, the largest work, the fields of the list.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from typing import Annotated, Any, TypeVar

from pydantic import BeforeValidator, ConfigDict, model_validator

from provenance.problems import Said, Slip, did_you_mean
from provenance.records import quantities as q
from provenance.records.amounts import SizeField
from provenance.records.fields import OneOf, PartDay, Reads, Text, listed
from provenance.records.photos import VIEWS
from provenance.records.reading import Record, known_words
from provenance.records.text import Fields, Written

ALMOST = 0.8
ENTRY_FIELDS = (
    "number", "title", "maker", "kind", "medium", "size", "weight", "year", "price", "insurance",
    "statement", "pictures",
)  # fmt: skip
NAME_PARTS = ("n", "nn", "first", "last", "maker", "title", "number", "view", "year")
Kind = TypeVar("Kind")


@dataclass(frozen=True, slots=True)
class Discount:
    """What may be taken off a price, as a share, and whose part it comes from."""

    share: Fraction
    bearer: str
    written: str


@dataclass(frozen=True, slots=True)
class Loss:
    """What is paid for a lost piece: price less commission; above `limit` a share of the price.

    `from_limit`: the limit itself counts as above.
    """

    share: Fraction | None = None
    limit: Fraction | None = None
    from_limit: bool = False
    written: str = ""


_BORNE = {
    "gallery": r"gallery|guild|shop|show|outlet|seller|galerie|gilde|laden|haus|ausstellung",
    "shared": r"shared|both|halves|in proportion|geteilt|beide|je zur hälfte|anteilig",
    "maker": r"maker|me|mine|weaver|artist|ich|werkstatt|weberin|weber|künstlerin|künstler",
}


def _discount(text: Written, habits: q.Habits) -> Discount:
    found = re.search(r"([0-9]+(?:\.[0-9]+)?) ?%", text)
    if not found:
        return Discount(Fraction(0), "", str(text))
    share = q.PartShare.read(found[0], habits)
    borne = [who for who, words in _BORNE.items() if re.search(rf"\b({words})\b", text.lower())]
    if len(borne) != 1:
        raise Slip(Said("record.who_bears", text=text), Said("record.write_bearer", share=found[0]))
    return Discount(share, borne[0], str(text))


def _loss(text: Written, habits: q.Habits) -> Loss:
    said = " ".join(text.lower().split())
    found = re.fullmatch(
        r"(?:price less commission(?: under [0-9.]+)?[,;]? ?(?:and )?)?"
        r"(half|[0-9.]+ ?%)(?: of)? the price(?: (over|above|from) (.+))?",
        said,
    )
    if said == "price less commission":
        return Loss(written=str(text))
    if not found:
        raise Slip(Said("record.loss", text=text), Said("record.write_loss"))
    share = Fraction(1, 2) if found[1] == "half" else q.PartShare.read(found[1], habits)
    limit = q.Money.read(found[3], habits) if found[3] else Fraction(0)
    return Loss(share, limit, found[2] in (None, "from"), str(text))


class Terms(Record):
    """The terms of an outlet; what is not said here is left open on the sheet, to be filled in.

    Outlets differ in what they settle, so that words beyond these are kept as they are written.
    """

    model_config = ConfigDict(extra="allow")

    term: Text | None = None
    payment: Text | None = None
    discount: Annotated[Discount, Reads(_discount)] | None = None
    insured_from: Text | None = None
    loss: Annotated[Loss, Reads(_loss)] = Loss()
    freight: Text | None = None
    pay: Text | None = None
    also: tuple[Text, ...] = ()

    @model_validator(mode="before")
    @classmethod
    def _not_misspelt(cls, value: Any) -> Any:
        """Own words are welcome; one that is almost a known word is a slip of the pen."""
        known = known_words(cls)
        for word in value if isinstance(value, Fields) else ():
            if word not in known and (near := get_close_matches(word, known, 1, ALMOST)):
                what, remedy = Said("word.unknown", word=word), Said("problem.near", near=near[0])
                raise Slip(what, remedy, value.word(word).place)
        return value

    @property
    def others(self) -> tuple[tuple[str, str], ...]:
        """Terms in words of the maker's own, kept as written."""
        extra = self.model_extra or {}
        return tuple((str(word), str(text)) for word, text in extra.items())


@dataclass(frozen=True, slots=True)
class Pixels:
    """A side in pixels: bounds, either may be open, and the range that is liked best."""

    least: int | None = None
    most: int | None = None
    best: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class View:
    """A view that is asked for, and how many pictures of it."""

    view: str
    count: int = 1


@dataclass(frozen=True, slots=True)
class WordCount:
    """How long a statement may be, in words."""

    least: int
    most: int


def _read(reader: Callable[[str], Kind | None], example: str) -> Callable[[Written], Kind]:
    """A field read by a small reader; None from it means that it made nothing of the words."""

    def read(text: Written) -> Kind:
        found = reader(re.sub(r"\s+", " ", text.strip().lower()))
        if found is None:
            raise Slip(Said("value.not_understood", text=text), Said("value.like", text=example))
        return found

    return read


_NUMBER = r"([0-9][0-9,]*)"
_BEST = re.compile(rf"^(.*?)[,;]? best {_NUMBER} to {_NUMBER} ?(?:px|pixels)$")


def _whole(text: str) -> int:
    return int(text.replace(",", ""))


def _pixels(text: str) -> Pixels | None:
    best = None
    if found := _BEST.match(text):
        text, best = found[1].strip(), (_whole(found[2]), _whole(found[3]))
    text = text.removesuffix("pixels").removesuffix("px").strip()
    if found := re.fullmatch(rf"{_NUMBER} to {_NUMBER}", text):
        bounds = (_whole(found[1]), _whole(found[2]))
        return Pixels(*bounds, best) if bounds[0] <= bounds[1] else None
    found = re.fullmatch(rf"(at least|at most|exactly)? ?{_NUMBER}", text)
    if not found or not _whole(found[2]):
        return None
    side, way = _whole(found[2]), found[1] or "exactly"
    return Pixels(None if way == "at most" else side, None if way == "at least" else side, best)


_BYTES = {"kb": 1000, "mb": 1_000_000}


def _file_size(text: str) -> int | None:
    """Bytes, by thousands: what fits into 2,000,000 fits into the larger reading of 2 MB too."""
    found = re.fullmatch(r"(?:at most )?([0-9]+(?:\.[0-9]+)?) ?([km]b)(?: at most)?", text)
    return int(Fraction(found[1]) * _BYTES[found[2]]) or None if found else None


def _resolution(text: str) -> int | None:
    found = re.fullmatch(r"([0-9]{2,4}) ?(?:dpi|ppi|dots per inch|px per in)", text)
    return int(found[1]) if found else None


_COUNTS = {"": 1, "a": 1, "one": 1, "two": 2, "three": 3, "four": 4} | {
    str(number): number for number in range(1, 10)
}


def _views(text: Written) -> tuple[View, ...]:
    parts = re.split(r"\s*(?:,|\band\b|\+)\s*", text.strip().lower())
    return tuple(_view(part, text) for part in parts if part)


def _view(part: str, text: str) -> View:
    words = [word for word in part.split() if word not in ("view", "views", "picture", "pictures")]
    count = _COUNTS.get(words[0] if len(words) == 2 else "")
    view = words[-1] if words else ""
    view = view.removesuffix("s") if view.removesuffix("s") in VIEWS else view
    if count is None or len(words) > 2 or view not in VIEWS:
        raise Slip(Said("record.view", text=text, view=part), did_you_mean(view, VIEWS))
    return View(view, count)


def _file_names(typed: Written) -> str:
    text = typed.strip()
    for part in re.findall(r"\{([^{}]*)\}", text):
        if part not in NAME_PARTS:
            raise Slip(Said("record.name_part", part=part), did_you_mean(part, NAME_PARTS))
    bare = re.sub(r"\{[^{}]*\}", "", text)
    if "{" in bare or "}" in bare or not re.search(r"\{", text):
        raise Slip(Said("record.pattern", text=text), Said("record.write_pattern"))
    if re.search(r'[\\:*?"<>|]', bare) or text.startswith("/") or ".." in text:
        raise Slip(Said("record.file_name", text=text), Said("record.file_name_of"))
    return re.sub(r"\.(jpe?g|png)$", "", text, flags=re.IGNORECASE)


def _area(text: Written, habits: q.Habits) -> Fraction:
    found = re.fullmatch(r"([0-9.,]+) ?(?:sq\.? ?|square )(in|ft|cm|m)", text.strip().lower())
    if not found:
        raise Slip(Said("amount.area", text=text), Said("value.like", text="100 sq in"))
    side = q.Centimetres.read(f"1 {found[2]}", habits)
    return Fraction(found[1].replace(",", "")) * side * side


def _word_count(text: str) -> WordCount | None:
    if found := re.fullmatch(r"([0-9]+) to ([0-9]+) words", text):
        return WordCount(int(found[1]), int(found[2]))
    found = re.fullmatch(r"(?:at most )?([0-9]+) words(?: at most)?", text)
    return WordCount(0, int(found[1])) if found else None


_BEST_SIDE = "at least 1200 px, best 1600 to 2000 px"
Side = Annotated[Pixels, Reads(_read(_pixels, _BEST_SIDE))]


class ShowRules(Record):
    """Rules of a juried show, under `rules:` of its outlet."""

    longer_side: Side | None = None
    shorter_side: Side | None = None
    resolution: Annotated[int, Reads(_read(_resolution, "300 dpi"))] | None = None
    file_size: Annotated[int, Reads(_read(_file_size, "at most 2 MB"))] | None = None
    format: Annotated[str, OneOf("JPEG", "baseline JPEG", "PNG")] = "JPEG"
    file_names: Annotated[str, Reads(_file_names)] = "{nn} {title} {view}"
    pictures: Annotated[tuple[View, ...], Reads(_views)] = (View("whole"),)
    largest_work: SizeField | None = None
    no_side_over: q.Centimetres | None = None
    largest_area: Annotated[Fraction, Reads(_area)] | None = None
    made_since: PartDay | None = None
    most_works: q.Count | None = None
    sizes_in: Annotated[str, OneOf("cm", "in", "both")] = "both"
    first: Annotated[str, OneOf("height", "width")] = "height"
    fields: Annotated[tuple[Annotated[str, OneOf(*ENTRY_FIELDS)], ...], BeforeValidator(listed)] = (
        ENTRY_FIELDS
    )
    insurance: Annotated[str, OneOf("price", "price less commission")] = "price"
    statement: Annotated[WordCount, Reads(_read(_word_count, "50 to 150 words"))] | None = None
