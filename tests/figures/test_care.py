"""Care words: which sentences apply to which piece, and the length of the tag's line.

That acids, alkalis and light shift plant colours and that neutral soap and shade are advised is
read on makers' care pages (modh.ie, beagleandbasset.com); moth life at the University of
Wisconsin; climate at conservation-wiki.com. Which sentence goes with which kind is our choice.
"""

import itertools
import re

import pytest

from provenance.figures import care
from provenance.figures.care import STRUCTURES, Cloth, tag_sentences
from provenance.language.phrases import british
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
        "Vinegar, lemon, washing soda or a strong soap can shift weld and madder; wipe splashes"
        " off at once with clear water.",
        "Iron was used to darken it, which hardens the fibre and ages it sooner: keep it dry and"
        " out of strong light.",
        "Store it clean, as moths like soiled wool, folds and dark edges; shake it out and look it"
        " over every season. No mothballs, no pennyroyal oil.",
        "Store it rolled, right side out, in the direction of the warp, in clean cotton; do not"
        " fold it.",
        "Keep it out of direct sun, which fades every plant and insect colour.",
    )


def test_a_rug_with_a_pile_is_vacuumed_and_turned():
    words = care_words(["wool"], "knotted pile", "rug", ["madder"], ["alum"])
    assert _starts(words)[:3] == ["Vacuum with plain", "Turn it end", "A tuft that"]
    assert not any("Wash" in sentence for sentence in words)


def test_silk_says_that_it_is_weak_when_wet():
    words = care_words(["wool", "silk"], "open lace weave", "scarf", [], [])
    assert words[0].startswith("Silk is weak when wet")
    assert any(sentence.startswith("The weave is open") for sentence in words)


def test_undyed_cloth_says_so_by_fibre():
    assert care_words(["cotton"], "plain weave", "cloth", [], []) == (
        "Wash warm at first, then as you like; expect some shrinking, and press damp.",
        "The yarns are undyed: there is no dye to fade.",
    )
    assert care_words(["wool"], "twill", "throw", [], [])[-1] == (
        "The yarns are undyed; in years of strong light wool and silk grow yellow and brittle."
    )


def test_linen_dyed_is_washed_cool_and_has_no_moth():
    words = care_words(["linen"], "plain weave", "runner", ["weld"], ["alum"])
    assert words[0] == (
        "Wash by hand in cool water with a neutral soap; the cloth would stand more, the plant"
        " colours would not."
    )
    assert not any("moth" in sentence for sentence in words)


def test_fugitive_dyes_and_tannins_are_named():
    words = care_words(["wool"], "twill", "shawl", ["turmeric", "cutch"], ["tin"])
    assert (
        "Turmeric: these colours fade soonest; show the piece for part of the year and rest it in"
        " the dark." in words
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
        "Hand wash cool, neutral soap. May rub off on pale cloth. Dry flat in shade. Keep from sun."
        " No vinegar, no soda."
    )
    assert short_care(["wool"], "knotted pile", "rug", ["madder"], ["alum"]) == (
        "Vacuum gently; blot spills cold. May rub off on pale cloth. Keep from sun."
        " No vinegar, no soda. Never pull a tuft."
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
    bands = notes("conservation", table("care")["band"])
    told = {british().tell(note.words).split(":")[0]: note for note in bands}
    said = {about: british().tell(note.words) for about, note in told.items()}
    assert said["climate"] == (
        "climate: 15 to 20 °C and 40 to 60 % relative humidity, changing slowly with the season"
    )
    assert told["climate"].source == "conservation-wiki.com, Textile Specialty Group III-A"
    assert "-20 to -25 °C" in said["moth, freezing"]
    assert "3.75 milliwatts" in said["ultraviolet"]
    assert len(told) == 6
