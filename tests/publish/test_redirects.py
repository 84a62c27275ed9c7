"""Rules that lead from a former address to the one of now: nginx answers by them here; the other
forms are read as their documentation says."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from html.parser import HTMLParser
from pathlib import Path

import pytest

from provenance.public.border import Border
from provenance.publish.before import served_names
from provenance.publish.printed_addresses import printed_addresses
from provenance.publish.redirects import moves, write_redirects
from provenance.publish.web import ask
from tests.publish.servers import answers, free_port, need
from tests.publish.small_studio import border, site, studio

OLD, NEW = "https://old.brackenfold.example", "https://brackenfold.example/weaving"
PATHS = {  # what is asked of the old server, and where it must lead
    "/": "/",
    "/2026-001/": "/2026-001/",
    "/2026-001/piece.json": "/2026-001/piece.json",
    "/about/": "/about/",
}


def rules(home: Path, new: str = NEW) -> Path:
    """The folder of rules of a studio that has moved."""
    (folder,) = written(border(studio(home, site=new)), site(home, of=new))
    return folder


def written(way: Border, lies: Path) -> tuple[Path, ...]:
    """The folders of rules that are written of what was printed."""
    printed = printed_addresses(way.studio.book, lies)
    return write_redirects(way.studio.book, printed, lies, served_names(lies), way.phrases)


def test_the_rules_lie_beside_the_site_and_say_what_to_do(tmp_path: Path) -> None:
    folder = rules(tmp_path)
    assert folder == tmp_path / "redirects" / "old.brackenfold.example"
    names = {each.name for each in folder.iterdir()}
    told = (folder / "read-me.txt").read_text()
    assert names == {
        "nginx.conf",
        "htaccess.txt",
        "Caddyfile",
        "_redirects",
        "pages",
        "read-me.txt",
    }
    assert all(name.removesuffix(".txt") in told for name in names - {"read-me.txt"})
    assert told.startswith(f"From {OLD}\nto   {NEW}\n")


def test_nothing_is_written_where_nothing_moved(tmp_path: Path) -> None:
    assert written(border(studio(tmp_path)), site(tmp_path)) == ()
    assert not (tmp_path / "redirects").exists()


@contextmanager
def nginx(home: Path, include: Path) -> Iterator[str]:
    """Debian's nginx on loopback, with the rules in its server, as read-me.txt says."""
    program, port = need("/usr/sbin/nginx"), free_port()
    kept = "".join(f"{kind}_temp_path {home}/{kind};\n" for kind in
                   ("client_body", "proxy", "fastcgi", "uwsgi", "scgi"))  # fmt: skip
    (home / "nginx.conf").write_text(
        f"daemon off; master_process off; pid {home}/nginx.pid; error_log {home}/errors;\n"
        f"events {{}}\nhttp {{\n{kept}access_log off;\nserver {{\n"
        f"listen 127.0.0.1:{port};\nserver_name o.example;\ninclude {include};\n}}}}\n"
    )
    words = [program, "-p", str(home), "-c", str(home / "nginx.conf")]
    with (home / "log").open("wb") as log:
        process = subprocess.Popen(words, stdout=log, stderr=log)
    try:
        assert answers(port, process), (home / "log").read_text()
        yield f"http://127.0.0.1:{port}"
    finally:
        process.terminate()
        process.wait(10)


def test_nginx_leads_every_old_address_on_for_good(tmp_path: Path) -> None:
    with nginx(tmp_path, rules(tmp_path) / "nginx.conf") as at:
        for old, new in PATHS.items():
            answer = ask(f"{at}{old}?from=tag", frozenset())
            assert (answer.status, answer.final) == (301, f"{NEW}{new}?from=tag")


def test_nginx_does_not_go_in_a_circle_where_the_new_site_lies_inside_the_old(
    tmp_path: Path,
) -> None:
    with nginx(tmp_path, rules(tmp_path, f"{OLD}/weaving") / "nginx.conf") as at:
        led = ask(f"{at}/2026-001/", frozenset())
        bare = ask(f"{at}/2026-001", frozenset())
        stays = ask(f"{at}/weaving/2026-001/", frozenset())
    assert (led.status, led.final) == (301, f"{OLD}/weaving/2026-001/")
    assert (bare.status, bare.final) == (301, f"{OLD}/weaving/2026-001/")
    assert (stays.status, stays.hops) == (404, ())


def by_apache(text: str, path: str) -> str:
    """RewriteRule regex URL: the first that matches the path, which begins without a slash in a
    .htaccess; $1 what stood in its brackets; the RewriteCond above it asks for the name of the
    host (httpd.apache.org/docs/2.4/mod/mod_rewrite.html#rewriterule, #rewritecond)."""
    first, *rest = text.splitlines()
    assert first == "RewriteEngine On"
    for condition, line in zip(rest[::2], rest[1::2], strict=True):
        host = re.fullmatch(r"RewriteCond %\{HTTP_HOST\} (\S+) \[NC\]", condition)
        found = re.fullmatch(r"RewriteRule (\S+) (\S+) \[R=301,L\]", line)
        assert host, condition
        assert found, line
        assert re.search(host[1], "old.brackenfold.example")
        assert not re.search(host[1], "brackenfold.example")
        if match := re.search(found[1], path.removeprefix("/")):
            return found[2].replace("$1", match[1] if match.lastindex else "")
    return ""


def by_lines(text: str, path: str) -> str:
    """FROM TO STATUS, parted by space; a star at the end of FROM stands for anything, which is
    :splat in TO (docs.netlify.com/routing/redirects/redirect-options/,
    developers.cloudflare.com/pages/configuration/redirects/)."""
    for line in text.splitlines():
        before, to, status = line.split(" ")
        assert status == "301"
        assert before.endswith("*")
        if path.startswith(before[:-1]):
            return to.replace(":splat", path[len(before) - 1 :])
    return ""


def by_caddy(text: str, path: str) -> str:
    """A site with blocks `handle_path PATH*`, which take PATH without its last slash off the path
    (caddyserver.com/docs/caddyfile/directives/handle_path: `/prefix/*` strips `/prefix`), each with
    `redir TO permanent`, where {uri} is what is left; and `redir PATH TO permanent`
    (caddyserver.com/docs/caddyfile/directives/redir)."""
    head, *rest = text.splitlines()
    assert head == "old.brackenfold.example {"
    assert text.count("{\n") == text.count("}\n") - text.count("{uri}\n")
    for at, line in enumerate(rest):
        if block := re.fullmatch(r"\thandle_path (\S+)\* \{", line):
            to = re.fullmatch(r"\t\tredir (\S+) permanent", rest[at + 1])
            assert to
            if path.startswith(block[1]):
                return to[1].replace("{uri}", path[len(block[1]) - 1 :])
        elif (one := re.fullmatch(r"\tredir (/\S+) (\S+) permanent", line)) and path == one[1]:
            return one[2]
    return ""


READINGS = {"htaccess.txt": by_apache, "_redirects": by_lines, "Caddyfile": by_caddy}


@pytest.mark.parametrize("name", READINGS)
def test_the_other_forms_say_the_same(tmp_path: Path, name: str) -> None:
    text = (rules(tmp_path) / name).read_text()
    read = READINGS[name]
    assert {old: read(text, old) for old in PATHS} == {
        old: f"{NEW}{new}" for old, new in PATHS.items()
    }


@pytest.mark.parametrize("name", READINGS)
def test_the_other_forms_go_in_no_circle(tmp_path: Path, name: str) -> None:
    text = (rules(tmp_path, f"{OLD}/weaving") / name).read_text()
    read = READINGS[name]
    assert read(text, "/2026-001/piece.json") == f"{OLD}/weaving/2026-001/piece.json"
    assert read(text, "/weaving/2026-001/") == ""
    assert read(text, "/") == ""


def test_a_site_that_lay_in_a_folder_leads_on_from_there() -> None:
    (one,) = moves("https://host.example/isla", "https://brackenfold.example", ["2026-001"])
    assert (one.old, one.to) == ("/isla/", "https://brackenfold.example/")


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: dict[str, str] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        words = {word: value or "" for word, value in attrs}
        if words.get("rel") == "canonical":
            self.found["canonical"] = words["href"]
        if words.get("http-equiv") == "refresh":
            self.found["refresh"] = words["content"]
        if tag == "a":
            self.found["link"] = words["href"]


def test_pages_lead_on_where_a_server_reads_no_rules(tmp_path: Path) -> None:
    """`<meta http-equiv=refresh content="0; url=...">` (html.spec.whatwg.org, pragmas) and
    `rel=canonical` (RFC 6596); one for every page of the site, and for every printed number."""
    pages = rules(tmp_path) / "pages"
    found = {each.relative_to(pages).as_posix() for each in pages.rglob("*.html")}
    assert found == {"index.html", "2026-001/index.html", "2026-002/index.html"}
    page = _Page()
    page.feed((pages / "2026-001" / "index.html").read_text())
    to = f"{NEW}/2026-001/"
    assert page.found == {"canonical": to, "refresh": f"0; url={to}", "link": to}
