"""Fibre content and labels against the law; cases with their sources in tests/truth."""

import tomllib
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from provenance.figures.fibre import label_us, of_piece
from provenance.figures.fibre import shares as fibre_shares
from provenance.figures.fibre.label_eu import must_be_stated
from provenance.figures.fibre.label_us import fibres_named
from provenance.figures.fibre.piecework import Piecework
from provenance.figures.fibre.shares import (
    FibrePart,
    FibreShare,
    agrees,
    bounded,
    largest_remainder,
    shares,
    use_words,
    within_tolerance,
)
from provenance.figures.working import redo
from provenance.language.phrases import british
from provenance.problems import Place, Slip
from provenance.reference.fibres import fibres

TRUTH = Path(__file__).parents[1] / "truth" / "fibre_labels.toml"
CASES = tomllib.loads(TRUTH.read_text(encoding="utf-8"))["case"]
NAMES = [fibre.name for fibre in fibres()]


LOCAL_RULES = "Check your local rules: this is a reading of them, not legal advice."


@dataclass(frozen=True)
class Printed:
    """A fibre label as it is printed."""

    regime: str
    lines: tuple[str, ...]
    text: str
    sections: tuple[tuple[str, tuple[FibreShare, ...]], ...]
    prompts: tuple[str, ...]


def label(work, market):
    tell, found = british().tell, of_piece.label(work, market)
    return Printed(
        tell(found.regime),
        tuple(map(tell, found.lines)),
        tell(found.text),
        tuple((tell(section.words), section.shares) for section in found.sections),
        tuple(map(tell, found.prompts)),
    )


def content_words(content, *market):
    return british().tell(fibre_shares.content_words(content, *market))


def tag_note(headline, parts):
    return british().tell(label_us.tag_note(headline, parts))


def cashmere_doubts(*measured):
    return tuple(map(british().tell, label_us.cashmere_doubts(*measured)))


def part(use, fibre, grams, **more):
    return FibrePart(use, fibre, Fraction(grams), **more)


def piece(case):
    parts = tuple(part(**written) for written in case["parts"])
    about = {key: case[key] for key in ("structure", "has_animal_parts", "spun") if key in case}
    return Piecework(parts, case["kind"], **about)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_label_says_what_the_law_asks(case):
    found = label(piece(case), case["market"])
    if "lines" in case:
        assert list(found.lines) == case["lines"]
    else:
        assert found.text == case["text"]
    assert case.get("regime", "1007/2011") in found.regime
    assert found.prompts[-1] == LOCAL_RULES


def test_every_case_has_a_source_and_a_mark():
    assert {case["sure"] for case in CASES} <= {"R", "R2", "M", "C"}
    assert all(case["source"] for case in CASES)


def test_the_pile_line_is_one_line():
    case = next(case for case in CASES if case["id"] == "US-k")
    assert label(piece(case), "US").lines == (case["text"],)


parts_of_a_piece = st.lists(
    st.builds(
        FibrePart,
        st.sampled_from(["warp", "weft", "pile", "warp and weft", "ornament", "fringe"]),
        st.sampled_from(NAMES),
        st.integers(1, 10_000).map(lambda tenths: Fraction(tenths, 10)),
        is_virgin=st.booleans(),
        is_functional=st.booleans(),
    ),
    min_size=1,
    max_size=9,
)


@given(parts_of_a_piece)
def test_percentages_sum_to_100_fall_and_are_near(parts):
    found = shares(parts)
    whole = sum(one.grams for one in found)
    assert whole == sum(one.grams for one in parts)
    assert sum(one.percent for one in found) == 100
    assert [one.percent for one in found] == sorted((o.percent for o in found), reverse=True)
    assert [one.grams for one in found] == sorted((o.grams for o in found), reverse=True)
    assert all(abs(one.percent - one.grams / whole * 100) < 1 for one in found)


@given(parts_of_a_piece, st.randoms())
def test_the_order_of_writing_changes_nothing(parts, random):
    mixed = list(parts)
    random.shuffle(mixed)
    assert [(o.fibre, o.percent) for o in shares(mixed)] == [
        (o.fibre, o.percent) for o in shares(parts)
    ]


@settings(max_examples=60)
@given(parts_of_a_piece, st.sampled_from(["rug", "hanging", "shawl"]))
def test_labels_sum_to_100_and_keep_100_for_one_fibre(parts, kind):
    for market in ("US", "EU", "UK"):
        found = label(Piecework(tuple(parts), kind, "weft-faced"), market)
        for words, stated in found.sections:
            assert sum(one.percent for one in stated) == 100
            if len(stated) > 1 and "Pile" not in words:
                assert not words.startswith("100")


@pytest.mark.parametrize(
    ("exact", "whole"),
    [
        # of two left-over halves the larger share's is rounded up, whatever its name
        ({"alpaca": "21/2", "wool": "179/2"}, {"alpaca": 10, "wool": 90}),
        ({"wool": "21/2", "alpaca": "179/2"}, {"wool": 10, "alpaca": 90}),
        # of equal shares the first of the alphabet, whatever the order of the record
        (
            {"wool": "100/3", "silk": "100/3", "alpaca": "100/3"},
            {"wool": 33, "silk": 33, "alpaca": 34},
        ),
    ],
)
def test_a_tie_of_left_over_parts_is_settled_by_size_then_by_name(exact, whole):
    assert largest_remainder({name: Fraction(share) for name, share in exact.items()}) == whole


@given(parts_of_a_piece)
def test_every_percentage_can_be_worked_again(parts):
    def check(figure):
        if figure.terms:
            assert redo(figure.how, [term.value for term in figure.terms]) == figure.value
        for term in figure.terms:
            check(term)

    for one in shares(parts):
        assert (one.working.value, one.working.unit) == (one.percent, "%")
        check(one.working)


def test_the_working_goes_back_to_the_record():
    place = Place("pieces/2026-014-saltmarsh.yaml", 9, 5)
    (only,) = shares([part("weft", "wool", 412, place=place)])
    exact = only.working.terms[0]
    (mass,) = exact.terms[0].terms[0].terms
    assert (mass.value, mass.unit, mass.place) == (412, "g", place)


def test_plain_composition_in_words():
    parts = [part("weft", "wool", 840), part("warp", "linen", 160), part("sewing", "silk", 50)]
    assert content_words(shares(parts)) == "84 % wool, 16 % linen"
    assert content_words(shares(parts), "US") == "84% Wool / 16% Linen"
    recycled = shares([part("weft", "cotton", 3, is_recycled=True), part("warp", "cotton", 1)])
    assert content_words(recycled) == "75 % recycled cotton, 25 % cotton"
    assert content_words(recycled, "US") == "75% Recycled Cotton / 25% Cotton"


def test_thirds_go_to_100_in_order_of_the_alphabet():
    thirds = shares([part("weft", name, 1) for name in ("wool", "silk", "linen")])
    assert [(one.fibre, one.percent) for one in thirds] == [
        ("linen", 34),
        ("silk", 33),
        ("wool", 33),
    ]


def test_a_trace_of_a_fibre_is_never_0_beside_100():
    parts = [part("weft", "wool", 999), part("weft", "silk", 1)]
    assert content_words(shares(parts)) == "over 99 % wool, under 1 % silk"
    assert label(Piecework(tuple(parts), "shawl"), "EU").text == "over 99 % wool, under 1 % silk"


def test_nothing_makes_no_label():
    assert shares([]) == ()
    assert shares([part("sewing", "silk", 5), part("weft", "wool", 0)]) == ()
    for market in ("US", "EU", "UK"):
        assert label(Piecework((), "shawl"), market).lines == ()


def test_unknown_names_are_refused_with_the_nearest():
    with pytest.raises(Slip) as slip:
        shares([part("weft", "moahir", 5)])
    assert (british().tell(slip.value.what), british().tell(slip.value.remedy)) == (
        "no fibre called 'moahir'",
        "did you mean 'mohair'?",
    )
    with pytest.raises(ValueError, match="no label rules for FR; known: UK, EU, US"):
        label(Piecework((), "shawl"), "FR")


def test_words_of_use():
    assert use_words("Warp and  weft") == {"warp", "weft"}
    assert use_words("sewing thread") == {"sewing"}
    assert use_words("fringe and ornament") == {"body", "ornament"}
    assert use_words("") == {"body"}


def test_components_of_article_11():
    # Regulation (EU) No 1007/2011 Art. 11: 29 % / 30 % / 29 % as main lining
    assert not must_be_stated(Fraction(29, 100), is_main_lining=False)
    assert must_be_stated(Fraction(30, 100), is_main_lining=False)
    assert must_be_stated(Fraction(29, 100), is_main_lining=True)


@pytest.mark.parametrize(("grams", "said"), [(290, True), (300, False)])
def test_a_small_section_may_be_left_off(grams, said):
    parts = (part("weft", "wool", 1000 - grams), part("weft", "linen", grams, section="fringe"))
    prompt = "The fringe may be left off: under 30 % and no main lining (Art. 11)."
    assert (prompt in label(Piecework(parts, "shawl"), "EU").prompts) is said


def test_the_same_lining_is_not_said_twice():
    parts = (part("weft", "wool", 700), part("lining", "wool", 300))
    assert label(Piecework(parts, "bag"), "EU").lines == ("100 % wool",)
    assert label(Piecework(parts, "bag"), "US").lines == ("100% Wool",)


def test_a_rug_of_one_fibre_needs_no_use_surface():
    parts = (part("warp", "wool", 350), part("weft", "wool", 1650))
    assert label(Piecework(parts, "rug", "weft-faced plain weave"), "EU").text == "100 % wool"


def test_a_weft_faced_hanging_states_everything_and_asks():
    # Regulation (EU) No 1007/2011 Annex VII: hidden yarns of hangings; which ones, the maker knows
    parts = (part("weft", "wool", 530), part("warp", "linen", 180))
    found = label(Piecework(parts, "hanging", "weft-faced plain weave"), "UK")
    assert found.text == "75 % wool, 25 % linen"
    assert (
        "Yarns of a hanging that are not on its right side are left out (Annex VII): if that is "
        "so here, the line for the cloth reads '100 % wool'." in found.prompts
    )


def test_cotton_linen_union_is_offered_from_40_per_cent():
    # Regulation (EU) No 1007/2011 Art. 9(3)
    def offers(linen):
        parts = (part("warp", "cotton", 100 - linen), part("weft", "linen", linen))
        return any("union" in one for one in label(Piecework(parts, "cloth"), "UK").prompts)

    assert [offers(39), offers(40)] == [False, True]


def test_prompts_of_a_us_hanging():
    found = label(Piecework((part("weft", "wool", 5),), "hanging"), "US")
    assert found.prompts == (
        "Whether a wall hanging needs a US fibre label was not found in the rules: label it, or "
        "ask.",
        "A US label also carries your business name (or RN) and the country of origin, the origin "
        "in front (15 USC 70b(b), 68b(a)(2)); in English, without abbreviations.",
        LOCAL_RULES,
    )


def test_a_little_wool_in_a_rug_is_other_fibre_and_asked_about():
    # 15 USC 68j leaves rugs to the Textile Act, 70b(b)(2)
    parts = (part("weft", "cotton", 97), part("weft", "wool", 3))
    found = label(Piecework(parts, "rug"), "US")
    assert found.text == "97% Cotton / 3% Other Fiber"
    assert found.prompts[0].startswith("In a rug, wool under 5 %")


def test_decoration_of_the_same_fibre_is_counted():
    parts = (part("weft", "wool", 97), part("ornament", "wool", 3))
    assert label(Piecework(parts, "shawl"), "US").text == "100% Wool"


def test_a_tag_that_names_some_fibres_says_that_it_does_not_name_all():
    # 16 CFR 303.17(b), 300.24(b)
    parts = [part("weft", "wool", 85), part("warp", "cotton", 15)]
    assert tag_note("Shetland wool", parts) == (
        "This tag does not disclose the product's full fiber content."
    )
    assert tag_note("Wool and cotton", parts) == ""
    assert tag_note("Saltmarsh", parts) == ""
    assert tag_note("Shetland wool", parts[:1]) == ""


def test_fibres_named_in_a_text():
    assert fibres_named("Warp of flax, weft of Rayon and recycled cotton; flaxen, cottony") == (
        "linen",
        "viscose",
        "recycled cotton",
    )


def test_tolerance_of_three_points():
    # 16 CFR 303.43 (three points: from memory); none for 100 %
    assert within_tolerance(40, Decimal("37.0"))
    assert within_tolerance(40, Decimal("43.0"))
    assert not within_tolerance(40, Decimal("36.9"))
    assert not within_tolerance(100, Decimal("99.9"))


def test_cashmere_by_diameter():
    # 16 CFR 300.19(a), 15 USC 68b(a)(6)
    assert cashmere_doubts(Decimal("19.5")) == ("mean diameter 19.5 µm; at most 19 µm is cashmere",)
    assert cashmere_doubts(Decimal("19.0"), Decimal(3), Decimal(24)) == ()
    assert cashmere_doubts(Decimal("18"), Decimal("3.1"), Decimal("24.1")) == (
        "3.1 % over 30 µm; at most 3 % is cashmere",
        "diameter varies by 24.1 %; at most 24 % is cashmere",
    )


def leaves(figure):
    return [figure] if figure.how == "given" else [e for term in figure.terms for e in leaves(term)]


def test_what_was_weighed_is_named_by_its_use_else_by_its_fibre():
    place = Place("2026-001.yaml", 7, 1)
    content = shares([part("warp", "wool", 60, place=place), part("", "linen", 40)])
    weighed = {
        (british().tell(each.what), each.value, each.place)
        for line in content
        for each in leaves(line.working)
        if each.unit == "g"
    }
    assert weighed == {("warp", 60, place), ("linen", 40, None)}


def mixture(**grams):
    """Shares of fibres by name; a tenth of a per cent is a gram of a kilogram."""
    return shares([part("weft", fibre, weight) for fibre, weight in grams.items()])


@pytest.mark.parametrize(
    ("stated", "found", "is_near"),
    [
        ({"wool": 600, "linen": 400}, {"wool": 630, "linen": 370}, True),
        ({"wool": 600, "linen": 400}, {"wool": 570, "linen": 430}, True),
        ({"wool": 600, "linen": 400}, {"wool": 631, "linen": 369}, False),
        ({"wool": 510, "linen": 490}, {"wool": 500, "linen": 500}, True),
        ({"wool": 510, "linen": 490}, {"wool": 490, "linen": 510}, False),  # in another order
        ({"wool": 980, "linen": 20}, {"wool": 1000}, True),
        ({"wool": 980, "linen": 20}, {"wool": 970, "linen": 20, "silk": 10}, False),
        (
            {"wool": 600, "silk": 300, "linen": 100}, {"wool": 600, "silk": 360, "linen": 40},
            False,
        ),
        ({"wool": 560, "silk": 400, "linen": 40}, {"wool": 570, "silk": 430}, False),
    ],
)  # fmt: skip
def test_a_mixture_is_near_within_three_points_of_each_fibre(stated, found, is_near):
    assert agrees(mixture(**stated), mixture(**found)) is is_near


def test_shares_lie_between_the_least_and_the_most_of_all_mixtures():
    stated = mixture(wool=600, linen=400)
    near = [mixture(wool=620, linen=380), mixture(wool=590, linen=410)]
    far = [*near, mixture(wool=650, silk=350)]
    near, far = ([{one.fibre: one.low for one in each} for each in some] for some in (near, far))

    def told(found):
        return [(each.fibre, each.percent, each.low, each.high, each.is_certain) for each in found]

    assert told(bounded(stated, near)) == [
        ("wool", 60, 59, 62, True), ("linen", 40, 38, 41, True),
    ]  # fmt: skip
    assert told(bounded(stated, far)) == [
        ("wool", 60, 59, 65, False), ("linen", 40, 0, 41, False),
    ]  # fmt: skip
