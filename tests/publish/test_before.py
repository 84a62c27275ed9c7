"""What keeps a site at home, and what is asked before it goes up."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from provenance.publish.before import Before, before
from tests.publish.small_studio import PIECE, SECOND, STUDIO, border, page, site, studio

SOLD = (
    'sale: {on: 2026-06-01, price: 128.50, to: "Helen Ashby, Leeds", buyer: {name: Helen Ashby, '
    'email: post@ashby.example, phone: "+44 1632 960 077", post: "3 Fell Road, Leeds LS1 4AB"}}\n'
)


def looked(
    home: Path,
    records: Mapping[str, str] | None = None,
    files: Mapping[str, str] | None = None,
    *,
    there: str = "",
) -> tuple[list[str], list[str]]:
    """What is refused and asked, as a maker reads it."""
    way = border(studio(home, records))
    found = before(way, site(home, files), there)
    assert isinstance(found, Before)
    assert not any(each.is_remark for each in found.refused)
    assert all(each.is_remark for each in found.asked)
    told = [
        [f"{each.place}: {way.phrases.tell(each.what)}" for each in kind]
        for kind in (found.refused, found.asked)
    ]
    assert all(way.phrases.tell(each.remedy) for each in (*found.refused, *found.asked))
    return told[0], told[1]


def test_a_site_that_is_right_goes_up_unasked(tmp_path: Path) -> None:
    assert looked(tmp_path) == ([], [])


def test_the_demo_goes_up_unasked(demo_site: Path) -> None:
    """Its buyers, prices, notes stand in its records; its pages name places, dyes, days."""
    way = border(demo_site.parent / "pieces")
    found = before(way, demo_site)
    assert [way.phrases.tell(each.what) for each in (*found.refused, *found.asked)] == []


def test_words_of_the_start_files_stay_at_home(tmp_path: Path) -> None:
    text = STUDIO.replace("Isla Wren", "My Name").replace("SITE", "https://old.brackenfold.example")
    refused, _ = looked(tmp_path, {"studio/studio.yaml": text})
    assert refused == ["pieces/studio/studio.yaml:3:8: 'My Name' is still the start file's"]


def test_a_printed_address_without_its_page_is_refused(tmp_path: Path) -> None:
    refused, _ = looked(tmp_path, files={"2026-001/index.html": "", "index.html": "<html></html>"})
    assert refused == [
        "pieces/studio/printed.yaml:1:3: the site has no page at "
        "https://old.brackenfold.example/2026-001/, which was printed: whoever scans that code "
        "would find nothing"
    ]


def test_what_a_page_shows_and_the_folder_lacks_is_refused(tmp_path: Path) -> None:
    more = (
        '<img src="../pictures/a.jpg" srcset="../pictures/a.jpg 480w, ../pictures/b.jpg 960w">'
        '<!-- <img src="../never.jpg"> --><a href="https://elsewhere.example/x.html">x</a>'
        '<p>an &lt;img src="told.jpg"&gt; that is text, and src="too.jpg"</p>'
    )
    files = {"2026-001/index.html": page("2026-001", "Ebb", more), "site.css": "a{b:url(c.woff2)}"}
    refused, asked = looked(tmp_path, files=files)
    assert refused == [
        "site/site.css: the site folder lacks c.woff2, which this page shows or needs",
        "site/2026-001/index.html: the site folder lacks pictures/a.jpg, which this page shows or "
        "needs",
        "site/2026-001/index.html: the site folder lacks pictures/b.jpg, which this page shows or "
        "needs",
    ]
    assert asked == []


def test_a_link_that_leads_nowhere_is_asked(tmp_path: Path) -> None:
    more = (
        '<a href="https://old.brackenfold.example/gone/?a=1#b">Gone</a><a href="../2026-002">ok</a>'
    )
    refused, asked = looked(tmp_path, files={"2026-001/index.html": page("2026-001", "Ebb", more)})
    assert refused == []
    assert asked == [
        "site/2026-001/index.html: this page links to gone/index.html, which the site folder does "
        "not have"
    ]


def test_another_domain_is_asked_and_redirects_are_told_of(tmp_path: Path) -> None:
    new = {"studio/studio.yaml": STUDIO.replace("SITE", "https://brackenfold.example")}
    way = border(studio(tmp_path, new))
    lies = site(tmp_path, of="https://brackenfold.example")
    found = before(way, lies, "https://old.brackenfold.example")
    assert found.refused == ()
    assert [way.phrases.tell(each.what) for each in found.asked] == [
        "2 printed papers carry https://old.brackenfold.example, and the site is now "
        "https://brackenfold.example",
        "the site that lies there was published as https://old.brackenfold.example, and this one "
        "is https://brackenfold.example",
    ]
    assert {way.phrases.tell(each.remedy) for each in found.asked} == {
        "codes on paper live for decades: let the old address lead to the new one. 'provenance "
        "publish --check' writes the rules for it into redirects/, beside the site"
    }


def test_a_site_built_for_another_domain_is_refused(tmp_path: Path) -> None:
    new = {"studio/studio.yaml": STUDIO.replace("SITE", "https://brackenfold.example")}
    refused, _ = looked(tmp_path, new)
    assert refused == [
        "pieces/studio/studio.yaml:5:7: the site was built for https://old.brackenfold.example, "
        "and the studio file says https://brackenfold.example"
    ]


def test_a_photo_that_is_gone_is_asked(tmp_path: Path) -> None:
    photo = f'{PIECE}photos: [{{file: gone.jpg, alt: "A scarf"}}]\n'
    refused, asked = looked(tmp_path, {"2026-001-ebb.yaml": photo})
    assert refused == []
    assert asked == ["pieces/2026-001-ebb.yaml:11:17: there is no photo 'gone.jpg'"]


def test_statements_without_signature_are_asked_where_there_is_a_key(tmp_path: Path) -> None:
    key = "z6MkrJVnaZkeFzdQyMZu1cgjg7k1pZZ6pvBQ7XJPt4swbTQ2"
    keys = {"studio/keys.yaml": f"- {{key: {key}, from: 2026-01-01}}\n"}
    refused, asked = looked(tmp_path, keys)
    assert refused == []
    assert asked == [
        "site/2026-001/statement.json: a statement on the site is not signed, though the studio "
        "has a key"
    ]
    signed = {"2026-001/statement.json": '{"proof": {"type": "DataIntegrityProof"}}'}
    assert looked(tmp_path, keys, signed) == ([], [])


@pytest.mark.parametrize(
    ("told", "word"),
    [
        ("<p>woven for HELEN\n<b>Ashby</b></p>", "name"),
        ('<img src="../mark.svg" alt="The runner in Helen Ashby&#39;s hall">', "name"),
        ("<p>post@ashby.example</p>", "email"),
        ("<p>call 01632 960077</p>", "phone"),
        ("<p>it went to 3 Fell Road</p>", "post"),
        ("<p>paid £128.50 for it</p>", "price"),
    ],
)
def test_what_is_said_of_a_buyer_is_asked(tmp_path: Path, told: str, word: str) -> None:
    records = {"2026-001-ebb.yaml": PIECE + SOLD}
    files = {"2026-001/index.html": page("2026-001", "Ebb", told)}
    refused, asked = looked(tmp_path, records, files)
    assert refused == []
    said = {each.split("'")[1] for each in asked}
    assert word in said
    assert said <= ({"name", "to"} if word == "name" else {word})
    assert all(each.startswith("pieces/2026-001-ebb.yaml:11:") for each in asked)
    assert all(each.endswith("stands on the site: 2026-001/index.html") for each in asked)


def test_words_that_anybody_may_say_are_not_asked(tmp_path: Path) -> None:
    """A town, a first name, the price that is asked, another amount; an owner who agreed; what the
    maker wrote in public as well; the studio's own name as buyer."""
    note = "notes: Seven colours, six of them out of four pots this spring\n"
    story = "story: Seven colours, six of them out of four pots this spring.\n"
    first = PIECE.replace("story: The tide going out.\n", story) + note + SOLD
    owner = "sale: {on: 2026-06-01, price: 140, to: Museum of the Dale, consent: yes, buyer: "
    second = f"{SECOND}{owner}{{name: Museum of the Dale, notes: cash}}}}\n"
    told = (
        "<p>Leeds, Road, Helen, fell; £1128.50, £128.501, 128.50; £140; 960077. In the Museum of "
        "the Dale. Seven colours, six of them out of four pots this spring. Cash.</p>"
    )
    files = {f"2026-00{n}/index.html": page(f"2026-00{n}", "Ebb", told) for n in (1, 2)}
    records = {"2026-001-ebb.yaml": first, "2026-002-haws.yaml": second}
    assert looked(tmp_path, records, files) == ([], [])


def test_a_private_note_on_the_site_is_asked(tmp_path: Path) -> None:
    note = "notes: The selvedge on the left side draws in, sold as a second to a friend\n"
    event = 'history: [{on: 2026-06-02, event: "lent to a neighbour who spilt tea", public: no}]\n'
    records = {"2026-001-ebb.yaml": PIECE + note + event}
    files = {
        "2026-002/piece.json": '{"story": "The selvedge on the\\nleft side draws in."}',
        "about.txt": "Once lent to a neighbour who spilt tea.",
    }
    refused, asked = looked(tmp_path, records, files)
    assert refused == []
    said = "what is written here under '{}' is private, and stands on the site: {}"
    assert {each.partition(": ")[2] for each in asked} == {
        said.format("notes", "2026-002/piece.json"),
        said.format("event", "about.txt"),
    }
