"""The words of a story against what the record bears out; sentences in tests/truth."""

import tomllib
from pathlib import Path

import pytest

from provenance.figures.fibre.claims import Claim, Facts, claims_in
from provenance.language.phrases import british
from provenance.problems import Said
from provenance.reference.loader import rows

TRUTH = Path(__file__).parents[1] / "truth" / "claim_words.toml"
CASES = tomllib.loads(TRUTH.read_text(encoding="utf-8"))["case"]
RECORD = Facts(
    fibres=frozenset({"wool", "linen"}),
    content="84 % wool, 16 % linen",
    origins=("Made in England", "Eskrigg Dale"),
    is_virgin=True,
)


def noticed(text, facts=RECORD):
    return [(claim.word, claim.weight) for claim in claims_in(text, facts)]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["text"])
def test_sentence(case):
    expected = [(case["word"], case["weight"])] if case["weight"] else []
    assert noticed(case["text"]) == expected


def test_place_reason_and_what_to_say_instead():
    (claim,) = claims_in("First line.\nSoft and\n100 % wool all through.", RECORD)
    assert claim == Claim(
        word="100 % wool",
        start=21,
        line=3,
        reason=Said("claim.100 %"),
        instead=Said("claim_instead.100 %", content="84 % wool, 16 % linen"),
        weight="refuse",
        source="16 CFR 300.17; Reg. (EU) 1007/2011 Art. 7",
    )
    assert british().tell(claim.reason) == "'100 %' is only for a single fibre"
    assert british().tell(claim.instead) == "state the whole content: 84 % wool, 16 % linen"


def test_claims_stand_in_the_order_of_the_text():
    text = "Moth-proof, organic; organic and non-toxic."
    assert [word for word, _ in noticed(text)] == [
        "Moth-proof",
        "organic",
        "organic",
        "non-toxic",
    ]
    assert [claim.start for claim in claims_in(text, RECORD)] == [0, 12, 21, 33]


@pytest.mark.parametrize(
    ("fibres", "expected"),
    [({"wool"}, []), ({"silk"}, ["refuse"]), ({"wool", "silk"}, ["refuse"]), (set(), ["question"])],
)
@pytest.mark.parametrize(
    "text", ["Pure wool.", "100% wool.", "100 per cent wool", "It is all wool"]
)
def test_single_fibre_words_need_that_single_fibre(text, fibres, expected):
    # 16 CFR 300.17; Regulation (EU) No 1007/2011 Art. 7
    assert [weight for _, weight in noticed(text, Facts(frozenset(fibres)))] == expected


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (Facts(is_virgin=True), []),
        (Facts(), ["question"]),
        (Facts(has_recycled=True), ["refuse"]),
        (Facts(has_recycled=True, is_virgin=True), ["refuse"]),
    ],
)
@pytest.mark.parametrize("text", ["Of virgin wool.", "The wool is virgin.", "Pure new wool"])
def test_virgin_is_refused_beside_recycled_fibre(text, facts, expected):
    # 16 CFR 300.20, 303.35: wholly never reclaimed
    facts = Facts(frozenset({"wool"}), "", (), facts.has_recycled, facts.is_virgin)
    assert [weight for _, weight in noticed(text, facts)] == expected


def test_fibres_that_are_there_may_be_named():
    facts = Facts(frozenset({"cashmere", "recycled wool", "silk"}), has_recycled=True)
    assert noticed("Recycled wool, pashmina and silk.", facts) == []


def test_plain_us_origin_must_be_what_was_worked_out():
    # 16 CFR 303.33: made there of imported yarn
    imported = Facts(origins=("Made in U.S.A. of imported yarn",))
    assert noticed("Made in USA", imported) == [("Made in USA", "refuse")]
    assert noticed("Made in the United States", Facts(origins=("Made in U.S.A.",))) == []


def test_organic_with_a_certificate():
    assert noticed("Organic wool.", Facts(frozenset({"wool"}), is_certified_organic=True)) == []


def test_without_known_content_the_remedy_still_reads():
    (claim,) = claims_in("Pure silk.", Facts(frozenset({"wool"})))[:1]
    assert british().tell(claim.instead) == "state the whole content: every fibre with its share"


def test_every_row_says_why_and_where_from():
    for row in rows("claims"):
        assert row["weight"] in {"refuse", "question"}, row["name"]
        assert row["sure"] in {"R", "R2", "M"}, row["name"]
        assert all(row[key] for key in ("name", "pattern", "source"))
        assert british().say(f"claim.{row['name']}"), row["name"]
        assert british().say(f"claim_instead.{row['name']}"), row["name"]


def test_every_row_is_met_by_some_sentence():
    texts = [case["text"] for case in CASES] + ["Virgin wool beside recycled wool."]
    found = {
        claim.reason
        for text in texts
        for facts in (RECORD, Facts(frozenset({"silk"})))
        for claim in claims_in(text, facts)
    }
    assert {Said(f"claim.{row['name']}") for row in rows("claims")} == found
