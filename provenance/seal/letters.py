"""Bytes in letters that a hand can copy: twenty-six letters and digits without I, L, O, U.

In: bytes, or what a person typed. Out: the other. The letters are those of Crockford's base 32
(0-9 and A-Z without I, L, O, U; 5 bits each, from memory); O is read as 0, I and L as 1. A secret
key is fourteen groups of five: four letters of the key and one that checks them and their place;
the last group checks the whole. So a slip of the pen is found, and in which group.
"""

import hashlib

_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
_READ_AS = str.maketrans("OIL", "011")
_SEED, _GROUP = 32, 4
_GROUPS = 13  # of the key: 260 bits, the last four of them empty


class SlipOfThePen(ValueError):
    """Letters that can't be a key; `group` counts from 1, 0 where the number of groups is wrong."""

    def __init__(self, group: int) -> None:
        super().__init__(group)
        self.group = group


def in_letters(content: bytes) -> str:
    """Bytes in letters, the last filled up with empty bits."""
    bits = "".join(f"{byte:08b}" for byte in content)
    bits += "0" * (-len(bits) % 5)
    return "".join(_LETTERS[int(bits[at : at + 5], 2)] for at in range(0, len(bits), 5))


def as_typed(text: str) -> str:
    """What a hand typed, in the letters that it meant."""
    return text.upper().translate(_READ_AS)


def groups_of(seed: bytes) -> tuple[str, ...]:
    """A secret key as fourteen groups of five letters."""
    letters = in_letters(seed) + _whole(seed)
    fours = [letters[at : at + _GROUP] for at in range(0, len(letters), _GROUP)]
    return tuple(four + _check(place, four) for place, four in enumerate(fours, 1))


def from_groups(typed: str) -> bytes:
    """The secret key again, from what was typed; SlipOfThePen says in which group it is wrong."""
    letters = as_typed("".join(sign for sign in typed if sign.isalnum()))
    groups = [letters[at : at + _GROUP + 1] for at in range(0, len(letters), _GROUP + 1)]
    if len(letters) != (_GROUPS + 1) * (_GROUP + 1):
        raise SlipOfThePen(0)
    for place, group in enumerate(groups, 1):
        if not set(group) <= {*_LETTERS} or group[_GROUP] != _check(place, group[:_GROUP]):
            raise SlipOfThePen(place)
    fours = "".join(group[:_GROUP] for group in groups[:_GROUPS])
    number = int("".join(f"{_LETTERS.index(letter):05b}" for letter in fours), 2)
    seed = (number >> 4).to_bytes(_SEED)
    if number & 15 or _whole(seed) != groups[_GROUPS][:_GROUP]:
        raise SlipOfThePen(_GROUPS + 1)
    return seed


def _whole(seed: bytes) -> str:
    return in_letters(hashlib.sha256(seed).digest())[:_GROUP]


def _check(place: int, four: str) -> str:
    """A prime above 32 and weights that differ: one wrong letter, or two changed about, shows."""
    weighed = sum(turn * _LETTERS.index(letter) for turn, letter in enumerate(four, 2))
    return _LETTERS[(place * 7 + weighed * 11 + sum(map(_LETTERS.index, four))) % 31]
