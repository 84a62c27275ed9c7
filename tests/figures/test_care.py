"""Care words: which sentences apply to which piece, and the length of the tag's line.

What conservators and makers advise is in `tests/truth/care.toml`, each with its source. Which
sentence goes with which kind is our choice.
"""

import itertools
import re
import tomllib
from pathlib import Path

import pytest

from provenance.figures import care
from provenance.figures.care import STRUCTURES, Cloth, tag_sentences
from provenance.language.phrases import british, phrases_for
from provenance.reference.dyes import dyes
from provenance.reference.loader import rows, table
from provenance.reference.sourced import notes

KINDS = ("hanging", "rug", "blanket", "throw", "shawl", "scarf", "runner", "cushion")
KINDS += ("cloth", "garment", "bag", "other")


SENTENCES = {row["key"]: british().say(f"care.{row['key']}") for row in rows("care")}


def care_words(*about):
    return tuple(map(british().tell, care.care_words(Cloth(*about))))


def short_care(*about):
    return british().tell(care.short_care(Cloth(*about)))


def _starts(words):
    return [" ".join(sentence.split()[:3]) for sentence in words]


def test_a_dyed_wool_hanging_on_linen():
    words = care_words(
        ["wool", "linen"],
        "weft-faced plain weave",
        "hanging",
        ["weld", "indigo", "Rubia tinctorum"],
        ["alum", "cream of tartar", "iron"],
    )
    assert words == (
        "Do not wash: twice a year vacuum lightly through a screen, front and back; ask a textile"
        " conservator about stains.",
        "Hang it level from its whole upper edge, by a bar or a hook-and-loop tape, away from sun,"
        " heat and damp walls.",
        "Indigo and madder may rub off a little: do not rub the piece, and keep pale cloth from"
        " lying against it.",
        "Vinegar, lemon, washing soda or soap can shift weld and madder; wipe splashes off at once"
        " with clear water.",
        "Iron was used to darken it, which hardens the fibre and ages it sooner: keep it out of"
        " strong light and store it dry.",
        "Store it clean, as moths like soiled wool, folds and dark edges; look it over, back and"
        " folds too, every season. No mothballs.",
        "Store it rolled, right side out, in the direction of the warp, in clean cotton; do not"
        " fold it.",
        "Keep it out of direct sun, which fades every plant and insect colour.",
    )


def test_a_rug_with_a_pile_is_vacuumed_and_turned():
    words = care_words(["wool"], "knotted pile", "rug", ["madder"], ["alum"])
    assert _starts(words)[:3] == ["Vacuum gently along", "Turn it end", "A tuft that"]
    assert not any("Wash" in sentence for sentence in words)


def test_silk_says_that_it_is_weak_when_wet():
    words = care_words(["wool", "silk"], "open lace weave", "scarf", [], [])
    assert words[0].startswith("Silk is weak when wet")
    assert any(sentence.startswith("The weave is open") for sentence in words)


def test_undyed_cloth_says_so_by_fibre():
    assert care_words(["cotton"], "plain weave", "cloth", [], []) == (
        "Wash warm at first, then as you like; expect some shrinking, and press damp.",
        "The yarns are undyed: there is no dye to fade, but strong light yellows and weakens the"
        " fibre.",
    )
    assert care_words(["wool"], "twill", "throw", [], [])[-1] == (
        "The yarns are undyed; years of strong light turn them yellow and weak."
    )


def test_linen_dyed_is_washed_cool_and_has_no_moth():
    words = care_words(["linen"], "plain weave", "runner", ["weld"], ["alum"])
    assert words[0] == (
        "Wash by hand in cool water with a pH-neutral detergent; the cloth would stand more, the"
        " plant colours would not."
    )
    assert not any("moth" in sentence for sentence in words)


def test_fugitive_dyes_and_tannins_are_named():
    words = care_words(["wool"], "twill", "shawl", ["turmeric", "cutch"], ["tin"])
    assert (
        "Turmeric: light softens these colours first; choose a place without sun, and let the piece"
        " rest in the dark for part of the year." in words
    )
    assert "Cutch: tannin browns grow darker in light; an even place keeps them even." in words
    assert (
        "Tin was used to brighten it, which makes wool brittle: do not fold it sharply or pull at"
        " it." in words
    )


def test_a_cushion_is_taken_off_its_pad():
    words = care_words(["wool"], "twill", "cushion", ["weld"], ["alum"])
    assert words[0] == "Take the cover off its pad before it is washed."


def test_the_tag_says_the_most_urgent_first():
    assert short_care(["wool"], "2/2 twill", "shawl", ["indigo", "weld"], ["alum"]) == (
        "Hand wash cool, pH-neutral. Keep from sun. May rub off on pale cloth."
    )
    assert short_care(["wool"], "knotted pile", "rug", ["madder"], ["alum"]) == (
        "Vacuum gently; blot spills cold. Keep from sun. May rub off on pale cloth."
    )
    assert short_care(["cotton"], "plain weave", "cloth", [], []) == "Wash warm. Press damp."


EVERY_DYE = [dye.name for dye in dyes()]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("fibre", ["wool", "silk", "linen", "cotton", "alpaca"])
def test_every_piece_has_care_and_a_tag_line_that_fits(kind, fibre):
    structures = ("plain weave", "knotted pile", "looped", "lace", "felted")
    baths = ([], ["indigo"], EVERY_DYE)
    for structure, names in itertools.product(structures, baths):
        words = care_words([fibre], structure, kind, names, ["alum", "iron", "tin"])
        assert words and all(sentence.endswith(".") for sentence in words)
        assert not any("{" in sentence for sentence in words)
        line = short_care([fibre], structure, kind, names, ["alum", "iron", "tin"])
        assert 0 < len(line) <= 120


def test_every_sentence_is_used_by_some_piece():
    structures = ["plain weave", "knotted pile", "loop", "lace", "felted"]
    said = set()
    for kind, fibre, structure in itertools.product(KINDS, ["wool", "silk", "linen"], structures):
        for names in ([], EVERY_DYE):
            said |= set(_starts(care_words([fibre], structure, kind, names, ["iron", "tin"])))
    for key, words in SENTENCES.items():
        if words.startswith("{dyes}"):
            continue  # begins with the names of the dyes
        assert " ".join(words.split()[:3]) in said, key


def test_interlaced_is_not_lace():
    words = care_words(["wool"], "interlaced twill", "shawl", [], [])
    assert not any(sentence.startswith("The weave is open") for sentence in words)


def test_structures_name_known_sentences():
    assert {key for _, key in STRUCTURES} <= set(SENTENCES)


def test_every_sentence_has_a_row_and_the_other_way_round():
    said = {name.partition(".")[2] for name in british().words if name.startswith("care.")}
    short = {name.partition(".")[2] for name in british().words if name.startswith("care_short.")}
    assert (said, short) == (set(SENTENCES), set(tag_sentences()))


def test_no_claims_and_no_symbols_in_care_words():
    """16 CFR 260 and 423: no unproved claims; ISO 3758 symbols are licensed trademarks."""
    claims = (
        r"non-toxic|eco|green|sustainable|hypoallergenic|moth-?proof|colou?r-?fast|machine|safe"
    )
    for key, words in SENTENCES.items():
        said = words + british().words.get(f"care_short.{key}", "")
        assert not re.search(claims, said, re.IGNORECASE), key
        assert said.isascii(), key


def test_conservation_bands_carry_their_sources():
    bands = {row["about"]: row for row in table("care")["band"]}
    told = notes("conservation", table("care")["band"])
    said = {note.words.key.partition(".")[2]: british().tell(note.words) for note in told}
    assert "15 to 20 °C and 40 to 60 % relative humidity, changing slowly" in said["climate"]
    assert bands["climate"]["source"] == "conservation-wiki.com, Textile Specialty Group III-A"
    assert "-20 to -25 °C" in said["moth_freezing"]
    assert "3.75 milliwatts" in said["ultraviolet"]
    wool = care.keeping_words(Cloth(["wool"], "", "hanging", [], []))
    assert [note.words for note in told] == list(wool)  # each of them reaches a paper


TRUTH = tomllib.loads((Path(__file__).parents[1] / "truth" / "care.toml").read_text("utf-8"))
TOLD_OF = {
    "care": care.care_words,
    "tag": lambda cloth: (care.short_care(cloth),),
    "keeping": care.keeping_words,
}


@pytest.mark.parametrize("check", TRUTH["check"], ids=lambda check: check["source"][:50])
def test_what_others_say(check):
    cloth = Cloth(
        check["fibres"], check.get("structure", "twill"), check["kind"], check.get("dyes", []),
        check.get("mordants", []),
    )  # fmt: skip
    phrases = phrases_for(check.get("language", "en-GB"), "GBP", {}, None)
    told = " ".join(map(phrases.tell, TOLD_OF[check["of"]](cloth)))
    assert re.search(check.get("says", "."), told), told
    assert "never" not in check or not re.search(check["never"], told), told


def test_few_sentences_are_from_memory():
    """Twelve of 26 were; what was found nowhere is still marked so."""
    assert [row["key"] for row in rows("care") if row["sure"] == "memory"] == ["cushion"]


@pytest.mark.parametrize("language", ["en-GB", "de"])
def test_no_neutral_soap_and_no_oil_in_any_public_word(language):
    phrases = phrases_for(language, "GBP", {}, None)
    for name, words in phrases.words.items():
        if name.startswith(("care.", "care_short.", "conservation.")):
            assert not re.search(r"(?i)neutral\w* (soap|seife)|\boil|öl\b|pennyroyal", words), name


def test_nothing_is_washed_and_kept_dry():
    """One telling: a piece that is washed is stored dry, and not kept dry."""
    line = short_care(["wool"], "twill", "scarf", ["walnut"], ["iron"])
    assert line.startswith("Hand wash") and "Keep dry" not in line and "Store dry." in line
