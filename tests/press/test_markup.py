import time

import pytest

from provenance.language.phrases import british
from provenance.press.markup import to_html, to_plain
from provenance.problems import Slip
from provenance.reference.marks import MOST_IN_PARAGRAPH, too_much

tell = british().tell


def test_markdown_becomes_markup_one_level_down():
    assert to_html("# Salt\n\nThe *marsh* at **low** water.\n\n- one\n- two") == (
        "<h2>Salt</h2>\n<p>The <em>marsh</em> at <strong>low</strong> water.</p>\n"
        "<ul>\n<li>one</li>\n<li>two</li>\n</ul>"
    )


def test_headings_never_skip_a_level():
    # WCAG 2.2, technique G141: headings in order.
    assert to_html("### Deep\n\n###### Deeper\n\n# Top") == (
        "<h2>Deep</h2>\n<h3>Deeper</h3>\n<h2>Top</h2>"
    )
    assert to_html("# A", demote_headings=0) == "<h1>A</h1>"


@pytest.mark.parametrize(
    "hostile",
    [
        "<script>alert(1)</script>",
        "<img src=x onerror=alert(1)>",
        "[x](javascript:alert(1))",
        "[x](JaVaScRiPt&#58;alert(1))",
        "<a href='data:text/html,<script>alert(1)</script>'>x</a>",
        "<a href='vbscript:x'>x</a>",
        "<svg><script>alert(1)</script></svg>",
        "<style>*{background:url(https://x.example)}</style>",
        "<link rel=attachment href=file:///etc/passwd>",
        "<iframe src=//x.example></iframe>",
        "<p onclick=alert(1) style='position:fixed'>x</p>",
        "![x](https://x.example/pixel.gif)",
        "<base href=https://x.example>",
        "<math><mtext><table><mglyph><style><img src onerror=alert(1)>",
    ],
)
def test_nothing_that_acts_or_loads_comes_through(hostile):
    # Cases after the kinds listed in the OWASP XSS Prevention cheat sheets; common practice.
    import html5lib

    tree = html5lib.parseFragment(str(to_html(f"before {hostile} after")), treebuilder="etree")
    for part in tree.iter():
        name = str(part.tag).rpartition("}")[2]
        assert name in {"DOCUMENT_FRAGMENT", "p", "a", "em", "strong", "br"}
        assert set(part.attrib) <= {"href"}
        assert part.attrib.get("href", "https:").startswith(("https:", "http:", "mailto:"))


def test_signs_are_shown_as_signs():
    assert to_html("5 < 6 & 7 > 2") == "<p>5 &lt; 6 &amp; 7 &gt; 2</p>"


def test_plain_text_keeps_the_words_apart():
    assert (
        to_plain("# Salt\n\nThe *marsh* & tide\n\n- a\n- b<br>c") == "Salt The marsh & tide a b c"
    )
    assert to_plain("x<script>alert(1)</script>y") == "xy"


@pytest.mark.parametrize("text", ["> " * 120 + "x", "- " * 60 + "x", "1. " * 3000 + "x"])
def test_words_that_lie_too_deep_are_refused_and_never_dropped(text):
    with pytest.raises(Slip) as refused:
        to_html(text)
    assert tell(refused.value.what) == "the text is nested too deeply"
    for most in (30, 45):
        assert "x</p>" in to_html("> " * most + "x")


BOMBS = {
    "brackets": "[" * 100_000,
    "pictures": "![" * 50_000,
    "links begun": "[a](" * 25_000,
    "references": "[a][" * 25_000,
    "named": "[[a]" * 25_000,
    "angles": "<" * 100_000,
    "addresses": "<a@" * 33_000,
    "elements": "<a " * 33_000,
    "attributes": '<a b="' * 16_000,
    "notes": "<!--" * 25_000,
    "characters": "<![CDATA[" * 11_000,
    "headings": "a\n===\n" * 16_000,
    "rules": "* * *\n" * 16_000,
    "dashes": "- - " * 25_000,
    "backticks": "".join("`" * turn + "a" for turn in range(1, 440)),
    "ticked": "``a`" * 25_000,
    "stars": "*a" * 50_000,
    "quoted": ">" * 100_000,
    "definitions": "".join(f"[a{turn}]: b\n" for turn in range(8000)) + "[a1] " * 4000,
}
HANG = 60  # seconds for each, on a machine that does other things too; before, minutes


@pytest.mark.parametrize("bomb", BOMBS)
def test_no_text_hangs(bomb):
    begun = time.process_time()
    try:
        to_html(BOMBS[bomb])
    except Slip as slip:
        assert tell(slip.what) == "the text is nested too deeply"
    assert time.process_time() - begun < HANG


def test_a_list_may_follow_its_sentence_at_once():
    assert to_html("What I use:\n- weld\n- madder") == (
        "<p>What I use:</p>\n<ul>\n<li>weld</li>\n<li>madder</li>\n</ul>"
    )


def test_links_are_read_by_their_names_too():
    assert to_html("[a [b]](<x y> 'T') [c][d] [d] [e]\n\n[d]: https://d.example") == (
        '<p><a href="x y" title="T">a [b]</a> <a href="https://d.example">c</a> '
        '<a href="https://d.example">d</a> [e]</p>'
    )


def test_what_a_maker_notes_for_herself_is_not_shown_and_nothing_else_is_lost():
    assert to_html("a <!-- b\n\nc --> d\n\n![e](f)\n\n<div>\n\ng <!-- h> i") == (
        "<p>a  d</p>\n<p>g &lt;!-- h&gt; i</p>"
    )


def test_a_long_page_full_of_marks_is_let_by_and_read():
    said = "The *marsh* below the [wall](https://wall.example) takes **two** `tides` & a day. "
    part = said * 60 + "\n\n" + "- a skein, see [it](https://it.example)\n" * 30 + "\n> so\n\n"
    page = (part * 50)[:200_000]
    assert too_much(page) is None
    begun = time.process_time()
    assert to_html(page).count("<li>") > 900
    assert time.process_time() - begun < HANG


HALF = MOST_IN_PARAGRAPH // 2
AT_THE_MOST = {
    "emphasis in emphasis": "*a " * HALF + "b* " * (HALF - 1),
    "both marks": "*a _b " * (HALF // 2) + "c_ d* " * (HALF // 2),
    "lists in lists": ("- " * 29 + "a\n") * (MOST_IN_PARAGRAPH // 30),
    "escaped": "\\& " * HALF,
}


@pytest.mark.parametrize("bomb", AT_THE_MOST)
def test_what_is_just_let_by_does_not_hang(bomb):
    text = AT_THE_MOST[bomb] + "words " * ((250_000 - len(AT_THE_MOST[bomb])) // 6)
    assert too_much(text) is None
    begun = time.process_time()
    assert to_html(text)
    assert time.process_time() - begun < HANG
    assert too_much("*" * MOST_IN_PARAGRAPH + text) is not None
