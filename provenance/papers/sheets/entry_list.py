"""The entry list of a juried show, with its pictures beside it.

In: what is entered at a show. Out: the list as PDF and CSV in the fields the show asks for, and
every picture under the name it asks for.
"""

from collections.abc import Sequence

from provenance.papers.sheets.frame import Display, Page, Paper, price_of, sheet_pdf, whole_view
from provenance.papers.sheets.show_entries import Entry
from provenance.papers.sheets.show_pictures import megabytes
from provenance.papers.sheets.spreadsheet import csv_file
from provenance.press.codes.qr import Code
from provenance.press.pictures.photos import Rendition
from provenance.public.dealings import Dealing

_PHOTO_MM = (46.0, 62.0)


def entry_list(display: Display, deal: Dealing, entries: Sequence[Entry]) -> list[Paper]:
    """List and pictures; nothing where no work is entered."""
    if not entries:
        return []
    assets: dict[str, bytes | Code] = {}
    fields = display.outlet.rules.fields
    page = Page(
        "entry_list",
        display.say("entry_list"),
        {
            "outlet": display.outlet.title,
            "where": display.outlet.where_and_when,
            "parties": {"maker": deal.maker, "outlet": deal.outlet},
            "entries": [_entry(display, each, assets) for each in entries],
            "with_statement": "statement" in fields,
            "with_pictures": "pictures" in fields,
        },
        assets=assets,
    )
    content = sheet_pdf(display.studio, page, [each.work for each in entries])
    pictures = [each for entry in entries for each in entry.pictures]
    return [
        Paper("entry-list.pdf", content, page.title),
        Paper("entry-list.csv", _csv(display, entries)),
        *(Paper(f"pictures/{each.name}", each.picture.content, display.say("pictures"))
          for each in pictures),
    ]  # fmt: skip


def _entry(display: Display, entry: Entry, assets: dict[str, bytes | Code]) -> dict[str, object]:
    say = display.say
    labels = {
        "medium": say("medium"),
        "insurance": say("insurance_value"),
        "maker": say("field_maker"),
    }
    rows = [
        (labels.get(field) or say(f"field_{field}"), text)
        for field, text in entry.fields.items()
        if field not in ("title", "number") and text
    ]
    return {
        "number": entry.work.number,
        "title": entry.work.title,
        "rows": rows,
        "statement": entry.statement,
        "files": [(each.name, _told(display, each.picture)) for each in entry.pictures],
        "photo": whole_view(display, entry.work, _PHOTO_MM, assets),
    }


def _told(display: Display, picture: Rendition) -> str:
    size = megabytes(len(picture.content))
    return display.say("pixels", width=picture.width, height=picture.height, size=size)


def _csv(display: Display, entries: Sequence[Entry]) -> bytes:
    fields, amount = [str(field) for field in display.outlet.rules.fields], display.phrases.amount
    rows = []
    for each in entries:
        known = {
            **each.fields,
            "statement": each.statement,
            "pictures": "; ".join(picture.name for picture in each.pictures),
            "insurance": amount(each.insured),
        }
        if each.work.for_sale:
            known["price"] = amount(price_of(each.work))
        rows.append([*(known[field] for field in fields), display.studio.currency])
    return csv_file(display.heads([*fields, "currency"]), rows)
