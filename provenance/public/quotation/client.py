"""What a client may read of a quotation: an allow-list of ready words.

In: the view and a quotation. Out: `ClientPaper`. What is not copied here by name reaches no
client: costs, hours, pay, what the shelf lacks, and the maker's notes have no way in.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from provenance.figures.colour.plain import plain_colour
from provenance.figures.dyes.mill import dyed_before
from provenance.figures.dyes.stages import history_words
from provenance.figures.fibre.piecework import is_faced
from provenance.figures.flow.makeup import composition
from provenance.figures.quotation.quote import Option, Quotation
from provenance.figures.quotation.yarn import Strand
from provenance.figures.working import half_up
from provenance.public.edge import Stripe, stripes_of
from provenance.public.names import called, capital, fleece_title, inside, spoken
from provenance.public.quotation.terms import contact_of, stages_for, terms_of
from provenance.public.view import View
from provenance.records.issued import Issue


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table of sizes: a label, and a cell for each size."""

    label: str
    cells: tuple[str, ...]
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Chip:
    """A planned colour, with its words."""

    colour: str
    words: str


@dataclass(frozen=True, slots=True)
class Drawn:
    """A size to be drawn, in centimetres, and in words."""

    height: Fraction
    width: Fraction
    words: str


@dataclass(frozen=True, slots=True)
class ClientPaper:
    """All that stands on the client's paper; `issue` says which paper of this number it is.

    It is kept as it went out, so that a newer field needs a value for the papers before it.
    """

    number: str
    issue: str
    title: str
    client: tuple[str, ...]
    day: str
    until: str
    lapsed: str
    letter: str
    what: str
    yarn: str
    chips: tuple[Chip, ...]
    stripes: tuple[Stripe, ...]
    bands: tuple[Stripe, ...]
    sizes: tuple[Drawn, ...]
    rows: tuple[Row, ...]
    terms: tuple[tuple[str, str], ...]
    contact: str
    made_on: date
    kind: str = ""


def client_paper(view: View, quotation: Quotation, before: Issue | None = None) -> ClientPaper:
    """The words of the client's paper; `before` is the issue whose place it takes."""
    phrases, commission = view.phrases, quotation.asked.commission
    say = phrases.say
    day, until = quotation.sent, phrases.day(quotation.until)
    return ClientPaper(
        number=str(commission.number),
        issue=_issue(view, before),
        title=title_of(view, quotation),
        client=_client(quotation),
        day=phrases.day(day),
        until=say("quotation.holds", day=until),
        lapsed=say("quotation.lapsed", day=until) if quotation.is_lapsed else "",
        letter=" ".join(str(commission.words or "").split()),
        what=_what(view, quotation),
        yarn=_yarn(view, quotation.options[0]),
        chips=tuple(_chips(view, quotation)),
        stripes=_stripes(quotation.options[0].strands),
        bands=_bands(seen(quotation)),
        sizes=tuple(_drawn(view, option) for option in quotation.options),
        rows=tuple(_rows(view, quotation)),
        terms=tuple(terms_of(view, quotation)),
        contact=contact_of(view),
        made_on=day,
        kind=str(quotation.asked.kind or ""),
    )


def _issue(view: View, before: Issue | None) -> str:
    """Issue 2; it takes the place of issue 1 of 2 March 2026."""
    if before is None:
        return view.phrases.say("quotation.issue", number=1)
    return view.phrases.say(
        "quotation.issue_after", number=before.number + 1, before=before.number,
        day=view.phrases.day(before.on),
    )  # fmt: skip


def _drawn(view: View, option: Option) -> Drawn:
    size = option.size
    return Drawn(Fraction(size.height), Fraction(size.width), view.phrases.size(size))


def title_of(view: View, quotation: Quotation) -> str:
    """The commission's title, else what it is like, else its kind."""
    asked = quotation.asked
    if asked.commission.title:
        return str(asked.commission.title)
    if asked.like:
        return view.phrases.say("quotation.like", title=asked.like.title)
    return view.phrases.say(f"kind.{asked.kind or 'other'}")


def _client(quotation: Quotation) -> tuple[str, ...]:
    client = quotation.asked.commission.client
    return tuple(str(part) for part in (client and client.name, client and client.post) if part)


def _what(view: View, quotation: Quotation) -> str:
    """A hanging in weft-faced plain weave, after Saltmarsh (2026-014)."""
    asked, say = quotation.asked, view.phrases.say
    kind = say(f"kind.{asked.kind or 'other'}")
    said = say("quotation.what", kind=kind, structure=asked.structure) if asked.structure else kind
    if asked.like:
        said = say("quotation.after", what=said, title=asked.like.title, number=asked.like.number)
    return said


def _yarn(view: View, option: Option) -> str:
    """Each yarn by what it does: weft of Gotland and Wensleydale, spun by hand; warp of linen."""
    phrases = view.phrases
    said: dict[tuple[str, str], list[str]] = {}
    for strand in option.strands:
        name, of = _yarn_of(view, strand)
        said.setdefault((name, strand.use), []).append(of)
    lines = [
        phrases.say(
            f"quotation.{name}",
            use=phrases.named("use", use),
            of=phrases.listed(list(dict.fromkeys(of))),
        )
        for (name, use), of in said.items()
    ]
    return capital("; ".join(lines))


def _yarn_of(view: View, strand: Strand) -> tuple[str, str]:
    """Whether a yarn is spun here, and what it is of: its fleeces, else its fibres."""
    book, phrases = view.book, view.phrases
    yarn = book.yarns.get(strand.base)
    names = [str(name) for name in (yarn and yarn.fleece) or () if name in book.fleece]
    if strand.base in book.fleece:
        names = [strand.base]
    if names:
        return "spun", phrases.listed([fleece_title(phrases, book.fleece[name]) for name in names])
    fibres = [phrases.fibre(name) for name in composition(book, strand.base)]
    return "of_fibre", phrases.listed(fibres or [inside(phrases, book, strand.base)])


def _chips(view: View, quotation: Quotation) -> Iterator[Chip]:
    """Every planned colour; shares go by the length of all that is not warp, else by its weight."""
    strands = quotation.options[0].strands
    others = [each for each in strands if each.use != "warp"]
    amounts = _amounts(others)
    whole = sum(amounts.values(), Fraction(0))
    for strand in strands:
        said = strand_words(view, strand)
        if strand.use == "warp":
            said = view.phrases.say("quotation.warp_colour", colour=said)
        elif len(others) > 1:
            share = view.phrases.percent(int(half_up(amounts[id(strand)] / whole * 100, 0)))
            said = f"{said}, {share}"
        yield Chip(strand.colour, said)


def strand_words(view: View, strand: Strand) -> str:
    """A colour in words: storm blue, indigo; or a colour that is still to be dyed."""
    phrases, say = view.phrases, view.phrases.say
    before = dyed_before(view.book.yarns.get(strand.base))
    dyes = phrases.tell(history_words(stages_for(view, strand), before)) or say("label.undyed")
    if strand.near:
        return say("quotation.near", colour=phrases.opening(plain_colour(strand.near)))
    return f"{called(view.book, strand.lot)}, {dyes}"


def _stripes(strands: Sequence[Strand]) -> tuple[Stripe, ...]:
    """The selvedge of the planned colours, by grams."""
    return stripes_of((strand.colour, strand.grams.value) for strand in strands)


def _bands(strands: Sequence[Strand]) -> tuple[Stripe, ...]:
    """Bands as wide as the shares that are told beside them."""
    amounts = _amounts(strands)
    return stripes_of((strand.colour, amounts[id(strand)]) for strand in strands)


def _amounts(strands: Sequence[Strand]) -> dict[int, Fraction]:
    """How much there is of each: by length, else by weight where a length is not known."""
    if all(each.metres for each in strands):
        return {id(each): each.metres.value for each in strands if each.metres}
    return {id(each): each.grams.value for each in strands}


def seen(quotation: Quotation) -> tuple[Strand, ...]:
    """The strands that show on the face: in weft-faced and pile cloth the warp does not."""
    strands, structure = quotation.options[0].strands, quotation.asked.structure.lower()
    hides = is_faced(structure, "weft") or "pile" in structure or "tapestry" in structure
    shown = tuple(each for each in strands if each.use != "warp" or not hides)
    return shown or strands


def _rows(view: View, quotation: Quotation) -> Iterator[Row]:
    """The table of sizes: size, price, extras, tax, all of it, parts, weeks."""
    phrases, options = view.phrases, quotation.options
    say, money = phrases.say, phrases.money
    metric = tuple(phrases.size_cm(each.size) for each in options)
    inches = tuple(phrases.size_in(each.size) for each in options)
    lead, second = (inches, metric) if phrases.is_american else (metric, inches)
    yield Row(say("label.size"), lead, "size")
    yield Row("", second, "quiet")
    yield Row(say("label.price"), tuple(money(each.offer.price.value) for each in options))
    for word, extra in options[0].offer.extras.items():
        cells = tuple(money(each.offer.extras[word].value) for each in options)
        yield Row(spoken(phrases.tell(extra.what)), cells)
    yield from _tax_and_all(view, options)
    parts = options[0].offer.instalments
    for turn in range(len(parts) if len(parts) > 1 else 0):
        cells = tuple(money(each.offer.instalments[turn].value) for each in options)
        yield Row(_when(view, turn, len(parts)), cells, "part")
    if all(each.weeks for each in options):
        weeks = (int(half_up(each.weeks.value, 0)) for each in options if each.weeks)
        cells = tuple(say("quotation.weeks", number=number) for number in weeks)
        yield Row(say("quotation.ready"), cells, "weeks")


def _tax_and_all(view: View, options: tuple[Option, ...]) -> Iterator[Row]:
    phrases, tax = view.phrases, view.book.studio.prices.tax
    share = phrases.percent(tax.share * 100)
    if tax.way == "added":
        cells = tuple(phrases.money(each.offer.tax.value) for each in options)
        yield Row(phrases.say("state.tax_added", share=share), cells)
    cells = tuple(phrases.money(each.offer.whole.value) for each in options)
    yield Row(phrases.say("quotation.in_all"), cells, "all")
    if tax.way == "included":
        cells = tuple(phrases.money(each.offer.tax.value) for each in options)
        yield Row(phrases.say("quotation.tax_in_it", share=share), cells, "quiet")


def _when(view: View, turn: int, parts: int) -> str:
    """When a part is due: with the order, half-way, when it is finished."""
    if turn == 0:
        return view.phrases.say("quotation.with_order")
    if turn == parts - 1:
        return view.phrases.say("quotation.when_finished")
    if parts == 3:
        return view.phrases.say("quotation.half_woven")
    return view.phrases.say("quotation.part_woven", part=turn, parts=parts - 1)
