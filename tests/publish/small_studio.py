"""A studio of two pieces with a site of a few files, written by hand: what is looked at before a
site goes up and after is looked at in bytes, whoever made them."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from provenance.build.opening import open_studio
from provenance.public.border import Border

SITE = "https://old.brackenfold.example"
TODAY = date(2026, 11, 25)
STUDIO = """
studio: Brackenfold
maker: Isla Wren
place: Eskrigg Dale
site: SITE
pay: {any: 18.00}
contact: {email: isla@brackenfold.example, phone: "01632 960001", post: "1 Wren Lane, Thornbeck"}
public contact: [email]
"""
PIECE = """
number: 2026-001
title: Ebb
kind: scarf
finished: 2026-05-01
size: 180 x 28 cm
yarns: [{use: weft, lot: grey, weight: 95 g}, {use: warp, lot: grey, weight: 95 g}]
hours: {weaving: 6}
price: 140
story: The tide going out.
"""
SECOND = PIECE.replace("001", "002").replace("Ebb", "Haws")
YARNS = "grey: {fibre: wool, weight: 500 g, cost: 24.00}\n"
PRINTED = (
    '- {on: 2026-11-25, paper: "certificate", number: "2026-001", title: "Ebb", '
    f'address: "HTTPS://OLD.BRACKENFOLD.EXAMPLE/2026-001/", digest: "{"0" * 64}", issue: "1"}}\n'
    '- {on: 2026-11-25, paper: "tag", number: "2026-001", title: "Ebb", '
    f'address: "HTTPS://OLD.BRACKENFOLD.EXAMPLE/2026-001/", price: "£140", digest: "{"1" * 64}"}}\n'
)
STATEMENT = b'{"proof": {}}\n'


def page(number: str, title: str, more: str = "") -> str:
    """A page of a piece, with its structured data."""
    data = json.dumps({"identifier": number, "name": title})
    return (
        f'<!doctype html><html lang="en"><head><meta charset="utf-8">'
        f"<title>{number} {title}</title>"
        f'<link rel="stylesheet" href="../site.css">'
        f'<script type="application/ld+json">{data}</script></head>'
        f'<body><h1>{title}</h1><a href="../">Home</a>{more}</body></html>'
    )


def facts(number: str, title: str, price: str = "£140") -> str:
    """What lies beside it."""
    return json.dumps({"number": number, "title": title, "price": price})


def studio(
    home: Path,
    records: Mapping[str, str] | None = None,
    *,
    site: str = SITE,
    printed: str = PRINTED,
) -> Path:
    """A record folder; `records` are added, or take the place of ours."""
    own = {
        "studio/studio.yaml": STUDIO.replace("SITE", site),
        "studio/yarns.yaml": YARNS,
        "studio/printed.yaml": printed,
        "studio/certificates/2026-001-1.json": STATEMENT.decode(),
        "2026-001-ebb.yaml": PIECE,
        "2026-002-haws.yaml": SECOND,
    }
    for name, text in {**own, **(records or {})}.items():
        path = home / "pieces" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return home / "pieces"


def site(home: Path, files: Mapping[str, str] | None = None, *, of: str = SITE) -> Path:
    """A site folder; `files` are added, or take the place of ours, '' takes one away."""
    own = {
        ".studio": f"Brackenfold\n{of}\n",
        "index.html": '<html><body><a href="2026-001/">Ebb</a><img src="mark.svg" alt=""></body>',
        "mark.svg": "<svg xmlns='http://www.w3.org/2000/svg'/>",
        "site.css": "body { color: #000 }",
        "2026-001/index.html": page("2026-001", "Ebb"),
        "2026-001/piece.json": facts("2026-001", "Ebb"),
        "2026-001/certificate-1.json": STATEMENT.decode(),
        "2026-001/statement.json": '{"name": "Ebb"}',
        "2026-002/index.html": page("2026-002", "Haws"),
        "2026-002/piece.json": facts("2026-002", "Haws"),
    }
    for name, text in {**own, **(files or {})}.items():
        path = home / "site" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if text:
            path.write_text(text, encoding="utf-8")
    return home / "site"


def border(records: Path) -> Border:
    """The way to its public facts."""
    return Border(open_studio(records, TODAY))
