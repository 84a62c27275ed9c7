"""What the tables say has words: every row that names words finds them, and none lies unused."""

import re
from itertools import chain

import pytest

from provenance.language.phrases import british
from provenance.reference.loader import rows, table

TOLD = (
    "share", "share_extract", "usual", "usual_silk", "usual_cellulose", "after_tannin", "unfit",
    "heat", "hazard", "protected",
)  # fmt: skip


def _words(group):
    return {name.partition(".")[2] for name in british().words if name.startswith(f"{group}.")}


def _with(table_name, key):
    return {row["name"] for row in rows(table_name) if row.get(key)}


def _on_lists():
    """EU and UK names, and virgin wool (Reg. (EU) 1007/2011 Art. 8), beside our own plain names."""
    names = {row[key] for row in rows("fibres") for key in ("name", "eu", "uk")}
    return names - {""} | {"virgin wool"}


def _sources():
    """The sources that are told: with what a bath, a hazard, a fastness, a claim rests on."""
    cautions = table("mordants")["general"]
    for row in [*chain(*map(rows, ("dyes", "mordants", "claims", "poisons"))), *cautions]:
        told = (row.get(key) for key in TOLD)
        for each in filter(None, [*told, *row.get("light", {}).values(), row]):
            yield each.get("source", row["source"])


def _of_protected_fibres():
    """Every part of their sources is told, whatever it begins with."""
    guarded = (row["protected"] for row in rows("fibres") if row.get("protected"))
    return {part for each in guarded for part in each["source"].split("; ")}


def _is_ours(part):
    """A part of a source that begins with no name, title, number or address is a word of ours;
    what stands in brackets says where in the source it was read."""
    first = part.split()[0]
    return first.islower() and "." not in first and part.count("(") == part.count(")")


NAMED = {
    "dye": {row["name"] for row in rows("dyes")} | {"mill-dye"},  # dyed before it came
    "mordant": {row["name"] for row in rows("mordants")},
    "fibre": _on_lists(),
    "light_note": _with("dyes", "light_note"),
    "heat": _with("dyes", "heat"),
    "protected": _with("dyes", "protected")
    | _with("mordants", "protected")
    | _with("fibres", "protected"),
    "poison": {row["name"] for row in rows("poisons")},
    "unfit": _with("mordants", "unfit"),
    "pot": {"wool", "silk", "cellulose"},
    "books": {row["about"] for row in rows("books")},
    "hazard": _with("dyes", "hazard") | _with("mordants", "hazard"),
    "disposal": _with("mordants", "disposal"),
    "beyond": _with("mordants", "beyond"),
    "claim": {row["name"] for row in rows("claims")},
    "claim_instead": {row["name"] for row in rows("claims")},
    "caution": {row["about"] for row in table("mordants")["general"]},
    "conservation": {row["about"] for row in table("care")["band"]},
    "yields": {row["class"] for row in rows("yields")}
    | {row["fibres"][0] for row in table("yields")["fibre"]}
    | {"assumed", "middle", "no_breed", "no_row", "of_breed", "published"},
    "source": {part for source in _sources() for part in source.split("; ") if _is_ours(part)}
    | _of_protected_fibres(),
    "extra": set(re.findall(r"([a-z][a-z ]*): ", british().words["in_commission.extras"])),
    "mordant_family": {family for row in rows("dyes") for family in row.get("light", {})}
    | {"alum", "tin", "copper"},
}


@pytest.mark.parametrize("group", NAMED)
def test_rows_and_words_are_the_same(group):
    assert _words(group) == NAMED[group]


def test_no_dye_and_no_bath_help_share_a_name():
    assert not NAMED["dye"] & NAMED["mordant"]
