"""The checking page as people meet it, in Chromium: a file or a number given, one answer; from disk
and served under a strict content policy, with nothing asked of anybody else; for everyone."""

from __future__ import annotations

import base64
import functools
import hashlib
import http.server
import threading
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from provenance.build.letters import site_letters
from provenance.seal.statement import Pictured
from provenance.site.pages import site_pages
from provenance.site.whole import Site
from tests.in_chromium import skip_without_chromium
from tests.site import a_statement

skip_without_chromium()

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self'; "
    "connect-src 'self'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'"
)
PICTURE = "pictures/2026-014-1-960-3f2a9c1d.jpg"
SHOWN = base64.b64decode(  # a JPEG of one pixel
    "/9j/4AAQSkZJRgABAQAAAQABAAD/2wBDAAgGBgcGBQgHBwcJCQgKDBQNDAsLDBkSEw8UHRofHh0aHBwgJC4nICIs"
    "IxwcKDcpLDAxNDQ0Hyc5PTgyPC4zNDL/wAALCAABAAEBAREA/8QAFAABAAAAAAAAAAAAAAAAAAAAAP/EABQQAQAA"
    "AAAAAAAAAAAAAAAAAAD/2gAIAQEAAD8AP//Z"
)
WORDS = {
    "genuine": "Genuine", "changed": "Changed", "unknown key": "Unknown key",
    "unsigned": "Unsigned", "not ours": "Not one of ours",
}  # fmt: skip


@pytest.fixture(scope="module")
def files(demo_parts: Site) -> dict[str, bytes]:
    """Certificates and statements that somebody may hold."""
    shown = Pictured(PICTURE, hashlib.sha256(SHOWN).hexdigest())

    def of_issue(number: int) -> Any:
        return a_statement.bare(demo_parts, issue=number, pictures=(shown,))

    good = a_statement.sealed(of_issue(1))
    return {
        "genuine": good,
        "later": a_statement.sealed(of_issue(2)),
        "paper": a_statement.carrying(good),
        "changed": good.replace(b"Saltmarsh", b"<b>Sea</b>"),
        "unknown key": a_statement.sealed(of_issue(1), a_statement.FOREIGN),
        "unsigned": a_statement.written(of_issue(1)),
        "not ours": a_statement.carrying(good)[:-300],
        "retired": a_statement.sealed(of_issue(1), a_statement.RETIRED, "2026-05-01"),
    }


@pytest.fixture(scope="module")
def place(
    demo_parts: Site, files: dict[str, bytes], kept_cache: Path, tmp_path_factory: Any
) -> Path:
    """What the site has that the page needs, statements beside a piece's page among it."""
    home: Path = tmp_path_factory.mktemp("checking")
    site = replace(demo_parts, trusted=a_statement.BELIEVED, letters=site_letters())
    needed = ("checking/", "letters/", "site-", "mark.", "feed.xml")
    made = {page.name: page.make() for page in site_pages(site) if page.name.startswith(needed)}
    made |= {
        "2026-014/statement.json": a_statement.sealed(a_statement.bare(demo_parts)),
        "2026-014/certificate-1.json": files["genuine"],
        PICTURE: SHOWN,
    }
    for name, content in made.items():
        (home / name).parent.mkdir(parents=True, exist_ok=True)
        (home / name).write_bytes(content)
    return home


class Strictly(http.server.SimpleHTTPRequestHandler):
    """Serves a folder under the policy."""

    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", POLICY)
        super().end_headers()

    def log_message(self, *_: object) -> None:
        """Says nothing."""


@pytest.fixture(scope="module")
def served(place: Path) -> Iterator[str]:
    """The same over http, on this computer alone."""
    handler = functools.partial(Strictly, directory=str(place))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


@pytest.fixture
def visit(browser: Any) -> Iterator[Callable[..., Any]]:
    """`visit(address, ...)`: the page, with what it asked for and said."""
    contexts = []

    def opened(address: str, **how: Any) -> Any:
        context = browser.new_context(
            **{"viewport": {"width": 1000, "height": 800}, "reduced_motion": "reduce", **how}
        )
        contexts.append(context)
        page = context.new_page()
        page.asked, page.said = [], []
        page.on("request", lambda request: page.asked.append(request.url))
        page.on("console", lambda message: page.said.append(message.text))
        page.on("pageerror", lambda error: page.said.append(str(error)))
        page.goto(address, wait_until="load")
        return page

    yield opened
    for context in contexts:
        context.close()


def from_disk(place: Path) -> str:
    return (place / "checking" / "index.html").as_uri()


def give(page: Any, content: bytes, name: str = "certificate.pdf") -> str:
    """Give the page a file; the answer's name."""
    page.evaluate("document.querySelector('.verdict').hidden = true")
    given = {"name": name, "mimeType": "application/octet-stream", "buffer": content}
    page.set_input_files("input[type=file]", given)
    page.wait_for_selector(".verdict:not([hidden])")
    return str(page.locator(".verdict h2").inner_text())


def test_one_answer_for_each_file_and_nothing_leaves_the_folder(visit, place, files) -> None:
    page = visit(from_disk(place))
    for verdict, word in WORDS.items():
        assert give(page, files[verdict]) == word
        said = page.locator("[role=status]").inner_text()
        assert said.startswith(f"{word}. ") and said.endswith(".")
        assert page.locator(".verdict svg").count() == 1
    assert page.said == []
    folder = place.as_uri()
    assert [each for each in page.asked if not each.startswith(folder)] == []


def test_a_genuine_certificate_says_what_was_signed_and_what_that_proves(
    visit, place, files
) -> None:
    page = visit(from_disk(place))
    assert give(page, files["paper"]) == "Genuine"
    told = " ".join(page.locator(".verdict").inner_text().split())
    fingerprint = a_statement.KEY.public.fingerprint
    for words in (
        "2026-014 Saltmarsh", "Isla Wren", "124 × 86 cm", "20 November 2026, issue 1",
        f"{fingerprint}, in use", "This proves", "This does not prove", "the object before you",
        "certificate.pdf, checked on",
    ):  # fmt: skip
        assert words in told, words
    assert page.locator(".verdict img").get_attribute("src") == f"../{PICTURE}"
    assert "can't be held against" in told
    page.locator(".verdict summary").click()
    assert "Reseda luteola" in page.locator(".verdict details").inner_text()
    assert give(page, files["retired"]) == "Genuine"
    assert "in use until 31 May 2026" in page.locator(".verdict").inner_text()


def test_words_of_a_statement_are_text(visit, place, files) -> None:
    page = visit(from_disk(place))
    assert give(page, files["changed"]) == "Changed"
    assert page.locator(".verdict b").count() == 0
    assert "Saltmarsh" not in page.locator(".verdict").inner_text(), "shown as if it were true"


def test_from_disk_it_says_where_published_statements_lie(visit, place) -> None:
    page = visit(from_disk(place))
    assert page.locator(".from-disk").is_visible()
    assert "statement.json" in page.locator(".from-disk").inner_text()
    assert not page.locator(".by-number").is_visible()


def test_published_statements_by_number_under_the_policy(visit, served) -> None:
    page = visit(f"{served}/checking/index.html")
    page.get_by_label("the number of the piece").fill("2026-014")
    page.keyboard.press("Enter")
    page.wait_for_selector(".verdict:not([hidden]) h2")
    assert page.locator(".verdict h2").inner_text() == "Genuine"
    page.get_by_label("the number of the piece").fill("2026-999")
    page.get_by_role("button", name="Check").click()
    page.wait_for_selector(".verdict.is-none")
    assert page.locator(".verdict").inner_text() == "Nothing is published here under 2026-999."
    assert [each for each in page.asked if not each.startswith(served)] == []
    there = visit(f"{served}/checking/index.html#2026-014")
    there.wait_for_selector(".verdict:not([hidden]) h2")
    assert there.locator(".verdict h2").inner_text() == "Genuine"


def test_a_page_served_tells_what_differs_and_holds_the_picture_to_its_digest(
    visit, served, place, files
) -> None:
    page = visit(f"{served}/checking/index.html")
    assert give(page, files["changed"]) == "Changed"
    rows = [row.inner_text().splitlines() for row in page.locator(".differs li").all()]
    assert [row[0] for row in rows[:2]] == ["name", "Title (credentialSubject.name)"]
    assert rows[1][1:] == ["here: <b>Sea</b>", "published: Saltmarsh"]
    assert all(row[0].startswith("credentialSubject.making[") for row in rows[2:])
    assert give(page, files["genuine"]) == "Genuine"
    assert page.locator("figcaption").inner_text() == "The picture it was signed with."
    assert page.locator(".newer").count() == 0
    (place / "2026-014" / "certificate-2.json").write_bytes(files["later"])
    (place / PICTURE).write_bytes(b"another")
    try:
        assert give(page, files["genuine"]) == "Genuine"
        assert "another picture now" in page.locator("figcaption").inner_text()
        assert page.locator(".verdict img").count() == 0
        assert "issue 2" in page.locator(".newer").inner_text()
        (place / PICTURE).unlink()  # another has another name
        assert give(page, files["genuine"]) == "Genuine"
        assert "no longer shows" in page.locator("figcaption").inner_text()
        assert page.locator(".verdict img").count() == 0
    finally:
        (place / PICTURE).write_bytes(SHOWN)
        (place / "2026-014" / "certificate-2.json").unlink()


def test_it_goes_nowhere_with_the_network_cut(visit, served, files) -> None:
    page = visit(f"{served}/checking/index.html")
    page.context.set_offline(True)
    assert give(page, files["paper"]) == "Genuine"
    assert give(page, files["changed"]) == "Changed"
    assert page.locator(".differs").count() == 0


def test_it_says_so_where_the_browser_cannot_check(visit, place, files) -> None:
    page = visit(from_disk(place))
    page.evaluate("() => { crypto.subtle.importKey = () => Promise.reject(new Error('none')); }")
    page.set_input_files(
        "input[type=file]",
        {"name": "c.json", "mimeType": "application/json", "buffer": files["genuine"]},
    )
    page.wait_for_selector(".verdict:not([hidden])")
    told = page.locator(".verdict").inner_text()
    assert told.startswith("This browser can't check signatures here")
    assert "provenance verify" in told
    assert page.locator(".verdict h2").count() == 0


def test_without_script_it_says_how_to_look(visit, place) -> None:
    page = visit(from_disk(place), java_script_enabled=False)
    assert page.locator(".no-script").is_visible()
    assert not page.locator(".give").is_visible()
    told = page.locator("main").inner_text()
    assert "Hold the two side by side" in told and "provenance verify" in told


def test_the_keyboard_alone_is_enough(visit, place, files) -> None:
    page = visit(from_disk(place))
    page.on("filechooser", lambda _: None)  # choosers are caught from here on, not at the key
    for _ in range(20):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.type") == "file":
            break
    assert page.locator(".drop").evaluate("e => getComputedStyle(e).outlineStyle") == "solid"
    with page.expect_file_chooser() as chosen:
        page.keyboard.press("Enter")
    chosen.value.set_files(
        {"name": "c.pdf", "mimeType": "application/pdf", "buffer": files["paper"]}
    )
    page.wait_for_selector(".verdict.is-genuine")


_DROP = """content => {
  const moved = new DataTransfer();
  moved.items.add(new File([Uint8Array.from(content)], "dropped.json"));
  const how = {dataTransfer: moved, bubbles: true, cancelable: true};
  document.body.dispatchEvent(new DragEvent("drop", how));
}"""


def test_a_file_may_be_dropped_anywhere(visit, place, files) -> None:
    page = visit(from_disk(place))
    page.evaluate(_DROP, list(files["genuine"]))
    page.wait_for_selector(".verdict.is-genuine")
    assert "dropped.json, checked on" in page.locator(".verdict").inner_text()


@pytest.mark.parametrize("how", ["light", "dark", "contrast"])
def test_everyone_can_use_it(visit, place, files, how) -> None:
    from axe_playwright_python.sync_playwright import Axe

    seen = {"forced_colors": "active"} if how == "contrast" else {"color_scheme": how}
    page = visit(from_disk(place), viewport={"width": 320, "height": 700}, **seen)
    for verdict in ("", "genuine", "changed"):
        if verdict:
            give(page, files[verdict])
            assert page.locator(".verdict h2").evaluate(
                "e => { const {top, bottom} = e.getBoundingClientRect();"
                " return top >= 0 && bottom <= innerHeight; }"
            ), "the answer is in sight"
        found = Axe().run(page).response["violations"]
        assert [f"{each['id']}: {each['nodes'][0]['html'][:120]}" for each in found] == []
        assert page.evaluate("document.documentElement.scrollWidth") <= 320


def test_the_answer_can_be_printed(visit, place, files) -> None:
    page = visit(from_disk(place))
    give(page, files["genuine"])
    page.emulate_media(media="print")
    assert page.locator(".verdict").is_visible()
    assert not page.locator(".give").is_visible()


def test_a_studio_without_a_key_has_words_alone(demo_files) -> None:
    page = demo_files["checking/index.html"].decode()
    assert "Hold the two side by side" in page
    assert "<form" not in page and "checking/checking" not in page and "verify" not in page
    assert not [name for name in demo_files if name.startswith("checking/checking")]
