"""Names that carry the digest of their bytes: a reader may keep such a file for good."""

import hashlib
import re
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from provenance.press.file_names import is_named_by_digest, named_by_digest, without_digest

ENDINGS = {".avif", ".jpg", ".js", ".css", ".woff2"}
# Addresses that others may have written down: in a certificate, a feed reader, a library.
PROMISED = (
    "index.html", "404.html", "2026-014/index.html", "2026-014/piece.json", "2026-014/outline.pdf",
    "2026-014/linked-art.json", "2026-014/prov.json", "feed.xml", "sitemap.xml", "robots.txt",
    "mark.png", "mark.svg",
)  # fmt: skip


def test_pictures_style_scripts_and_letters_carry_their_digest(demo_site: Path) -> None:
    files = {p.relative_to(demo_site).as_posix(): p for p in demo_site.rglob("*") if p.is_file()}
    wanted = {name for name, path in files.items() if path.suffix in ENDINGS}
    assert {files[name].suffix for name in wanted} == ENDINGS
    assert {name for name in files if is_named_by_digest(name)} == wanted
    for name in wanted:
        digest = hashlib.sha256(files[name].read_bytes()).hexdigest()
        assert named_by_digest(without_digest(name), digest) == name
    assert files.keys() >= {*PROMISED}


def test_the_style_asks_for_letters_by_the_names_they_have(demo_site: Path) -> None:
    (style,) = demo_site.glob("site-*.css")
    asked = set(re.findall(r'url\("([^"]+\.woff2)"\)', style.read_text(encoding="utf-8")))
    lie = {f"letters/{path.name}" for path in (demo_site / "letters").iterdir()}
    assert asked == lie and len(lie) == 12


@pytest.mark.parametrize("name", [
    *PROMISED, "2026-014/statement.json", ".well-known/did.json", "ns/statement-v1.jsonld",
    "how-to-check.txt", "how-to-check.html", "site.css", "checking/checking.js",
    "letters/studio-sans-400-near.woff2", "pictures/2026-014-1-960.jpg",
    "pictures/2026-014-share.jpg", "notes-20261114/index.html", "other-3f2a9c1d.css",
    "2026-014/site-3f2a9c1d.css", "site-3f2a9c1d.html/index.html", "checking/site-3f2a9c1d.js",
])  # fmt: skip
def test_no_other_name_is_taken_for_one(name: str) -> None:
    assert not is_named_by_digest(name)
    assert without_digest(name) == name


def test_own_templates_that_ask_for_plain_names_find_them(
    site_with: Callable[[Mapping[str, str]], Mapping[str, bytes]], small_studio: Mapping[str, str]
) -> None:
    assert not {"site.css", "site.js", "checking/checking.js"} & site_with({}).keys()
    own = '<!doctype html><link rel="stylesheet" href="{{ root }}site.css">'
    files = site_with({"templates/site/not_found.html": own})
    (named,) = (name for name in files if re.fullmatch(r"site-[0-9a-f]{8}\.css", name))
    assert files["site.css"] == files[named]
    assert "site.js" not in files
