"""A patch changes one value in a text: where it goes, what is refused."""

from __future__ import annotations

import pytest
import yaml

from provenance.language.phrases import british
from provenance.language.telling import told_slip
from provenance.problems import Slip
from provenance.records import spans, yaml_file
from provenance.records.patch import Add, Drop, Put, patched

ORDER = ("a", "b", "c", "d", "e")


@pytest.fixture(params=["libyaml", "python"], autouse=True)
def loader(request, monkeypatch):
    """Both of PyYAML's scanners say where things stand; a machine may lack the quick one."""
    if request.param == "libyaml" and not yaml.__with_libyaml__:
        pytest.skip("PyYAML without libyaml")
    kind = yaml.CBaseLoader if request.param == "libyaml" else yaml.BaseLoader
    monkeypatch.setattr(spans, "_Loader", kind)
    monkeypatch.setattr(yaml_file, "_Loader", kind)


def done(text, *wishes):
    return patched(text.encode(), "f.yaml", wishes).decode()


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("b: 1\n", "b: 7\n"),
        ("b: 1", "b: 7"),
        ("b:   '1'  # one\r\n", "b:   '7'  # one\r\n"),
        ('\ufeffa: x\nb: "1"\n', '\ufeffa: x\nb: "7"\n'),
        ("b:\n", "b: 7\n"),
        ("b:   # open\nc: x\n", "b: 7   # open\nc: x\n"),
        ("b: ~\n", "b: 7\n"),
        ("b:\n  1\n", "b:\n  7\n"),
        ("{a: 1,00, b: 2,50, c: x}", "{a: 1,00, b: 7, c: x}"),
        ("{a: é, b: , c: x}", "{a: é, b: 7 , c: x}"),
        ("---\nb: 1\n", "---\nb: 7\n"),
        ("a: |\n  b: 1\nb: 1\n", "a: |\n  b: 1\nb: 7\n"),
        ("a: &x 5\nb: 1\nc: *x\n", "a: &x 5\nb: 7\nc: *x\n"),
        ("a: 1\r\rb: 1\r", "a: 1\r\rb: 7\r"),
    ],
)  # fmt: skip
def test_a_value_takes_the_place_of_another(before, after):
    assert done(before, Put(("b",), "7")) == after


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("a: 1\nd: 4\n", "a: 1\nc: 7\nd: 4\n"),
        ("d: 4\na: 1\n", "d: 4\na: 1\nc: 7\n"),
        ("a: 1\nb: 2   # two\n\nd: 4\n", "a: 1\nb: 2   # two\nc: 7\n\nd: 4\n"),
        ("b:\n- x\n- y\n  # of y\n# of d\nd: 4\n", "b:\n- x\n- y\n  # of y\nc: 7\n# of d\nd: 4\n"),
        ("# of d\nd: 4\n", "# of d\nd: 4\nc: 7\n"),
        ("z: 1", "z: 1\nc: 7"),
        ("b: |\n  text\n\n\nd: 4\n", "b: |\n  text\nc: 7\n\n\nd: 4\n"),
        ("b: |+\n  text\n\n\nd: 4\n", "b: |+\n  text\n\n\nd: 4\nc: 7\n"),
        ("b: |\n  text", "c: 7\nb: |\n  text"),
        ("# of b\nb: |\n  text", "c: 7\n# of b\nb: |\n  text"),
        ("# yaml-language-server: x\nb: |\n  x", "# yaml-language-server: x\nc: 7\nb: |\n  x"),
        ("a: 1\r\nd: 4", "a: 1\r\nc: 7\r\nd: 4"),
        ("b: {x: 1,\n  y: 2}\nd: 4\n", "b: {x: 1,\n  y: 2}\nc: 7\nd: 4\n"),
        ("{a: 1, d: 4}", "{a: 1, c: 7, d: 4}"),
        ("{d: 4}\n", "{d: 4, c: 7}\n"),
        ("{}\n", "{c: 7}\n"),
        ("{a: 1, d: 4,}\n", "{a: 1, c: 7, d: 4,}\n"),
        ("{\n  a: 1,  # one\n  d: 4\n}\n", "{\n  a: 1,  # one\n  c: 7,\n  d: 4\n}\n"),
        ("{\n  b: 1  # one\n}\n", "{\n  b: 1,  # one\n  c: 7\n}\n"),
    ],
)
def test_a_new_word_goes_where_its_order_has_it(before, after):
    assert done(before, Put(("c",), "7", ORDER)) == after


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("l:\n  - {a: 1}\n  - {a: 2}\n", "l:\n  - {a: 1}\n  - {a: 2, c: 7}\n"),
        ("l:\n- a: 1\n- a: 2\n  d: 4\n", "l:\n- a: 1\n- a: 2\n  c: 7\n  d: 4\n"),
        ("l: [{a: 1}, {a: 2}]\n", "l: [{a: 1}, {a: 2, c: 7}]\n"),
        ("l:\n    -   a: 1\n    -   a: 2", "l:\n    -   a: 1\n    -   a: 2\n        c: 7"),
    ],
)
def test_inside_a_list(before, after):
    assert done(before, Put(("l", 1, "c"), "7", ORDER)) == after


@pytest.mark.parametrize(
    ("value", "block", "braces"),
    [
        ("dale-fair", "dale-fair", "dale-fair"),
        ("Leeds, Ann", "Leeds, Ann", '"Leeds, Ann"'),
        ("no", '"no"', '"no"'),
        ("a: b", '"a: b"', '"a: b"'),
        ("Study #3", '"Study #3"', '"Study #3"'),
        ('the "one"', '"the \\"one\\""', '"the \\"one\\""'),
        ("- dash", '"- dash"', '"- dash"'),
        ("織り", "織り", "織り"),
        ("", '""', '""'),
    ],
)  # fmt: skip
def test_a_value_is_quoted_where_it_must_be(value, block, braces):
    assert done("a: 1\n", Put(("c",), value)) == f"a: 1\nc: {block}\n"
    assert done("{a: 1}\n", Put(("c",), value)) == f"{{a: 1, c: {braces}}}\n"
    inside = done("a: 1\n", Put(("c",), {"x": {"y": value}}))
    assert inside == f"a: 1\nc: {{x: {{y: {braces}}}}}\n"


def test_the_sign_is_the_one_this_maker_quotes_with():
    assert done("a: 'x'\n", Put(("c",), "it's: so")) == "a: 'x'\nc: 'it''s: so'\n"


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("a: 1\nb: 2\nc: 3\n", "a: 1\nc: 3\n"),
        ("a: 1\nb: 2", "a: 1"),
        ("a: 1\r\nb: 2\r\n", "a: 1\r\n"),
        ("a: 1\nb:  2   # two\n", "a: 1\nb:   # two\n"),
        ("{a: 1, b: 2, c: 3}", "{a: 1, c: 3}"),
        ("{b: 2, c: 3}", "{c: 3}"),
        ("{a: 1, # one\n b: 2}", "{a: 1, # one\n b: }"),
    ],
)
def test_a_word_is_dropped_and_notes_stay(before, after):
    assert done(before, Drop(("b",))) == after


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("b: &x 1\nc: *x\n", "f.yaml:1:4: 'b' is shared by a reference (&, * or <<), and would "
         "change elsewhere too"),
        ("c: &x 1\nb: *x\n", "f.yaml:2:4: 'b' is shared by a reference (&, * or <<), and would "
         "change elsewhere too"),
        ("b: |\n  1\n", "f.yaml:1:4: 'b' stands on several lines"),
        ("b: >-\n  1\n", "f.yaml:1:4: 'b' stands on several lines"),
        ("b: 1\n  2\n", "f.yaml:1:4: 'b' stands on several lines"),
        ('b: "1\n  2"\n', "f.yaml:1:4: 'b' stands on several lines"),
        ("b: [1]\n", "f.yaml:1:4: 'b' holds more than one text"),
        ("b: {x: 1}\n", "f.yaml:1:4: 'b' holds more than one text"),
        ("- b\n", "f.yaml:1:1: this is not written as words with values, so 'b' finds no place"),
        ("", "f.yaml:1:1: this is not written as words with values, so 'b' finds no place"),
    ],
)  # fmt: skip
def test_what_is_not_sure_is_refused_with_its_place_and_the_line_to_write(text, said):
    with pytest.raises(Slip) as caught:
        done(text, Put(("b",), "7"))
    assert told_slip(caught.value, british()) == f"{said}\n    write by hand: b: 7"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("b: 1\nb: 2\n", "f.yaml:2:1: 'b' is written twice"),
        ("b: !!int 1\n", "f.yaml:1:4: "),
        ("a: 1\n---\nb: 1\n", "f.yaml:2:1: "),
        ("b: 'x\n", "f.yaml:1:4: "),
        ("\tb: 1\n", "f.yaml:1:1: "),
    ],
)
def test_a_text_with_a_mistake_is_refused_with_the_mistake(text, said):
    with pytest.raises(Slip) as caught:
        done(text, Put(("b",), "7"))
    assert told_slip(caught.value, british()).startswith(said)


def test_words_borrowed_from_elsewhere_are_refused():
    text = "x: &x {a: 1}\ny:\n  <<: *x\n  d: 4\n"
    for word in ("a", "c"):
        with pytest.raises(Slip) as caught:
            done(text, Put(("y", word), "7", ORDER))
        assert told_slip(caught.value, british()).startswith("f.yaml:3:3: ")


def test_a_text_that_would_be_read_otherwise_is_refused():
    """A value with a control sign can't be read back: nothing is written."""
    with pytest.raises(Slip) as caught:
        done("a: 1\nb: 2\n", Put(("b",), "\x07"))
    assert told_slip(caught.value, british()).startswith("f.yaml:2:4: 'b' can't be written here ")


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("c:\n  - {x: 1}\nd: 4\n", "c:\n  - {x: 1}\n  - {x: 7}\nd: 4\n"),
        ("c:\n- {x: 1}  # one\n  # of one\n# of d\nd: 4\n",
         "c:\n- {x: 1}  # one\n  # of one\n- {x: 7}\n# of d\nd: 4\n"),
        ("c:\r\n  -   x: 1\r\n      y: 2", "c:\r\n  -   x: 1\r\n      y: 2\r\n  -   {x: 7}"),
        ("c: [{x: 1}, {x: 2}]   # two\nd: 4\n", "c: [{x: 1}, {x: 2}, {x: 7}]   # two\nd: 4\n"),
        ("c: [\n  {x: 1},  # one\n  {x: 2}\n]\n",
         "c: [\n  {x: 1},  # one\n  {x: 2},\n  {x: 7}\n]\n"),
        ("{a: 1, c: [{x: 1}], d: 4}\n", "{a: 1, c: [{x: 1}, {x: 7}], d: 4}\n"),
        ("a: 1\nd: 4\n", "a: 1\nc:\n  - {x: 7}\nd: 4\n"),
        ("a: 1", "a: 1\nc:\n  - {x: 7}"),
        ("{a: 1, d: 4}\n", "{a: 1, c: [{x: 7}], d: 4}\n"),
    ],
)  # fmt: skip
def test_an_item_is_added_to_a_list(before, after):
    assert done(before, Add(("c",), {"x": "7"}, ORDER)) == after


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("c: &x [{x: 1}]\n", "f.yaml:1:4: 'c' is shared by a reference (&, * or <<), and would "
         "change elsewhere too"),
        ("a: &x [{x: 1}]\nc: *x\n", "f.yaml:2:4: 'c' is shared by a reference (&, * or <<), and "
         "would change elsewhere too"),
        ("c: {x: 1}\n", "f.yaml:1:4: 'c' has no list of items"),
        ("c: []\n", "f.yaml:1:4: 'c' has no list of items"),
        ("c:\n  - - {x: 1}\n    - 5\n  -\n    x: 1\n",
         "f.yaml:2:3: 'c' can't be written here safely"),
    ],
)  # fmt: skip
def test_a_list_that_is_not_sure_is_refused_with_the_item_to_write(text, said):
    with pytest.raises(Slip) as caught:
        done(text, Add(("c",), {"x": "7"}, ORDER))
    assert told_slip(caught.value, british()) == (
        f"{said}\n    write by hand, as the last line under 'c': - {{x: 7}}"
    )


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("b: {x: 1, y: 2}   # two\n", "b: {y: 3}   # two\n"),
        ("{a: 1, b: {x: 1}, c: 2}\n", "{a: 1, b: {y: 3}, c: 2}\n"),
    ],
)
def test_braces_on_one_line_give_way_to_others(before, after):
    assert done(before, Put(("b",), {"y": "3"})) == after


@pytest.mark.parametrize("text", ["b:\n  x: 1\n", "b: {x: 1,\n  y: 2}\n", "b: {x: &n 1}\n"])
def test_other_mappings_are_not_written_over(text):
    with pytest.raises(Slip) as caught:
        done(text, Put(("b",), {"y": "3"}))
    assert told_slip(caught.value, british()).endswith(
        "'b' holds more than one text\n    write by hand: b: {y: 3}"
    )
