"""Read a QR code back from its modules: the second pair of eyes before a paper is released.

In: rows of modules, dark is True, without the clear edge. Out: the text, or a Slip. Written from
ISO/IEC 18004 (symbol layout, masks, format information, blocks, modes) and using
nothing of the library that draws the codes. It mends nothing: every fixed pattern must be there
and every block must be whole (all Reed-Solomon syndromes nought), for a code that comes off our
own paper has no excuse. Versions 1 to 10; numbers in the tables are from memory, held against
two other programs in the tests.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise, product

from provenance.problems import Slip

Rows = Sequence[Sequence[bool]]

# Error-correction codewords a block and number of blocks, versions 1 to 10, by level.
_BLOCKS = {
    "L": ((7, 1), (10, 1), (15, 1), (20, 1), (26, 1), (18, 2), (20, 2), (24, 2), (30, 2), (18, 4)),
    "M": ((10, 1), (16, 1), (26, 1), (18, 2), (24, 2), (16, 4), (18, 4), (22, 4), (22, 5), (26, 5)),
    "Q": ((13, 1), (22, 1), (18, 2), (26, 2), (18, 4), (24, 4), (18, 6), (22, 6), (20, 8), (24, 8)),
    "H": ((17, 1), (28, 1), (22, 2), (16, 4), (22, 4), (28, 4), (26, 5), (26, 6), (24, 8), (28, 8)),
}
_LEVEL_OF = {1: "L", 0: "M", 3: "Q", 2: "H"}
_SECOND_CENTRE = {7: 22, 8: 24, 9: 26, 10: 28}
_LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
_MASKS: tuple[Callable[[int, int], int], ...] = (
    lambda row, column: (row + column) % 2,
    lambda row, column: row % 2,
    lambda row, column: column % 3,
    lambda row, column: (row + column) % 3,
    lambda row, column: (row // 2 + column // 3) % 2,
    lambda row, column: row * column % 2 + row * column % 3,
    lambda row, column: (row * column % 2 + row * column % 3) % 2,
    lambda row, column: ((row + column) % 2 + row * column % 3) % 2,
)


def read_matrix(matrix: Rows) -> str:
    """The text of a code; Slip says what about the symbol is wrong."""
    version = _version(matrix)
    _check_fixed_patterns(matrix, version)
    level, mask = _format(matrix)
    words = _codewords(matrix, version, mask)
    return _text(_whole_blocks(words, version, level), version)


def _version(matrix: Rows) -> int:
    side = len(matrix)
    version, rest = divmod(side - 17, 4)
    if rest or not 1 <= version <= 10 or any(len(row) != side for row in matrix):
        raise Slip(f"a picture of {side} modules is no code")
    return version


def _check_fixed_patterns(matrix: Rows, version: int) -> None:
    for row, column, is_dark, what in _fixed_patterns(version):
        if bool(matrix[row][column]) is not is_dark:
            raise Slip(f"the {what} of the code is broken")


@lru_cache(maxsize=10)
def _fixed_patterns(version: int) -> tuple[tuple[int, int, bool, str], ...]:
    side = 17 + 4 * version
    expected = [(side - 8, 8, True, "dark module")]
    for top, left in ((0, 0), (0, side - 7), (side - 7, 0)):
        for row, column in product(range(-1, 8), range(-1, 8)):
            is_dark = max(abs(row - 3), abs(column - 3)) not in (2, 4)
            if 0 <= top + row < side and 0 <= left + column < side:
                expected.append((top + row, left + column, is_dark, "corner"))
    for step in range(8, side - 8):
        expected.append((6, step, step % 2 == 0, "timing line"))
        expected.append((step, 6, step % 2 == 0, "timing line"))
    for middle, centre in _alignments(version):
        for row, column in product(range(-2, 3), range(-2, 3)):
            is_dark = max(abs(row), abs(column)) != 1
            expected.append((middle + row, centre + column, is_dark, "alignment mark"))
    return tuple(expected)


def _alignments(version: int) -> list[tuple[int, int]]:
    if version == 1:
        return []
    last = 4 * version + 10
    centres = [6, *([_SECOND_CENTRE[version]] if version in _SECOND_CENTRE else []), last]
    corners = {(6, 6), (6, last), (last, 6)}
    return [(row, column) for row in centres for column in centres if (row, column) not in corners]


def _format(matrix: Rows) -> tuple[str, int]:
    """Level and mask; both copies must agree and divide by the generator 10100110111."""
    side = len(matrix)
    near = [*((8, step) for step in (0, 1, 2, 3, 4, 5, 7, 8)), (7, 8)]
    near += [(step, 8) for step in (5, 4, 3, 2, 1, 0)]
    far = [(side - 1 - step, 8) for step in range(7)] + [(8, side - 8 + step) for step in range(8)]
    first, second = (_number([matrix[row][column] for row, column in at]) for at in (near, far))
    plain = first ^ 0b101010000010010
    if first != second or _remainder(plain, 0b10100110111, 15):
        raise Slip("the format of the code is broken")
    return _LEVEL_OF[plain >> 13], plain >> 10 & 0b111


def _number(bits: Sequence[bool]) -> int:
    return int("".join("1" if bit else "0" for bit in bits), 2)


def _remainder(value: int, generator: int, bits: int) -> int:
    degree = generator.bit_length() - 1
    for shift in range(bits - degree - 1, -1, -1):
        if value >> (shift + degree) & 1:
            value ^= generator << shift
    return value


def _codewords(matrix: Rows, version: int, mask: int) -> list[int]:
    reverse = _MASKS[mask]
    bits = [matrix[row][column] != (reverse(row, column) == 0) for row, column in _path(version)]
    whole = len(bits) // 8 * 8
    return [_number(bits[start : start + 8]) for start in range(0, whole, 8)]


@lru_cache(maxsize=10)
def _path(version: int) -> tuple[tuple[int, int], ...]:
    """The places of the data, two columns at a time, up and down, from the right."""
    return tuple(_walk(version))


def _walk(version: int) -> Iterator[tuple[int, int]]:
    side = 17 + 4 * version
    taken = _taken(version)
    is_upward = True
    for right in [*range(side - 1, 6, -2), 5, 3, 1]:
        for row in range(side - 1, -1, -1) if is_upward else range(side):
            for column in (right, right - 1):
                if (row, column) not in taken:
                    yield row, column
        is_upward = not is_upward


def _taken(version: int) -> set[tuple[int, int]]:
    side = 17 + 4 * version
    edges = (*range(9), *range(side - 8, side))
    corner = {(row, column) for row in edges for column in edges if row < 9 or column < 9}
    lines = {(6, step) for step in range(side)} | {(step, 6) for step in range(side)}
    marks = {
        (centre_row + row, centre_column + column)
        for centre_row, centre_column in _alignments(version)
        for row in range(-2, 3)
        for column in range(-2, 3)
    }
    versions = {(row, side - 9 - step) for row in range(6) for step in range(3)}
    if version < 7:
        return corner | lines | marks
    return corner | lines | marks | versions | {(column, row) for row, column in versions}


def _whole_blocks(words: list[int], version: int, level: str) -> list[int]:
    """The data words in reading order, once every block has proved whole."""
    correction, count = _BLOCKS[level][version - 1]
    size = len(words) // count - correction
    long_from = count - len(words) % count
    sizes = [size + (1 if block >= long_from else 0) for block in range(count)]
    blocks: list[list[int]] = [[] for _ in range(count)]
    turns = [
        block for step in range(size + 1) for block in range(count) if step < sizes[block]
    ] + list(range(count)) * correction
    for word, block in zip(words, turns, strict=True):
        blocks[block].append(word)
    if any(_syndromes(block, correction) for block in blocks):
        raise Slip("the code is damaged: a block does not add up")
    return [word for block, length in zip(blocks, sizes, strict=True) for word in block[:length]]


def _syndromes(block: list[int], correction: int) -> bool:
    """Whether any syndrome is not nought, in GF(256) over x^8 + x^4 + x^3 + x^2 + 1."""
    powers, logs = _field()
    for root in range(correction):
        value = 0
        for word in block:
            value = word ^ (powers[logs[value] + root] if value else 0)
        if value:
            return True
    return False


@lru_cache(maxsize=1)
def _field() -> tuple[list[int], dict[int, int]]:
    """Powers of two in that field, twice round, and their logarithms."""
    powers = [1]
    for _ in range(254):
        doubled = powers[-1] << 1
        powers.append(doubled ^ 0x11D if doubled > 255 else doubled)
    return powers * 2, {power: exponent for exponent, power in enumerate(powers)}


def _text(words: list[int], version: int) -> str:
    bits = "".join(f"{word:08b}" for word in words)
    at, said = 0, ""
    while len(bits) - at >= 4 and (mode := bits[at : at + 4]) != "0000":
        if mode not in _MODES:
            raise Slip(f"the code speaks a mode ({mode}) that is not used here")
        short, long, take = _MODES[mode]
        length = short if version < 10 else long
        count = int(bits[at + 4 : at + 4 + length], 2)
        piece, used = take(bits[at + 4 + length :], count)
        said, at = said + piece, at + 4 + length + used
    return said


def _numeric(bits: str, count: int) -> tuple[str, int]:
    groups = [3] * (count // 3) + ([count % 3] if count % 3 else [])
    widths = [{1: 4, 2: 7, 3: 10}[group] for group in groups]
    values = _cut(bits, widths)
    return "".join(f"{value:0{group}d}" for value, group in zip(values, groups, strict=True)), sum(
        widths
    )


def _alphanumeric(bits: str, count: int) -> tuple[str, int]:
    widths = [11] * (count // 2) + [6] * (count % 2)
    values = _cut(bits, widths)
    pairs = [_LETTERS[value // 45] + _LETTERS[value % 45] for value in values[: count // 2]]
    return "".join(pairs) + "".join(_LETTERS[value] for value in values[count // 2 :]), sum(widths)


def _bytes(bits: str, count: int) -> tuple[str, int]:
    return bytes(_cut(bits, [8] * count)).decode("utf-8", "replace"), 8 * count


def _cut(bits: str, widths: list[int]) -> list[int]:
    ends = [0]
    for width in widths:
        ends.append(ends[-1] + width)
    if ends[-1] > len(bits):
        raise Slip("the code ends too early")
    return [int(bits[start:end], 2) for start, end in pairwise(ends)]


# Mode: bits of the count up to version 9, from version 10, and how to read it.
_MODES = {"0001": (10, 12, _numeric), "0010": (9, 11, _alphanumeric), "0100": (8, 16, _bytes)}
