"""Quotations worked out from a commission's record.

Outside truth: the worked examples of weavers' pages that this project keeps, each computed twice by
hand, and the slips those pages print, which must not come out: creative-threads.co.uk (calculating
warp and weft yarn quantity), allfiberarts.com (calculate yarn: it prints 18 × 19.5 = 390 and
36 + 2 = 40), cnch.org/?p=13821 (10 in at 20 % wants 12.5 in, not 12). Instalments that add up to
the penny: our own sum.
"""

import re
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given as for_any
from hypothesis import strategies as st

from provenance.figures.estimate.score import leave_one_out
from provenance.figures.flow.gather import studio_flow
from provenance.figures.quotation.card import stand_card, too_few
from provenance.figures.quotation.price import instalments
from provenance.figures.quotation.quote import quote
from provenance.figures.quotation.score import outcome_of, quoted_score
from provenance.figures.quotation.time import histories
from provenance.figures.working import Figure, given, half_up, redo
from provenance.language.phrases import british
from provenance.problems import Slip
from provenance.records.book import read_book
from provenance.reference.currencies import minor_unit

DEMO = Path(__file__).parents[2] / "pieces"
TODAY = date(2026, 11, 25)
tell = british().tell

STUDIO = """
studio: Brackenfold
maker: Isla Wren
pay: {any: 20.00, weaving: 24.00}
overhead: 10 %
profit: 10 %
prices: {round up to: 5}
week: 20 h
every piece takes: {tag: 1}
heat: 0.50 per hour
"""
PIECE = """
number: 2026-00{n}
title: Piece {n}
kind: shawl
structure: plain weave
finished: 2026-0{n}-10
size: {size} cm
weight: {weight} g
sett: {{ends: 6 per cm, picks: 6 per cm}}
yarns: [{{use: weft, lot: red, weight: {weft} g}}, {{use: warp, lot: warp-yarn, weight: {warp} g}}]
hours: {{weaving: {weaving}, finishing: 2}}
price: 500
"""
COMMISSION = """
number: 2026-C01
client: {name: Ada}
asked: 2026-11-10
kind: shawl
structure: plain weave
sizes: [180 x 60 cm]
sett: {ends: 6 per cm, picks: 6 per cm}
allow: {take-up: 5 %, shrink width: 12 %, shrink length: 10 %, loom waste: 70 cm, spare: 15 %}
yarn: {warp: warp-yarn, weft: grey}
"""
RECORDS = {
    "studio/studio.yaml": STUDIO,
    "studio/fleece.yaml": "gotland: {breed: Gotland, weight: 9 kg, cost: 90, scoured: 55 %, "
    "carded: 92 %, spun: 97 %}\n",
    "studio/yarns.yaml": """
grey: {fleece: {gotland: 2 kg}, weight: 1000 g, length: 4000 m, hours: {carding: 8, spinning: 20}}
warp-yarn: {fibre: wool, weight: 2 kg, cost: 80, count: 2/12 Nm}
""",
    "studio/dyestuffs.yaml": "madder: {species: Rubia tinctorum, weight: 300 g, cost: 30}\n",
    "studio/mordants.yaml": "alum: {weight: 500 g, cost: 5}\n",
    "studio/sundries.yaml": "tag: {each: 0.35}\n",
    "dyebook/2026-01-red.yaml": """
date: 2026-01-05
dyed: [{yarn: grey, weight: 400 g, becomes: red, colour: "#8a2f2a"}]
steps:
  - {mordants: {alum: 12 %}, heat: 85 C for 1 h}
  - {dyes: {madder: 50 %}, heat: 70 C for 1 h}
hours: {mordanting: 0.5, dyeing: 2}
""",
    **{
        f"2026-00{n}.yaml": PIECE.format(n=n, size=size, weight=w, weft=w // 2, warp=w - w // 2,
                                         weaving=h)
        for n, size, w, h in (
            (1, "180 x 50", 200, 9), (2, "190 x 60", 240, 12), (3, "170 x 45", 180, 8),
        )
    },
    "commissions/2026-C01.yaml": COMMISSION,
}  # fmt: skip


@pytest.fixture
def quoted(write_studio):
    """`quoted(name=text, ...)`: the quotation of a studio with some records changed."""

    def work_out(number="2026-C01", today=TODAY, **changed):
        files = {name: text for name, text in {**RECORDS, **changed}.items() if text is not None}
        book, problems = read_book(write_studio(files))
        assert [str(p) for p in problems if not p.is_remark] == []
        return quote(book, studio_flow(book), book.commissions[number], today, {})

    return work_out


def commission(**words):
    """The commission's text with some words set, or taken out (None)."""
    text = COMMISSION
    for word, value in words.items():
        name = word.replace("_", " ").strip()
        text = re.sub(rf"(?m)^{name}: .*\n", "", text)
        text += "" if value is None else f"{name}: {value}\n"
    return {"commissions/2026-C01.yaml": text}


def told(sayings):
    return [tell(each) for each in sayings]


def first(quotation):
    return quotation.options[0]


# -------------------------------------------------------------------------------- on the loom


def test_the_commission_of_the_worked_example_comes_out_to_the_digit(quoted):
    """Finished 60 × 180 cm: 68.18 cm, 410 ends, 200 cm; 1,148 + 859.1 = 2,007.1 m; 2,308.2 m."""
    plan = first(quoted()).plan
    assert half_up(plan.loom_width.value, 2) == Decimal("68.18")
    assert plan.ends.value == 410
    assert plan.loom_length.value == 200
    assert plan.warp.value == 1148
    assert half_up(plan.weft.value, 1) == Decimal("859.1")
    assert half_up(plan.yarn.value, 1) == Decimal("2007.1")
    assert half_up(plan.yarn_with_spare.value, 1) == Decimal("2308.2")


NOTHING = "take-up: 0 %, shrink width: 0 %, shrink length: 0 %"


def test_creative_threads_warp_and_weft(quoted):
    """8/cm × (50 + 5) cm = 440 ends; × 2.30 m = 1,012 m; 8/cm × 220 cm = 1,760 picks × 0.55 m."""
    allow = f"{{{NOTHING}, loom waste: 10 cm, spare: 0 %}}"
    sett = "{ends: 8 per cm, picks: 8 per cm}"
    plan = first(quoted(**commission(sizes="[220 x 55 cm]", sett=sett, allow=allow))).plan
    assert (plan.ends.value, plan.warp.value) == (440, 1012)
    assert (plan.picks.value, plan.weft.value) == (1760, 968)


@pytest.mark.parametrize(("ends", "wanted"), [(20, 390), (18, 351)])
def test_two_runners_and_the_slips_that_page_prints(quoted, ends, wanted):
    """2 × 46 + 36 = 128 in; 20/in × 19.5 in = 390 ends. That page prints 18 × 19.5 = 390: no."""
    allow = f"{{{NOTHING}, loom waste: 36 in, spare: 0 %}}"
    sett = f"{{ends: {ends} per in, picks: 6 per cm}}"
    plan = first(quoted(**commission(sizes="[92 x 19.5 in]", sett=sett, allow=allow))).plan
    assert plan.ends.value == wanted
    assert plan.end_length.value / Fraction("2.54") == 128
    yards = plan.warp.value / Fraction("0.9144")
    assert yards == Fraction(wanted * 128, 36)


def test_waste_is_added_once_and_not_as_that_page_adds_it(quoted):
    """36 + 2 = 38 in; the page prints 40."""
    allow = f"{{{NOTHING}, loom waste: 2 in, spare: 0 %}}"
    plan = first(quoted(**commission(sizes="[36 x 20 in]", allow=allow))).plan
    assert plan.end_length.value / Fraction("2.54") == 38


def test_shrinkage_is_divided_out(quoted):
    """10 in at 20 % wants 12.5 in on the loom; 12 in, as is taught, would leave 9.6."""
    allow = "{take-up: 0 %, shrink width: 20 %, shrink length: 0 %, loom waste: 0 cm, spare: 0 %}"
    plan = first(quoted(**commission(sizes="[20 x 10 in]", allow=allow))).plan
    assert plan.loom_width.value / Fraction("2.54") == Fraction("12.5")


def test_the_width_is_on_the_loom_unless_woven_sideways(quoted):
    wide = first(quoted(**commission(woven="sideways"))).plan
    assert half_up(wide.loom_length.value, 2) == Decimal("66.67")  # 60 / 0.9
    assert half_up(wide.loom_width.value, 2) == Decimal("204.55")  # 180 / 0.88


def test_allowances_that_are_not_written_are_ours_and_say_so(quoted):
    found = quoted(**commission(allow=None))
    assumed = [tell(each) for each in found.allowed.assumed]
    assert [each.split(" (")[0] for each in assumed] == [
        "take-up 10 %",
        "shrink width 5 %",
        "shrink length 5 %",
        "loom waste 91.44 cm",
        "spare 15 %",
    ]
    assert all("our default" in each for each in assumed)
    assert quoted().allowed.assumed == ()


def test_the_sett_is_the_commissions_else_the_pieces_else_told_by_its_yarn(quoted):
    like = commission(sett=None, like="2026-002", kind=None, structure=None)
    # 6 per cm of the finished 60 cm, whatever they draw in: 360 ends; counted on the loom, 410
    assert first(quoted(**like)).plan.ends.value == 360
    woven = RECORDS["2026-002.yaml"].replace("ends: 6 per cm", "ends: 6 per cm on the loom")
    assert first(quoted(**like, **{"2026-002.yaml": woven})).plan.ends.value == 410
    own = commission(sett="{ends: 5 per cm, picks: 5 per cm}", like="2026-002")
    assert first(quoted(**own)).plan.ends.value == 341
    # without a noted sett: 120 g of 6 m/g warp in 190 x 60 cm, with the same allowances
    bare = RECORDS["2026-002.yaml"].replace("sett: {ends: 6 per cm, picks: 6 per cm}\n", "")
    plan = first(quoted(**like, **{"2026-002.yaml": bare})).plan
    on_loom, end = Fraction(60) / Fraction("0.88"), Fraction(190) / Fraction("0.9")
    ends_per_cm = Fraction(120 * 6 * 100) / (end * Fraction("1.05") + 70) / on_loom
    # the same width as that piece: the ends that its warp yarn was enough for
    assert plan.ends.value == -(-ends_per_cm * on_loom // 1)


def test_without_a_sett_or_a_piece_it_says_what_is_missing(quoted):
    with pytest.raises(Slip) as caught:
        quoted(**commission(sett=None))
    assert tell(caught.value.what) == "how much warp it takes cannot be worked out"
    assert (
        tell(caught.value.remedy)
        == "add 'sett: {ends: 6 per cm, picks: 6 per cm}', or 'like: NUMBER'"
    )
    with pytest.raises(Slip) as caught:
        quoted(**commission(sizes=None))
    assert tell(caught.value.what) == "2026-C01 has no size"
    with pytest.raises(Slip) as caught:
        quoted(**commission(yarn=None))
    assert tell(caught.value.what) == "nothing tells which yarn it will be of"


# ------------------------------------------------------------------------------ yarn and shelf


def grams(option):
    return {tell(strand.name): half_up(strand.grams.value, 1) for strand in option.strands}


def test_metres_become_grams_by_length_or_by_count(quoted):
    """grey: 4 m/g; 2/12 Nm plied is 6 m/g: 859.09 / 4 = 214.8 g and 1148 / 6 = 191.3 g."""
    found = first(quoted())
    assert grams(found) == {"grey": Decimal("214.8"), "warp-yarn": Decimal("191.3")}
    spare = {tell(strand.name): half_up(strand.with_spare.value, 1) for strand in found.strands}
    assert spare == {"grey": Decimal("247.0"), "warp-yarn": Decimal("220.0")}


def test_a_lot_without_length_or_count_goes_by_area_or_is_asked_for(quoted):
    yarns = RECORDS["studio/yarns.yaml"].replace("length: 4000 m, ", "")
    with pytest.raises(Slip) as caught:
        quoted(**{"studio/yarns.yaml": yarns})
    assert tell(caught.value.what) == (
        "neither the length nor the count of 'grey' is known, so its metres have no weight"
    )
    assert tell(caught.value.remedy) == "add 'length: 2150 m' or 'count: 2/12 Nm' to grey"
    like = commission(like="2026-002", kind=None, structure=None)
    found = grams(first(quoted(**like, **{"studio/yarns.yaml": yarns})))
    assert found["grey"] == half_up(Fraction(120 * 180 * 60, 190 * 60), 1)  # 120 g by area


def test_shares_of_colours_are_of_the_weft_and_the_rest_stays_undyed(quoted):
    colours = '[{lot: red, share: 60 %}, {near: "#2e4257", share: 10 %}]'
    found = first(quoted(**commission(colours=colours)))
    weft = 1200 * Fraction(60, 88) * Fraction(105, 100) / 4  # picks x metres of a shot / 4 m/g
    shares = {tell(strand.name): strand.grams.value for strand in found.strands}
    assert list(shares) == ["red", "near #2e4257", "grey", "warp-yarn"]
    whole = shares["red"] + shares["near #2e4257"] + shares["grey"]
    assert half_up(whole, 4) == half_up(weft, 4)
    assert shares["red"] == whole * Fraction(6, 10)
    assert shares["grey"] == whole * Fraction(3, 10)


def test_a_colour_that_is_the_warps_own_takes_the_warp(quoted):
    colours = '[{lot: warp-yarn, share: 55 %}, {near: "#8a2f2a", share: 45 %}]'
    found = first(quoted(**commission(colours=colours)))
    assert grams(found) == {"near #8a2f2a": Decimal("214.8"), "warp-yarn": Decimal("191.3")}
    near = found.strands[0]
    assert [(match.name, round(match.delta_e, 6)) for match in near.nearest] == [("red", 0)]


def needs(option):
    return {
        need.what: (half_up(need.grams.value, 1), half_up(need.lacking.value, 1))
        for need in option.needs.lines
    }


def test_a_dyed_lot_that_reaches_is_taken_else_all_of_it_is_dyed_anew(quoted):
    """red: 400 g less 300 g in three pieces leaves 90 g."""
    small = commission(colours="[{lot: red, share: 30 %}]")
    found = first(quoted(**small))
    assert needs(found)["red"] == (Decimal("74.1"), Decimal("0.0"))
    assert "madder" not in needs(found)
    whole = first(quoted(**commission(colours="[{lot: red, share: 100 %}]")))
    assert "red" not in needs(whole)
    # in one bath, with the spare: 50 % madder and 12 % alum of 246.99 g; 300 - 200 g are left
    assert needs(whole)["madder"] == (Decimal("123.5"), Decimal("23.5"))
    assert needs(whole)["alum"] == (Decimal("29.6"), Decimal("0.0"))
    dyed = [making for making in whole.needs.makings if making.way == "dye"]
    assert [(each.what, each.recipe, each.hours.value) for each in dyed] == [
        ("red", "red", Fraction("2.5"))
    ]


def test_fleece_for_yarn_that_is_not_spun_goes_by_its_yields(quoted):
    """W9 of this project: 310 g of yarn at 55, 92 and 97 % wants 631.6 g in the grease."""
    allow = f"{{{NOTHING}, loom waste: 0 cm, spare: 0 %}}"
    # all of grey is used up but 600 g; 3640 m of weft are 910 g: 310 g are to be spun
    sizes = "[130 x 100 cm]"
    sett = "{ends: 1 per cm, picks: 28 per cm}"
    found = first(quoted(**commission(sizes=sizes, sett=sett, allow=allow)))
    assert needs(found)["grey"] == (Decimal("910.0"), Decimal("310.0"))
    assert needs(found)["gotland"][0] == Decimal("631.6")
    (spun,) = found.needs.makings
    assert (spun.way, spun.hours.value) == ("spin", Fraction(28 * 310, 1000))


# -------------------------------------------------------------------------- cost, price, pay


def test_materials_and_costs_add_up_as_printed(quoted):
    found = first(quoted())
    lines = {figure.what: figure.value for figure in found.materials}
    # grey: 2 of 9 kg of fleece for 90 is 20 for 1000 g; warp: 80 for 2 kg
    assert lines == {
        "grey": Fraction("4.94"),
        "warp-yarn": Fraction("8.80"),
        "tag": Fraction("0.35"),
    }
    likely = found.costs["likely"]
    assert likely.materials.value == Fraction("14.09")
    assert likely.cost.value == likely.materials.value + likely.labour.value + likely.overhead.value
    assert likely.overhead.value == Fraction(
        half_up((likely.materials.value + likely.labour.value) / 10, 2)
    )
    assert likely.price.value == Fraction(half_up(likely.cost.value * Fraction(11, 10), 2))
    stages = found.hours.stages
    paid = sum(half_up(hours * (24 if stage == "weaving" else 20), 2)
               for stage, hours in stages.items())  # fmt: skip
    assert likely.labour.value == Fraction(paid)
    low, high = found.costs["low"], found.costs["high"]
    assert low.hours.value == found.hours.low
    assert low.price.value < likely.price.value < high.price.value


def test_the_offer_is_the_likely_price_rounded_up_or_the_makers_own(quoted):
    found = first(quoted())
    price = found.costs["likely"].price.value
    assert found.offer.price.value == -(-price // 5) * 5
    assert not found.offer.is_own
    own = first(quoted(**commission(offer="[700]")))
    assert (own.offer.price.value, own.offer.is_own) == (700, True)
    dearer = first(quoted(**commission(margin="50 %")))
    assert dearer.costs["likely"].price.value == Fraction(
        half_up(found.costs["likely"].cost.value * Fraction(3, 2), 2)
    )


def test_what_an_hour_brings_at_low_likely_and_high(quoted):
    found = first(quoted(**commission(offer="[700]", extras="{design fee: 90}")))
    for point, cost in found.costs.items():
        kept = 700 - cost.materials.value - cost.overhead.value
        assert found.earns[point].value == kept / cost.hours.value
    assert found.earns["low"].value > found.earns["likely"].value > found.earns["high"].value


def test_2500_in_thirds():
    """833 + 833 + 834, whole pounds: the last takes the rest."""
    parts = instalments(given("whole", 2500, "GBP"), (Fraction(1, 3),) * 3)
    assert [part.money() for part in parts] == [
        Decimal("833.00"), Decimal("833.00"), Decimal("834.00"),
    ]  # fmt: skip


@for_any(
    st.integers(1, 10**9),
    st.sampled_from(["JPY", "GBP", "KWD"]),
    st.lists(st.integers(1, 100), min_size=1, max_size=9),
)
def test_instalments_always_add_up(amount, currency, weights):
    minor = minor_unit(currency)
    whole = given("whole", Fraction(amount, 10**minor), currency)
    shares = [Fraction(weight, sum(weights)) for weight in weights]
    parts = instalments(whole, shares)
    assert sum(part.value for part in parts) == whole.value
    assert all(part.value * 10**minor % 1 == 0 for part in parts)
    assert all(part.value >= 0 for part in parts)
    is_large = min(shares) * whole.value >= len(parts)  # then all but the last are whole pounds
    assert not is_large or all(part.value % 1 == 0 for part in parts[:-1])
    step = 1 if is_large else 10**minor
    for part, share in zip(parts, shares, strict=True):
        assert abs(part.value - whole.value * share) <= Fraction(len(parts), 2 * step)


def test_extras_and_instalments_through_a_record(quoted):
    words = {"offer": "[2300]", "extras": "{design fee: 120, delivery: 80}", "pay_in": "thirds"}
    offer = first(quoted(**commission(**words))).offer
    assert offer.whole.value == 2500
    assert [part.money() for part in offer.instalments] == [
        Decimal("833.00"), Decimal("833.00"), Decimal("834.00"),
    ]  # fmt: skip


def test_tax_as_set(quoted):
    """1200 including 20 % holds 200.00; 1000 and 8.25 % on top are 1082.50."""
    within = STUDIO.replace("prices: {round up to: 5}", "prices: {tax: included 20 %}")
    found = first(quoted(**commission(offer="[1200]"), **{"studio/studio.yaml": within})).offer
    assert (found.tax.value, found.whole.value) == (200, 1200)
    added = STUDIO.replace("prices: {round up to: 5}", "prices: {tax: added 8.25 %}")
    found = first(quoted(**commission(offer="[1000]"), **{"studio/studio.yaml": added})).offer
    assert (found.tax.value, found.whole.value) == (Fraction("82.50"), Fraction("1082.50"))


def figures_in(thing):
    """Every figure that hangs on a quotation."""
    if isinstance(thing, Figure):
        yield thing
        for term in thing.terms:
            yield from figures_in(term)
    elif isinstance(thing, dict):
        for each in thing.values():
            yield from figures_in(each)
    elif isinstance(thing, tuple):
        for each in thing:
            yield from figures_in(each)
    elif is_dataclass(thing):
        for field in fields(thing):
            yield from figures_in(getattr(thing, field.name))


def test_every_printed_sum_can_be_done_again(quoted):
    colours = '[{lot: red, share: 60 %}, {near: "#2e4257", share: 40 %}]'
    words = {"colours": colours, "extras": "{design fee: 60}", "pay_in": "thirds"}
    options = quoted(**commission(**words, like="2026-002")).options
    found = [each for option in options for each in figures_in(option)]
    assert len(found) > 300
    for figure in found:
        if figure.how == "given":
            assert not figure.terms
        else:
            assert redo(figure.how, [term.value for term in figure.terms]) == figure.value
    assert any(figure.place and "2026-C01.yaml" in figure.place.file for figure in found)


# ---------------------------------------------------------------------------------- time


def test_it_lapses_and_holds_anew_when_quoted_again(quoted):
    sent = commission(quoted="2026-11-10")
    assert quoted(today=date(2026, 12, 10), **sent).until == date(2026, 12, 10)
    assert not quoted(today=date(2026, 12, 10), **sent).is_lapsed
    assert quoted(today=date(2026, 12, 11), **sent).is_lapsed
    assert not quoted(today=date(2026, 12, 11)).is_lapsed  # it never went out
    again = quoted(today=date(2026, 12, 11), **commission(quoted="2026-12-11", valid="2 weeks"))
    assert (again.until, again.is_lapsed) == (date(2026, 12, 25), False)
    done = quoted(today=date(2027, 6, 1), **commission(status="accepted"))
    assert not done.is_lapsed


def test_weeks_count_what_is_agreed_and_not_finished(quoted):
    alone = quoted()
    likely = first(alone).hours.likely
    assert first(alone).weeks.value == -(-likely // 20)
    other = COMMISSION.replace("2026-C01", "2026-C02") + (
        "status: accepted\naccepted: {on: 2026-11-20, piece: 2026-009, "
        "hours: {likely: 50, low: 40, high: 60}}\n"
    )
    files = {"commissions/2026-C02.yaml": other}
    after = quoted(**files)
    assert [(number, hours.value) for number, hours in after.queue.items()] == [("2026-C02", 50)]
    assert first(after).weeks.value == -(-(likely + 50) // 20)
    begun = "number: 2026-009\ntitle: Begun\nstatus: commission 2026-C02\nhours: {weaving: 30}\n"
    half = quoted(**files, **{"2026-009.yaml": begun})
    assert half.queue["2026-C02"].value == 20
    ended = begun + "finished: 2026-11-24\nsize: 180 x 60 cm\n"
    assert quoted(**files, **{"2026-009.yaml": ended}).queue == {}


def test_without_a_week_no_lead_time_is_told(quoted):
    found = quoted(**{"studio/studio.yaml": STUDIO.replace("week: 20 h\n", "")})
    assert first(found).weeks is None
    assert first(found).turns == ()
    assert "The studio file has no 'week: 24 h', so no lead time is told." in told(found.remarks)


def test_thin_history_is_said(quoted):
    gone = {"2026-001.yaml": None, "2026-003.yaml": None}
    found = quoted(**gone)
    assert first(found).hours.is_thin
    assert told(found.remarks)[0] == (
        "So few finished pieces are like it that low and high are a stated guess."
    )
    assert float(first(found).hours.high / first(found).hours.likely) == pytest.approx(2, rel=1e-2)


def test_with_no_finished_piece_the_makers_own_guess_is_taken_and_called_so(quoted):
    gone = {f"2026-00{n}.yaml": None for n in (1, 2, 3)}
    with pytest.raises(Slip) as caught:
        quoted(**gone)
    assert tell(caught.value.what) == "no finished piece with its hours to estimate from"
    found = quoted(**gone, **commission(hours="30", sizes="[180 x 60 cm, 180 x 120 cm]"))
    assert [o.hours.likely for o in found.options] == [30, 60]
    assert (first(found).hours.low, first(found).hours.high) == (15, 60)
    assert tell(first(found).hours.basis).startswith("no finished piece to learn from")


# -------------------------------------------------------------------- quoted against actual


DONE = """
number: 2026-009
title: Done
kind: shawl
structure: plain weave
status: commission 2026-C01
finished: 2026-11-24
size: 181 x 60 cm
weight: 240 g
yarns: [{use: warp and weft, lot: grey, weight: 250 g}]
hours: {weaving: 14, finishing: 3}
"""


def agreed(hours=", hours: {likely: 16, low: 12, high: 23}"):
    words = f"{{on: 2026-09-01, size: 180 x 60 cm, price: 700, piece: 2026-009{hours}}}"
    return commission(status="accepted", accepted=words)


def test_quoted_and_actual_and_the_score(quoted):
    found = quoted(**agreed(), **{"2026-009.yaml": DONE})
    book, flow = found.asked.book, found.asked.flow
    outcome = outcome_of(book, flow, found.asked.commission)
    assert (outcome.low, outcome.likely, outcome.high) == (12, 16, 23)
    assert outcome.taken.value == 17 + Fraction(28 * 250, 1000)  # its own, and carding, spinning
    assert not outcome.is_inside
    sheet = outcome.sheet
    kept = 700 - sheet.materials.value - sheet.overhead.value
    assert outcome.earned.value == kept / outcome.taken.value
    assert (quoted_score(book, flow).inside, quoted_score(book, flow).tried) == (0, 1)
    wider = quoted(**agreed(", hours: {likely: 16, low: 12, high: 24}"), **{"2026-009.yaml": DONE})
    assert quoted_score(wider.asked.book, wider.asked.flow).inside == 1


def test_a_record_without_the_hours_is_worked_out_from_what_was_finished_by_then(quoted):
    found = quoted(**agreed(hours=""), **{"2026-009.yaml": DONE})
    outcome = outcome_of(found.asked.book, found.asked.flow, found.asked.commission)
    without = quoted(today=date(2026, 9, 1), **commission())
    assert outcome.likely == pytest.approx(without.options[0].hours.likely, rel=0.2)
    # the finished piece itself is no witness for its own quotation
    assert first(found).hours.pieces == 3


def test_nothing_to_tell_before_the_piece_is_finished(quoted):
    begun = DONE.replace("finished: 2026-11-24\n", "")
    found = quoted(**agreed(), **{"2026-009.yaml": begun})
    assert outcome_of(found.asked.book, found.asked.flow, found.asked.commission) is None
    assert quoted_score(found.asked.book, found.asked.flow).tried == 0


# ------------------------------------------------------------------------------- the demo


@pytest.fixture(scope="module")
def demo():
    book, _ = read_book(DEMO)
    return book, studio_flow(book)


def test_leave_one_out_on_the_demo_is_reported(demo, record_property):
    book, flow = demo
    known = list(histories(book, flow, TODAY).values())
    found = leave_one_out(known)
    record_property("leave one out on the demo", f"{found.inside} of {found.tried}")
    print(f"\nleave one out on the demo: {found.inside} of {found.tried} within the range")
    assert found.tried == len(known) >= 15
    # 80 % of 17 is 13.6; fewer than 11 or all of them by a mile would be chance of 1 in 20
    assert found.inside >= 11


def test_the_demos_commissions_quote_sensibly(demo):
    book, flow = demo
    for commission_ in book.commissions.values():
        found = quote(book, flow, commission_, TODAY, {})
        assert len(found.options) == len(commission_.sizes)
        for option in found.options:
            assert option.plan is not None
            assert 1 < option.hours.high / option.hours.low < 4
            assert option.hours.low < option.hours.likely < option.hours.high
            shares = sum(strand.grams.value for strand in option.strands)
            assert half_up(shares * (1 + found.allowed.spare.value), 3) == half_up(
                option.grams.value, 3
            )
        prices = [option.offer.price.value for option in found.options]
        assert prices == sorted(prices)
        weeks = [option.weeks.value for option in found.options]
        assert weeks == sorted(weeks)


def test_the_card_stands_among_the_tags_without_contradicting_them(demo):
    """From and to hold every price asked for that sort, by area."""
    book, flow = demo
    rows = stand_card(book, flow, TODAY, {})
    assert {(row.kind, row.structure) for row in rows} == {
        ("hanging", "weft-faced plain weave"), ("scarf", "2/2 twill"),
    }  # fmt: skip
    for row in rows:
        assert row.low.value < row.high.value
        assert row.low.value % 5 == row.high.value % 5 == 0
        alike = [
            piece.price * row.option.size.area / piece.size.area
            for piece in book.pieces.values()
            if piece.price is not None
            and (piece.kind, piece.structure) == (row.kind, row.structure)
        ]
        assert alike
        assert row.low.value <= min(alike) + 5
        assert max(alike) <= row.high.value


UNTOLD = re.sub(
    r"lot: red, weight: \d+ g", "lot: warp-yarn, weight: 90 g",
    RECORDS["2026-003.yaml"].replace("hours: {weaving: 8, finishing: 2}\n", ""),
)  # fmt: skip
TWO = (0, (("shawl", "plain weave", 2),))


@pytest.mark.parametrize(
    ("third", "card"), [(RECORDS["2026-003.yaml"], (3, ())), (None, TWO), (UNTOLD, TWO)]
)
def test_a_sort_of_fewer_than_three_pieces_is_not_on_the_card(write_studio, third, card):
    """Two pieces, or three of which one has told no hours: no row."""
    files = {**RECORDS, "2026-003.yaml": third}
    book, _ = read_book(write_studio({name: text for name, text in files.items() if text}))
    flow = studio_flow(book)
    assert (len(stand_card(book, flow, TODAY, {})), too_few(book, flow, TODAY)) == card


def test_hours_of_one_like_a_piece_start_from_its_own(quoted):
    """2026-002 took twice as long for its size as the others: so will one like it, nearly."""
    slow_record = RECORDS["2026-002.yaml"].replace("weaving: 12", "weaving: 28")

    def hours(like):
        words = commission(like=like, kind=None, structure=None)
        return first(quoted(**words, **{"2026-002.yaml": slow_record})).hours

    slow, quick = hours("2026-002"), hours("2026-001")
    assert "2026-002, which it is like, counts most" in tell(slow.basis)
    assert "2026-001, which it is like, counts most" in tell(quick.basis)
    assert slow.likely > quick.likely * Fraction(13, 10)
