"""What is agreed with a price: included, sample, size, colour, time, second thoughts, care, origin.

In: the view and a quotation. Out: headings with their words. The rules are those that makers of
commissioned cloth commonly set (common trade practice; the wording is ours, each may be changed as
a phrase of the studio); a size tolerance of 5 % is usual. Rights that the law gives stay
untouched.
"""

from collections.abc import Iterator
from fractions import Fraction

from provenance.figures.care import Cloth, care_words
from provenance.figures.dyes.stages import dyes_of, helps_of
from provenance.figures.fibre.origin import offered_to_order
from provenance.figures.flow.makeup import DyeStage, composition, stages_of
from provenance.figures.quotation.quote import TOLERANCE, Quotation
from provenance.figures.quotation.yarn import Strand
from provenance.public.view import View
from provenance.reference.measures import INCH


def terms_of(view: View, quotation: Quotation) -> Iterator[tuple[str, str]]:
    """What is agreed with the price, heading by heading."""
    say, commission = view.phrases.say, quotation.asked.commission
    yield say("quotation.included"), _included(view, quotation)
    yield say("quotation.sample"), say("quotation.sample_words")
    share = commission.tolerance if commission.tolerance is not None else TOLERANCE
    by = view.phrases.percent(share * 100)
    sides = _sides(view, quotation)
    yield say("quotation.size"), say("quotation.size_words", share=by, sides=sides)
    yield say("quotation.colour"), say("quotation.colour_words")
    if all(option.weeks for option in quotation.options):
        yield say("quotation.time"), say("quotation.time_words")
    fee = commission.extras.get("design fee")
    kept = say("quotation.fee_kept" if fee else "quotation.work_kept")
    yield say("quotation.mind"), say("quotation.mind_words", kept=kept)
    yield say("quotation.rights"), say("quotation.rights_words")
    if care := _care(view, quotation):
        yield say("label.care"), care
    lots = [each.base for each in quotation.options[0].strands]
    if "US" in view.markets and (origin := offered_to_order(view.book, lots)):
        yield say("label.origin"), view.phrases.tell(origin)
    if view.book.studio.deposit:
        yield say("quotation.paying"), " ".join(str(view.book.studio.deposit).split())


def _included(view: View, quotation: Quotation) -> str:
    asked, say = quotation.asked, view.phrases.say
    extras = asked.commission.extras
    usual = view.book.studio.every_piece_takes
    things = [
        str(name)
        for name, use in (asked.like.sundries.items() if asked.like else ())
        if name not in usual and not use.unit
    ]
    said = [say("quotation.included_words")]
    if things:
        said.append(say("quotation.included_also", things=view.phrases.listed(things)))
    if "design fee" in extras:
        said.append(say("quotation.fee_covers"))
    is_sent = any("deliver" in word or "post" in word for word in extras)
    said.append(say("quotation.is_delivered" if is_sent else "quotation.not_delivered"))
    return " ".join(said)


def _sides(view: View, quotation: Quotation) -> str:
    """How far height and width may be off, size by size: 7 x 5 cm; 8 x 5.5 cm."""
    inch, unit = (INCH, "in") if view.phrases.is_american else (Fraction(1), "cm")
    pairs = (
        [view.phrases.number(side.value / inch, 1) for side in option.tolerance]
        for option in quotation.options
    )
    return view.phrases.listed([f"{' × '.join(pair)} {unit}" for pair in pairs])


def _care(view: View, quotation: Quotation) -> str:
    strands = quotation.options[0].strands
    book, asked = view.book, quotation.asked
    fibres = dict.fromkeys(fibre for each in strands for fibre in composition(book, each.base))
    stages = [stage for each in strands for stage in stages_for(view, each)]
    dyes = [str((book.dyestuffs[dye].species if dye in book.dyestuffs else None) or dye)
            for dye in dyes_of(stages)]  # fmt: skip
    kind = asked.kind or "other"
    cloth = Cloth(tuple(fibres), asked.structure, kind, dyes, helps_of(stages))
    return " ".join(map(view.phrases.tell, care_words(cloth)))


def contact_of(view: View) -> str:
    """Every way to reach the maker: the paper goes to one client."""
    contact = view.book.studio.contact
    order = sorted(contact, key=lambda word: str(word) == "post")
    return ", ".join(str(contact[word]) for word in order)


def stages_for(view: View, strand: Strand) -> tuple[DyeStage, ...]:
    """How a strand is to be dyed: as its lot was, else as the nearest recipe."""
    name = strand.recipe or strand.lot
    return stages_of(view.book, name)
