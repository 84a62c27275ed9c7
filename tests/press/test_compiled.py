"""Shipped templates are compiled once, like Python's own modules, and nothing else is."""

import sys

import jinja2
import pytest

from provenance.press import templates as door
from provenance.press.templates import render


@pytest.fixture
def shipped(tmp_path, monkeypatch):
    """A folder in the place of the shipped templates, every render by a program just started."""
    folder = tmp_path / "templates"
    folder.mkdir()
    (folder / "page.html").write_text("<p>{{ word }}</p>")
    monkeypatch.setattr(door, "shipped_templates", lambda: folder)
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(door, "_environment", door._environment.__wrapped__)
    return folder


@pytest.fixture
def compiled(monkeypatch):
    """The names of templates that are compiled from now on."""
    names, compile_ = [], jinja2.Environment.compile

    def noted(self, source, name=None, *rest, **how):
        names.append(name)
        return compile_(self, source, name, *rest, **how)

    monkeypatch.setattr(jinja2.Environment, "compile", noted)
    return names


def page(word="wool", studio=None):
    return render("page.html", {"word": word}, studio)


def test_it_is_compiled_once_and_renders_the_same(shipped, compiled):
    assert [page(), page("<silk>")] == ["<p>wool</p>", "<p>&lt;silk&gt;</p>"]
    assert compiled == ["page.html"]
    [kept] = (shipped / "__pycache__").iterdir()
    assert kept.name == f"page.html.{sys.implementation.cache_tag}.pyc"


def test_another_text_is_compiled_anew(shipped, compiled):
    page()
    (shipped / "page.html").write_text("<b>{{ word }}</b>")
    assert page() == "<b>wool</b>"
    assert compiled == ["page.html"] * 2


def test_another_jinja_compiles_anew(shipped, compiled, monkeypatch):
    page()
    monkeypatch.setattr(jinja2, "__version__", "0.0")
    assert page() == "<p>wool</p>"
    assert compiled == ["page.html"] * 2


@pytest.mark.parametrize("keep", [0, 1, 20, 60, -1])
def test_what_is_cut_off_is_as_good_as_none(shipped, keep):
    page()
    [kept] = (shipped / "__pycache__").iterdir()
    kept.write_bytes(kept.read_bytes()[:keep])
    assert page() == "<p>wool</p>"


def test_a_bit_that_turned_is_as_good_as_none(shipped):
    """Such code can do anything: crash the interpreter, or render another page."""
    page()
    [kept] = (shipped / "__pycache__").iterdir()
    whole = kept.read_bytes()
    for at in range(0, len(whole), 7):
        kept.write_bytes(whole[:at] + bytes([whole[at] ^ 4]) + whole[at + 1 :])
        assert page() == "<p>wool</p>"


def test_nothing_is_written_where_python_may_not(shipped, monkeypatch):
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    assert page() == "<p>wool</p>"
    assert [each.name for each in shipped.iterdir()] == ["page.html"]


def test_no_room_beside_the_templates_is_no_fault(shipped):
    (shipped / "__pycache__").write_text("a file in the way")
    assert page() == "<p>wool</p>"


def test_a_studio_s_own_template_is_never_kept(shipped, tmp_path):
    own = tmp_path / "own"
    own.mkdir()
    (own / "page.html").write_text("<i>{{ word }}</i>")
    assert page(studio=own) == "<i>wool</i>"
    assert [each.name for each in own.iterdir()] == ["page.html"]
    assert not (shipped / "__pycache__").exists()
