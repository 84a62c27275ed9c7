"""The entry list of a juried show, with its pictures beside it.

In: the papers of a show. Out: the list as PDF and CSV in the fields the show asks for, and every
picture under the name it asks for.
"""

from __future__ import annotations

from provenance.papers.sheets.frame import (
    Page,
    Papers,
    Sheet,
    parties,
    price_of,
    sheet_pdf,
    whole_view,
)
from provenance.papers.sheets.show_entries import Entry, entries_of, insured_for
from provenance.papers.sheets.show_pictures import megabytes
from provenance.papers.sheets.spreadsheet import csv_file
from provenance.press.codes.qr import Code
from provenance.press.pictures.photos import Rendition
from provenance.problems import Problem

_PHOTO_MM = (46.0, 62.0)


def entry_list(papers: Papers) -> tuple[list[Sheet], tuple[Problem, ...]]:
    """List and pictures; what the rules refuse comes back as problems."""
    entries, problems = entries_of(papers)
    if not entries:
        return [], problems
    assets: dict[str, bytes | Code] = {}
    page = Page(
        "entry_list",
        papers.say("entry_list"),
        {
            "outlet": papers.title,
            "where": papers.where_and_when,
            "parties": parties(papers),
            "entries": [_entry(papers, each, assets) for each in entries],
            "with_statement": "statement" in papers.outlet.rules.fields,
            "with_pictures": "pictures" in papers.outlet.rules.fields,
        },
        assets=assets,
    )
    works = [each.work for each in entries]
    sheets = [
        Sheet("entry-list.pdf", sheet_pdf(papers.setting, page, works), page.title),
        Sheet("entry-list.csv", _csv(papers, entries)),
    ]
    sheets += [
        Sheet(f"pictures/{picture.name}", picture.picture.content, papers.say("pictures"))
        for each in entries
        for picture in each.pictures
    ]
    return sheets, problems


def _entry(papers: Papers, entry: Entry, assets: dict[str, bytes | Code]) -> dict[str, object]:
    labels = {
        "medium": papers.say("medium"),
        "insurance": papers.say("insurance_value"),
        "maker": papers.say("field_maker"),
    }
    rows = [
        (labels.get(field) or papers.say(f"field_{field}"), text)
        for field, text in entry.fields.items()
        if field not in ("title", "number") and text
    ]
    return {
        "number": entry.work.facts.number,
        "title": entry.work.facts.title,
        "rows": rows,
        "statement": entry.statement,
        "files": [(each.name, _told(papers, each.picture)) for each in entry.pictures],
        "photo": whole_view(papers, entry.work, _PHOTO_MM, assets),
    }


def _told(papers: Papers, picture: Rendition) -> str:
    size = megabytes(len(picture.content))
    return papers.say("pixels", width=picture.width, height=picture.height, size=size)


def _csv(papers: Papers, entries: tuple[Entry, ...]) -> bytes:
    fields = [str(field) for field in papers.outlet.rules.fields]
    rows = []
    for each in entries:
        known = {
            **each.fields,
            "statement": each.statement,
            "pictures": "; ".join(picture.name for picture in each.pictures),
            "insurance": papers.cell(insured_for(papers, each.work)),
        }
        if each.work.for_sale:
            known["price"] = papers.cell(price_of(each.work))
        rows.append([*(known[field] for field in fields), papers.currency])
    return csv_file([*fields, "currency"], rows)
