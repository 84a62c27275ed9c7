"""Letters of the site, cut once and kept."""

from __future__ import annotations

import hashlib

from provenance.build.letters import _whole


def test_letters_in_the_cache_of_which_a_bit_has_changed_are_as_good_as_none() -> None:
    """A font with a changed byte was published: no browser could read it."""
    letters = b"wOF2" + bytes(range(200))
    kept = hashlib.sha256(letters).digest() + letters
    assert _whole(kept) == letters
    for at in range(0, len(kept), 3):
        assert _whole(kept[:at] + bytes([kept[at] ^ 1]) + kept[at + 1 :]) == b""
    assert [_whole(kept[:length]) for length in (0, 10, 32, 100)] == [b""] * 4
