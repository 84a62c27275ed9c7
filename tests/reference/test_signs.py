"""Signs that nobody sees are shown; those that a script or an emoji needs are let by."""

from __future__ import annotations

import pytest

from provenance.reference.signs import first_unseen, visible

BAD = (
    "\x00\x07\x08\x0b\x0c\r\x1b\x7f\x80\x85\x9b\x9f\u061c\u180e\u200b\u200c\u200d\u200e\u200f\u2028"
    "\u2029\u202a\u202b\u202c\u202d\u202e\u2060\u2061\u2066\u2067\u2068\u2069\u206f\ufeff\ufff9"
    "\ufffe\ud800\udcff\U000e0001\U000e0041"
)


@pytest.mark.parametrize("sign", BAD, ids=lambda sign: f"{ord(sign):04X}")
def test_a_sign_that_nobody_sees_is_shown_as_its_code(sign):
    assert first_unseen(f"Salt{sign}marsh") == 4
    shown = f"Salt‹U+{ord(sign):04X}›marsh"
    assert visible(f"Salt{sign}marsh") == shown
    assert visible(shown) == shown


@pytest.mark.parametrize(
    "text",
    [
        "Saltmarsh, 124 × 86 cm\n\tand a tab; Größe, œuvre, Łódź, ‹so›",
        "by a family of weavers 👩‍👩‍👧‍👦 and 🏳️‍🌈 and 👩🏽‍🌾",
        "\U0001f3f4\U000e0067\U000e0062\U000e0065\U000e006e\U000e0067\U000e007f",  # England
        "می‌خواهم",  # Persian: a joiner that keeps letters apart
        "क्‍ष and ക്‌",  # Devanagari, Malayalam
        "ไหม\u200bไทย",  # Thai: where a line may break
        "\u200fשלום\u200e",
        "مرحبا\u061c",
    ],
)  # fmt: skip
def test_what_a_script_or_an_emoji_needs_is_let_by(text):
    assert first_unseen(text) is None
    assert visible(text) == text


@pytest.mark.parametrize("text", ["שלום\u202e", "م\u2067", "a🧶\u200d", "\u200d🧶", "ab\u200ec"])
def test_a_reason_is_needed_for_each(text):
    assert first_unseen(text) is not None


def test_of_a_file_name_breaks_are_shown_too():
    assert visible("a\nb\tc", every=True) == "a‹U+000A›b‹U+0009›c"
