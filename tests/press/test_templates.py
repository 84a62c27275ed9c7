from pathlib import Path

import pytest

from provenance.language.phrases import british
from provenance.press import templates as door
from provenance.press.markup import to_html
from provenance.press.templates import find, render, source
from provenance.problems import Slip

tell = british().tell


@pytest.fixture
def studio(tmp_path):
    folder = tmp_path / "templates"
    folder.mkdir()
    return folder


def write(folder, name, text):
    (folder / name).write_text(text, encoding="utf-8")


def test_everything_is_escaped_but_safe_markup(studio):
    write(studio, "a.html", "<p>{{ title }}</p>{{ story }}")
    made = render("a.html", {"title": "<b>&", "story": to_html("*x*")}, studio)
    assert made == "<p>&lt;b&gt;&amp;</p><p><em>x</em></p>"


def test_text_files_are_escaped_too(studio):
    write(studio, "a.txt", "{{ title }}")
    assert render("a.txt", {"title": "<b>"}, studio) == "&lt;b&gt;"


def test_the_studios_own_template_comes_first_file_by_file(studio, tmp_path, monkeypatch):
    shipped = tmp_path / "shipped"
    shipped.mkdir()
    monkeypatch.setattr(door, "shipped_templates", lambda: shipped)
    write(shipped, "base.html", "shipped {% block x %}{% endblock %}")
    write(shipped, "page.html", "{% extends 'base.html' %}{% block x %}page{% endblock %}")
    write(shipped, "look.css", "p{}")
    assert render("page.html", {}, studio) == "shipped page"
    write(studio, "base.html", "own {% block x %}{% endblock %}")
    assert render("page.html", {}, studio) == "own page"
    assert source("look.css", studio) == b"p{}"
    write(studio, "look.css", "q{}")
    assert source("look.css", studio) == b"q{}"
    (studio / "base.html").unlink()
    assert render("page.html", {}, studio) == "shipped page"


def test_the_shipped_templates_are_found_in_a_checkout():
    assert door.shipped_templates() == Path(door.__file__).resolve().parents[2] / "templates"


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("a\n{% if %}", 2, "Expected an expression, got 'end of statement block'"),
        ("a\nb\n{{ nothing }}", 3, "'nothing' is undefined"),
        ("{{ given.nothing }}", 1, "'str object' has no attribute 'nothing'"),
        ("a\n{{ 1 / 0 }}", 2, "division by zero"),
        (
            "a\n{{ given.__class__ }}",
            2,
            "access to attribute '__class__' of 'str' object is unsafe.",
        ),
        ("{{ given.format.__globals__ }}", 1, None),
        ("{{ ''.__class__.__mro__[1].__subclasses__() }}", 1, None),
        ("{% include '../secret.html' %}", 1, None),
    ],
)
def test_a_fault_names_file_and_line(studio, text, line, said):
    write(studio, "a.html", text)
    with pytest.raises(Slip) as caught:
        render("a.html", {"given": "text"}, studio)
    if said:
        assert tell(caught.value.what) == f"{studio / 'a.html'}:{line}: {said}"


@pytest.mark.parametrize(
    "name", ["../x.html", "/etc/passwd", "a/../../x", "C:x", "con", "a\\b", ""]
)
def test_a_template_cannot_be_asked_for_outside(studio, name):
    with pytest.raises(Slip):
        find(name, studio)


def test_a_link_out_of_the_templates_is_refused(studio, tmp_path):
    secret = tmp_path / "secret.html"
    secret.write_text("secret")
    (studio / "a.html").symlink_to(secret)
    with pytest.raises(Slip) as caught:
        render("a.html", {}, studio)
    assert tell(caught.value.what) == "'a.html' is a link that leads out of templates/"


def test_chance_is_not_to_be_had(studio):
    write(studio, "a.html", "{{ [1, 2, 3] | random }}")
    with pytest.raises(Slip):
        render("a.html", {}, studio)


def test_a_template_that_is_no_utf8(studio):
    (studio / "a.html").write_bytes(b"\xff\xfe")
    with pytest.raises(Slip) as caught:
        render("a.html", {}, studio)
    assert tell(caught.value.what) == f"{studio / 'a.html'} is not UTF-8 text"
