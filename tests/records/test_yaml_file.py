"""Bytes to placed values: what is kept as typed, where it stands, and that nothing breaks it.

The YAML library's own base loader is the outside reader for well-formed text.
"""

from __future__ import annotations

import pickle

import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st

from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.problems import Place, Problems
from provenance.records.faults import _TRADE_WORDS
from provenance.records.text import Fields, Items, Written
from provenance.records.yaml_file import read_text


def read(raw: str | bytes) -> tuple[object, list[str]]:
    problems = Problems()
    raw = raw.encode() if isinstance(raw, str) else raw
    return read_text(raw, "a.yaml", problems), [told(problem, british()) for problem in problems]


def test_text_stays_as_it_was_typed():
    value, said = read(
        "a: no\nb: 12:30\nc: 010\nd: 1_000\ne: 0x1F\nf: 2026-09-14\ng: null\nh: .5\ni: 1e3\nj: =\n"
    )
    assert value == {
        "a": "no", "b": "12:30", "c": "010", "d": "1_000", "e": "0x1F", "f": "2026-09-14",
        "g": "null", "h": ".5", "i": "1e3", "j": "=",
    }  # fmt: skip
    assert said == []


@pytest.mark.parametrize(
    "raw",
    [
        b"\xef\xbb\xbftitle: Ebb\nkind: rug\n",
        b"title: Ebb\r\nkind: rug\r\n",
        b"title: Ebb\rkind: rug\r",
        b"---\ntitle: Ebb\nkind: rug\n...\n",
        b"%YAML 1.2\n---\ntitle: Ebb\nkind: rug\n",
        b"# a note\ntitle:   Ebb   # another\n\nkind: rug",
        b"{title: Ebb, kind: rug}",
        b"? title\n: Ebb\n? kind\n: rug\n",
    ],
)
def test_one_record_in_many_files(raw):
    assert read(raw) == ({"title": "Ebb", "kind": "rug"}, [])


def test_an_empty_value_is_told_from_an_empty_text():
    value, _ = read('a:\nb: ~\nc: ""\n')
    assert [each.is_empty for each in value.values()] == [True, True, False]


def test_every_value_knows_its_place():
    value, _ = read(
        "number: 2026-014\nyarns:\n  - {use: weft, lot: rust}\nstory: |\n  Of the marsh.\n"
    )
    assert value.place == Place("a.yaml", 1, 1)
    assert value.word("number").place == Place("a.yaml", 1, 1)
    assert value["number"].place == Place("a.yaml", 1, 9)
    assert value["yarns"].place == Place("a.yaml", 3, 3)
    assert value["yarns"][0].place == Place("a.yaml", 3, 5)
    assert value["yarns"][0]["lot"].place == Place("a.yaml", 3, 22)
    assert (value["story"].place, value["story"].block) == (Place("a.yaml", 4, 8), True)


def test_a_merged_mapping_keeps_the_places_it_was_written_at():
    value, said = read("a: &usual {kind: rug, size: 1}\nb:\n  <<: *usual\n  size: 2\n")
    assert said == []
    assert value["b"] == {"kind": "rug", "size": "2"}
    assert value["b"]["kind"].place == Place("a.yaml", 1, 18)


def test_letters_beyond_the_plane_do_not_shift_places():
    _, said = read("contact: {post: 🧶🧶 1 Wren Lane, Eskrigg Dale}\n")
    assert said == [
        "a.yaml:1:33: 'Eskrigg Dale' stands here without a value\n"
        "    inside braces a comma starts the next word: put text that holds a comma in quotes"
    ]


def test_written_text_survives_a_pickle():
    text = Written("|a|", Place("a.yaml", 2, 3), quoted=True, block=True)
    again = pickle.loads(pickle.dumps(text))
    assert (again, again.place, again.quoted, again.block) == (text, text.place, True, True)


def test_every_complaint_of_the_parser_has_its_words():
    for _, what, remedy, _ in _TRADE_WORDS:
        assert british().named("line", what) != what
        assert british().named("line", remedy) != remedy


def test_a_file_of_repeated_words_stops_being_told():
    _, said = read("a: 1\n" * 30_000)
    assert said[-1] == "a.yaml:52:1: words are written twice all over\n    begin the file anew"


yaml_like = st.lists(
    st.sampled_from(
        ["a", "b", "weight", ": ", ":", "- ", "\n", "\n  ", "\n    ", " ", "{", "}", "[", "]", ", ",
         ",", "'", '"', "#", " #", "|\n", ">\n", "&x ", "*x", "<<: ", "!t ", "? ", "%", "@", "`",
         "---\n", "...\n", "\t", "\\", "12:30", "no", "3,5", "~", "é", "🧶", "\u2028", "\x00"]
    ),
    max_size=40,
).map("".join)  # fmt: skip


@given(st.one_of(yaml_like, st.text(max_size=60)))
@example('"\\ud800"')
@example("a: &b [*b]")
@example("? - a\n: b")
def test_any_text_is_read_or_told_with_a_place_inside_it(text):
    problems = Problems()
    raw = text.encode("utf-8", "surrogatepass")
    value = read_text(raw, "a.yaml", problems)
    assert value is not None or problems
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for problem in problems:
        assert british().tell(problem.what)
        assert british().tell(problem.remedy)
        assert 1 <= problem.place.line <= len(lines)
        assert 1 <= problem.place.column <= len(lines[problem.place.line - 1]) + 1


@given(st.binary(max_size=80))
def test_any_bytes_are_read_or_told(raw):
    problems = Problems()
    assert read_text(raw, "a.yaml", problems) is not None or problems


word = st.from_regex(r"[a-z]{1,6}( [a-z]{1,4})?", fullmatch=True)
records = st.recursive(
    st.one_of(word, st.text("abc é,:'\"#{}", min_size=1, max_size=8)),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(word, inner, max_size=3)),
    max_leaves=12,
)


@given(st.dictionaries(word, records, min_size=1, max_size=4), st.booleans())
def test_well_formed_text_reads_as_the_library_reads_it(record, is_flow):
    text = yaml.safe_dump(record, allow_unicode=True, default_flow_style=is_flow, width=1000)
    value, said = read(text)
    assert not [each for each in said if "remark" not in each]
    assert value == yaml.load(text, yaml.BaseLoader)
    for each in scalars(value):
        if not each.quoted:
            line = text.split("\n")[each.place.line - 1]
            assert line[each.place.column - 1 :].startswith(each)


def scalars(value: object) -> list[Written]:
    if isinstance(value, Fields):
        return [each for inner in value.values() for each in scalars(inner)]
    if isinstance(value, Items):
        return [each for inner in value for each in scalars(inner)]
    return [value] if isinstance(value, Written) else []
