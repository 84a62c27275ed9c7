"""printed.yaml: what is written reads back, whatever a title holds; what is wrong is told."""

import hashlib
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.problems import Problems
from provenance.records import printed
from provenance.records.book import read_book
from provenance.records.printed import Chain, Printed, chained, printed_line, read_printed

LINE = {
    "on": date(2026, 10, 1),
    "paper": "tag",
    "number": "2026-001",
    "title": "Ebb",
    "address": "HTTPS://BRACKENFOLD.EXAMPLE/2026-001/",
    "price": "£1,450",
    "digest": "0123456789abcdef",
}
PIECE = "number: 2026-001\ntitle: Ebb\n"


@pytest.fixture(scope="module")
def read(tmp_path_factory):
    """Reads a printed.yaml of that text; gives its lines and what was told."""
    folder = tmp_path_factory.mktemp("studio") / "pieces"
    (folder / "studio").mkdir(parents=True)
    (folder / "studio" / "studio.yaml").write_text("studio: Test\nmaker: Ann Tester\n")
    (folder / "2026-001.yaml").write_text(PIECE)

    def reading(text):
        (folder / "studio" / "printed.yaml").write_bytes(text.encode("utf-8"))
        book, problems = read_book(folder)
        return book.printed, [told(each, british()) for each in problems]

    return reading


def values(line):
    return {
        "on": line.on, "paper": line.paper, "number": line.number, "title": line.title,
        "address": line.address, "price": line.price, "digest": line.digest,
    }  # fmt: skip


def test_a_line_is_one_line_of_quoted_words():
    assert printed_line(LINE) == (
        '- {on: 2026-10-01, paper: "tag", number: "2026-001", title: "Ebb", '
        'address: "HTTPS://BRACKENFOLD.EXAMPLE/2026-001/", price: "£1,450", '
        'digest: "0123456789abcdef"}\n'
    )


def test_what_is_not_there_is_left_out():
    bare = {**LINE, "address": None, "price": None}
    assert printed_line(bare) == (
        '- {on: 2026-10-01, paper: "tag", number: "2026-001", title: "Ebb", '
        'digest: "0123456789abcdef"}\n'
    )
    assert printed_line({**LINE, "price": ""}).count('price: ""') == 1


def test_a_line_that_was_read_is_written_as_it_was(read):
    (line,), said = read(printed_line(LINE))
    assert said == [] and isinstance(line, Printed)
    assert printed_line(line) == printed_line(LINE)


@pytest.mark.parametrize(
    ("title", "back"),
    [
        ('The "Long" Evening', None),
        ("Back\\slash \\n", None),
        ("no", None),
        ("2026", None),
        ("a: {b} # c, - d", None),
        ("Zwölf, Łódź 🧶", None),
        ("two\nlines", "two lines"),
    ],
)
def test_a_title_reads_back_as_it_was(read, title, back):
    (line,), said = read(printed_line({**LINE, "title": title}))
    assert (said, line.title) == ([], back or title)
    assert {**values(line), "title": "Ebb"} == LINE


@given(st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1))
def test_any_title_reads_back_as_it_was(read, title):
    (line,), said = read(printed_line({**LINE, "title": title}))
    assert (said, values(line)) == ([], {**LINE, "title": title})


def test_lines_keep_the_order_in_which_they_were_printed(read):
    texts = [printed_line({**LINE, "price": f"£{n}"}) for n in (3, 1, 2)]
    lines, _ = read("".join(texts))
    assert [line.price for line in lines] == ["£3", "£1", "£2"]


def test_what_may_be_silent_is_silent(read):
    (line,), said = read('- {on: 2026-10-01, paper: tag, number: "2026-001", title: Ebb}\n')
    assert (said, line.address, line.price, line.digest) == ([], None, None, "")


@pytest.mark.parametrize("text", ["", "# nothing printed yet\n", "[]\n"])
def test_nothing_printed_yet(read, text):
    assert read(text) == ((), [])


def test_no_file_is_never_opened(tmp_path):
    def opened(*_):
        raise AssertionError

    found = Problems()
    assert read_printed(opened, tmp_path / "printed.yaml", found) == ()
    assert list(found) == []


@pytest.mark.parametrize(("text", "place"), [("a: b\n", "1:1"), ("\n\nword\n", "3:1")])
def test_a_file_that_is_no_list(read, text, place):
    lines, said = read(text)
    assert lines == ()
    assert said == [
        f"pieces/studio/printed.yaml:{place}: printed.yaml wants a list\n"
        "    this file is kept by the program"
    ]


def test_a_value_that_knows_no_place_lies_at_the_beginning(tmp_path):
    path, found = tmp_path / "printed.yaml", Problems()
    path.touch()
    assert read_printed(lambda *_: 7, path, found) == ()
    assert [str(each.place) for each in found] == ["printed.yaml:1:1"]


def test_a_line_that_cannot_be_read_is_told_and_the_others_stay(read):
    lines, said = read(printed_line(LINE) + "- {on: 2026-10-01, paper: tag}\n" + printed_line(LINE))
    assert [line.number for line in lines] == ["2026-001", "2026-001"]
    assert said == [
        "pieces/studio/printed.yaml:2:3: no 'number' is given\n    add a line 'number: ...'"
    ]


def test_a_file_of_forty_years_is_read(read):
    """A hundred papers a week for forty years is some 200,000 lines of 90 bytes."""
    assert printed.MOST_BYTES == 20_000_000
    lines, said = read(printed_line(LINE) * 300)
    assert (len(lines), said) == (300, [])


@pytest.mark.parametrize("word", ["paper", "number"])
def test_a_line_that_lacks_a_word_is_told(read, word):
    short = {name: value for name, value in LINE.items() if name != word}
    lines, said = read(printed_line(short))
    assert lines == ()
    assert len(said) == 1 and f"'{word}'" in said[0]


# The chain


def tied(*prices):
    """Lines as they are written one after another."""
    raw = b""
    for price in prices:
        raw += chained(raw, printed_line({**LINE, "price": price})).encode()
    return raw


def test_a_line_is_tied_to_all_before_it_and_to_itself():
    """SHA-256 of the lines before, each with its end, and of the line alone: 32 digits of it."""
    first, second = tied("£1", "£2").splitlines()
    alone = printed_line({**LINE, "price": "£2"}).encode().rstrip()
    digest = hashlib.sha256(first + b"\n" + alone).hexdigest()[:32]
    assert second == alone[:-1] + f', chain: "{digest}"}}'.encode()
    assert chained(b"", printed_line(LINE) * 2).encode() == tied("£1,450", "£1,450")


def test_what_ties_a_line_is_read_and_not_told(read):
    (line,), said = read(tied("£1").decode())
    assert said == [] and printed_line(line) == printed_line({**LINE, "price": "£1"})


def test_every_byte_of_every_line_is_held():
    """Whatever single byte changes, the line or a later one is broken, or is no longer whole."""
    raw = tied("£1", "£2")
    assert Chain(raw).broken is None and Chain(raw).sound.raw == raw
    for place in range(len(raw)):
        if raw[place : place + 1] != b"\n":
            other = b"x" if raw[place : place + 1] != b"x" else b"y"
            spoilt = Chain(raw[:place] + other + raw[place + 1 :])
            assert spoilt.broken or len(spoilt.sound.texts) < 2, raw[place:]


def test_what_is_sound_ends_before_what_is_broken():
    raw = tied("£1", "£2", "£3")
    lines = raw.splitlines(keepends=True)
    assert Chain(raw.replace("£2".encode(), "£7".encode())).broken == 2
    assert Chain(raw.replace("£2".encode(), "£7".encode())).sound.raw == lines[0]
    assert Chain(raw[:-9]).sound.raw == lines[0] + lines[1]
    assert Chain(raw[:40]).sound.raw == b""


def test_notes_and_blank_lines_may_stand_between():
    raw = b"# a note\n\n"
    raw += chained(raw, printed_line(LINE)).encode() + b"# another\n"
    raw += chained(raw, printed_line(LINE)).encode()
    chain = Chain(raw)
    assert (chain.broken, chain.count, chain.notes) == (None, 2, ("# a note", "# another"))
    assert Chain(raw.replace(b"another", b"a third")).broken == 5


def test_where_two_lists_part():
    one, other = Chain(tied("£1", "£2")), Chain(tied("£1", "£3", "£4"))
    column = printed_line(LINE).index("£") + 2
    assert one.parts_from(other) == (2, column)
    assert Chain(tied("£1")).parts_from(one) == (2, 1)
    assert Chain(tied("£1")).begins(one) and not one.begins(other)
