"""The record folder as a whole: what makers write is accepted, and nothing in it breaks a run."""

from __future__ import annotations

import os
from fractions import Fraction

import pytest

from provenance.figures.flow.gather import studio_flow
from provenance.figures.money.cost import cost_sheet
from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.records.book import read_book

STUDIO = """\
studio: Brackenfold
maker: Isla Wren
mark: a small wren, woven into the lower right corner
place: Eskrigg Dale
language: en-GB
currency: GBP
site: https://brackenfold.example
contact: {email: hello@brackenfold.example, phone: 01632 960001, post: "1 Wren Lane, Eskrigg Dale"}
public contact: [email]
labels for: [UK, EU]            # UK, EU, US: whose fibre-label rules to print
origin: Made in England
pay:                            # per hands-on hour
  any: 18.00
  weaving: 22.00
overhead: 15 %                  # of materials + labour; or "4.10 per hour"
profit: 10 %                    # on cost
heat: 0.45 per hour             # a simmering pot
every piece takes: {swing tag: 1, tissue: 1}
prices: {round up to: 5, shown on site: yes, tax: none}
week: 24 h                      # hands-on hours in a working week, for lead times
light: {lux: 150, hours a day: 10}      # the home wall that guidance is worked out for
"""
FLEECE = """\
gotland-2025:
  fibre: wool                   # a lawful fibre name: wool, mohair, alpaca, silk, linen, cotton ...
  breed: Gotland
  from: Low Eskrigg Farm
  shorn: 2025-06-18
  weight: 3.0 kg                # in the grease
  cost: 66.00                   # landed
  scoured: 55 %                 # what is left of the weight after each step
  carded: 92 %
  spun: 97 %
"""
DYESTUFFS = """\
weld:
  species: Reseda luteola       # ties it to the built-in reference
  part: dried tops
  got: grown, dye bed by the south wall, 2025
  weight: 900 g
  cost: 0
  hours: {gathering: 3}
madder: {species: Rubia tinctorum, part: ground root, got: bought from a dye supplier, weight: 1 kg, cost: 58.00}
"""  # noqa: E501
YARNS = """\
gotland-2ply:                   # spun here
  fleece: {gotland-2025: 2.0 kg}        # grease weight put in; several lots make a blend
  weight: 960 g                         # yarn that came out
  length: 2150 m
  plies: 2
  hours: {scouring: 1.5, carding: 9, spinning: 26, plying: 6, skeining: 1.5}
linen-warp:                     # bought
  fibre: linen
  from: a mill in Co. Down
  weight: 1 kg
  cost: 41.00
  count: 8/2 lea                # or length, or tex, Nm, yd/lb
"""
MORDANTS = """\
alum: {weight: 1 kg, cost: 9.50}
cream of tartar: {weight: 500 g, cost: 8.00}
"""
SUNDRIES = """\
swing tag: {each: 0.35}
hanging bar: {each: 6.80, material: oak}
lining: {fibre: cotton, length: 5 m, cost: 42.00}
"""
OUTLETS = """\
studio: {kind: studio, card fee: 1.75 %}
dale-fair: {kind: fair, dates: 2026-11-28 to 2026-11-29, place: Eskrigg hall, fees: {table: 60.00, travel: 25.00}, card fee: 1.75 %, tag: own}
harbour-gallery: {kind: gallery, commission: 45 %, tag: gallery, terms: {payment: 30 days, discount: none without consent, insured from: receipt}, contact: {post: ...}}
"""  # noqa: E501
BATH = """\
date: 2026-03-12
dyed:
  - {yarn: gotland-2ply, weight: 420 g, becomes: marsh-green}
steps:
  - mordants: {alum: 12 %, cream of tartar: 6 %}     # percentages are of the dry weight of fibre
    water: rain
    heat: 88 C for 1 h
  - dyes: {weld: 60 %}
    heat: 80 C for 45 min
  - dyes: {indigo: 4 %}
    dips: 2
  - after: {iron: 1 %}
hours: {mordanting: 0.75, dyeing: 2.5}
colour: "#6f7a38"               # or swatch: photos/swatches/marsh-green.jpg
notes: ...
"""
PIECE = """\
number: 2026-014
title: Saltmarsh
kind: hanging                   # hanging, rug, blanket, throw, shawl, scarf, runner ...
structure: weft-faced plain weave
finished: 2026-09-14
size: 124 x 86 cm               # height x width (x depth)
weight: 590 g
signed: wren mark, lower right
yarns:
  - {use: weft, lot: marsh-green, weight: 412 g}
  - use: weft                   # or written out in place, without keeping a dye book
    fleece: gotland-2025
    weight: 118 g
    mordants: {alum: 12 %, cream of tartar: 6 %}
    dyes: {madder: 50 %}
    hours: {carding: 1.5, spinning: 5, mordanting: 0.5, dyeing: 1}
  - {use: warp, lot: linen-warp, weight: 180 g, waste: 120 g}
sundries: {hanging bar: 1}
hours:
  design: 6
  warping: 4 h 30 min
  weaving:                      # a number, or a log
    - {on: 2026-08-03, for: 3 h 20 min}
    - {on: 2026-08-04, for: 5 h}
  finishing: 5
price: 1450                     # the maker's choice; never overwritten
at: harbour-gallery             # an outlet; without it the piece is in the studio
status: sold                    # in progress, available, reserved until 2026-12-01, sold ...
sale: {on: 2026-11-02, price: 1450, to: "Private collection, Leeds", buyer: {name: ..., email: ...}}
history:
  - {on: 2026-10-03, event: "Shown at the Dale Weavers' autumn show"}
photos:
  - {file: saltmarsh-front.jpg, view: whole, alt: "Tall hanging in olive and rust bands, hung on a limewashed wall"}
story: |
  Markdown, a few paragraphs.
care: ...                       # optional; replaces the worked-out wording
sett: {ends: 6 per cm, picks: 6 per cm}
"""  # noqa: E501
COMMISSION = """\
number: 2026-C03
client: {name: ..., email: ..., post: ...}
asked: 2026-10-30
like: 2026-014                  # a finished piece to scale from
sizes: [180 x 60 cm, 200 x 70 cm, 240 x 90 cm]     # height x width, as on pieces
sett: {ends: 6 per cm, picks: 6 per cm}             # when there is no piece to scale from
allow: {take-up: 5 %, shrink width: 12 %, shrink length: 10 %, loom waste: 70 cm, spare: 15 %}
yarn: {warp: linen-warp, weft: gotland-2ply}        # lots whose length or count is known
colours: [{lot: marsh-green, share: 60 %}, {near: "#8a2f2a", share: 40 %}]
extras: {design fee: 120, delivery: 40}
pay in: thirds                  # halves, thirds, or [40 %, 30 %, 30 %]
valid: 30 days
"""
WHOLE = {
    "studio/studio.yaml": STUDIO,
    "studio/fleece.yaml": FLEECE,
    "studio/dyestuffs.yaml": DYESTUFFS,
    "studio/yarns.yaml": YARNS,
    "studio/mordants.yaml": MORDANTS,
    "studio/sundries.yaml": SUNDRIES,
    "studio/outlets.yaml": OUTLETS,
    "dyebook/2026-03-marsh-green.yaml": BATH,
    "dyebook/marsh.yaml": None,
    "2026-014-saltmarsh.yaml": PIECE,
    "commissions/2026-C03.yaml": COMMISSION,
    "photos/saltmarsh-front.jpg": "",
}


@pytest.fixture
def book_of(studio_with):
    def read(changes):
        book, problems = read_book(studio_with(changes))
        return book, [told(problem, british()) for problem in problems]

    return read


def lacks(piece):
    return [british().tell(words) for words in piece.missing]


def test_a_studio_as_the_guide_describes_it_is_accepted_whole(studio_with, all_said):
    folder = studio_with(WHOLE)
    book, problems = read_book(folder)
    assert problems == ()
    assert all_said(folder).split("\n") == [
        "pieces/dyebook/2026-03-marsh-green.yaml:10:12: no dyestuff called 'indigo'",
        "    known here: weld, madder",
        "pieces/dyebook/2026-03-marsh-green.yaml:12:13: no mordant called 'iron'",
        "    known here: alum, cream of tartar, weld, madder",
        "pieces/studio/studio.yaml:18:35: no sundry called 'tissue'",
        "    known here: swing tag, hanging bar, lining",
    ]
    piece = book.pieces["2026-014"]
    assert sum(spent.hours for spent in piece.hours.values()) == Fraction(6 + 4.5 + 5 + 5) + (
        Fraction(10, 3)
    )
    assert not piece.is_draft


def test_short_forms_of_the_same_records(book_of):
    book, said = book_of(
        {
            "2026-014-saltmarsh.yaml": PIECE.replace(
                "status: sold ", "status: commission 2026-C03 "
            )
            .replace("at: harbour-gallery ", "at: dale-fair ")
            .replace("- {file: saltmarsh-front.jpg,", "- {file: photos/saltmarsh-front.jpg,"),
            "studio/studio.yaml": STUDIO.replace("15 % ", "4.10 per hour "),
            "commissions/2026-C03.yaml": COMMISSION.replace("thirds ", "[40 %, 30 %, 30 %] "),
        }
    )
    assert said == []
    assert book.pieces["2026-014"].status.commission == "2026-C03"
    assert book.studio.overhead == Fraction("4.10")
    assert book.commissions["2026-C03"].pay_in == (
        Fraction(40, 100), Fraction(30, 100), Fraction(30, 100),
    )  # fmt: skip


SHORTEST = """\
number: 2026-015
title: Ebb
kind: rug
size: 36 x 60 in
yarns:
  - {lot: linen-warp, weight: 1 lb 2 oz}
hours: 40
"""


def test_the_shortest_useful_piece(book_of):
    book, said = book_of({"2026-015-ebb.yaml": SHORTEST})
    assert said == []
    piece = book.pieces["2026-015"]
    assert lacks(piece) == ["a photo"]
    assert piece.can_be_costed
    assert {str(word): spent.hours for word, spent in piece.hours.items()} == {"making": 40}
    sheet = cost_sheet(book, studio_flow(book), piece)
    assert sheet.labour.value == 720
    assert sheet.materials.value == Fraction("20.92")  # 510.291 g of a kilogram for 41.00


def test_hours_as_one_log_and_photos_as_names(book_of):
    record = SHORTEST.replace(
        "hours: 40",
        "hours:\n  - {on: 2026-08-03, for: 3 h 20 min}\n  - {on: 2026-08-04, for: 5 h}\n"
        "photos: [front.jpg]",
    )
    book, said = book_of({"2026-015-ebb.yaml": record})
    assert said == []
    piece = book.pieces["2026-015"]
    assert piece.hours["making"].hours == Fraction(25, 3)
    assert [str(photo.file) for photo in piece.photos] == ["front.jpg"]


def test_a_studio_across_the_water(studio_with, all_said):
    """Pounds, ounces, inches and dollars; bought yarn only; words in capitals."""
    folder = studio_with(
        {
            "studio/studio.yaml": "studio: Low Tide\nmaker: Ada Holt\nlanguage: en-US\n"
            "currency: USD\nlabels for: us\npay: {any: $25}\n",
            "studio/fleece.yaml": None,
            "studio/dyestuffs.yaml": None,
            "studio/mordants.yaml": None,
            "studio/sundries.yaml": None,
            "studio/outlets.yaml": None,
            "dyebook/marsh.yaml": None,
            "studio/yarns.yaml": "fell-wool: {fibre: 80 % wool and 20 % nylon, "
            "weight: 2 lb 8 oz, cost: $72.50, count: 900 yd/lb}\n",
            "2026-014-saltmarsh.yaml": None,
            "2026-001-dune.yaml": "number: 2026-001\ntitle: Dune\nkind: Blanket\nsize: 5' x 3'6\"\n"
            "weight: 2 lb\nyarns:\n  - {use: warp and weft, lot: fell-wool, weight: 2 lb}\n"
            "hours: {weaving: 12:30, finishing: 1½}\nstatus: Available\nprice: $480\n",
        }
    )
    assert all_said(folder) == ""
    book, _ = read_book(folder)
    piece = book.pieces["2026-001"]
    assert (piece.kind, piece.state) == ("blanket", "available")
    assert (piece.size.height, piece.size.width) == (Fraction("152.4"), Fraction("106.68"))
    assert book.yarns["fell-wool"].fibre == {"wool": Fraction(4, 5), "nylon": Fraction(1, 5)}
    sheet = cost_sheet(book, studio_flow(book), piece)
    assert (sheet.materials.value, sheet.labour.value) == (58, 350)


def test_a_studio_with_decimal_commas(studio_with, all_said):
    folder = studio_with(
        {
            "studio/studio.yaml": "studio: Priel\nmaker: Wiebke Aal\nlanguage: de\ncurrency: EUR\n"
            "decimal comma: yes\npay: {any: 18,50}\noverhead: 12,5 %\n",
            "studio/fleece.yaml": "gotland-2025:\n  weight: 3,0 kg\n  cost: 66\n",
            "studio/yarns.yaml": "gotland-2ply:\n  fleece: {gotland-2025: 2 kg}\n  weight: 960 g\n"
            "linen-warp:\n  fibre: linen\n  weight: 1 kg\n  cost: 38,40 GBP at 1,16\n",
            "studio/sundries.yaml": "hanging bar: {each: 6,80}\n",
        }
    )
    assert all_said(folder) == ""
    book, _ = read_book(folder)
    assert book.fleece["gotland-2025"].weight == 3000
    assert book.yarns["linen-warp"].cost == Fraction("44.544")
    assert book.studio.pay_for("any") == Fraction("18.5")


def test_gathered_dyestuffs_need_no_weight_and_no_cost(studio_with, all_said):
    folder = studio_with(
        {"studio/dyestuffs.yaml": "weld: {species: Reseda luteola, got: gathered by the lane}\n"}
    )
    assert all_said(folder) == ""


def test_half_known_records_block_nothing(book_of):
    book, said = book_of({"2026-015-ebb.yaml": "number: 2026-015\ntitle: Ebb\nstory:\nprice: ~\n"})
    assert said == []
    assert lacks(book.pieces["2026-015"]) == ["a kind", "a size", "yarns", "hours", "a photo"]


def test_what_refers_to_a_broken_record_is_not_called_unknown(studio_with, all_said, small_studio):
    bath = small_studio["dyebook/marsh.yaml"].replace("alum: 12 %", "alum: 12")
    folder = studio_with({"dyebook/marsh.yaml": bath})
    assert all_said(folder) == (
        "pieces/dyebook/marsh.yaml:5:22: alum: '12' is an amount without a unit\n"
        "    write '12 %' or '12 g'"
    )
    folder = studio_with({"studio/yarns.yaml": "gotland-2ply: {\n"})
    assert "no lot called" not in all_said(folder)


def test_a_bath_has_bounds(book_of):
    entries = "".join(f"  - {{yarn: a, weight: 1 g, becomes: b{turn}}}\n" for turn in range(101))
    _, said = book_of({"dyebook/big.yaml": f"dyed:\n{entries}"})
    assert said == [
        "pieces/dyebook/big.yaml:1:1: more than 100 yarns in one bath\n    one file for each bath"
    ]


def test_a_word_in_the_wrong_place_is_shown_its_place(book_of):
    _, said = book_of(
        {
            "dyebook/flat.yaml": "dyes: {weld: 60 %}\n",
            "2026-015-ebb.yaml": "number: 2026-015\ntitle: Ebb\nalt: Tall hanging\n",
        }
    )
    assert said == [
        "pieces/2026-015-ebb.yaml:3:1: 'alt' does not stand here\n    it belongs under 'photos'",
        "pieces/dyebook/flat.yaml:1:1: 'dyes' does not stand here\n    it belongs under 'steps'",
    ]


def test_the_studio_itself_needs_no_outlet(studio_with, all_said, small_studio):
    piece = small_studio["2026-014-saltmarsh.yaml"] + "at: studio\n"
    folder = studio_with({"2026-014-saltmarsh.yaml": piece, "studio/outlets.yaml": ""})
    assert all_said(folder) == ""


def test_links_out_of_the_folder_are_not_followed(studio_with, all_said, tmp_path):
    folder = studio_with({})
    outside = tmp_path / "outside.yaml"
    outside.write_text("number: 2026-099\ntitle: Secret\n")
    (folder / "2026-099-x.yaml").symlink_to(outside)
    (folder / "photos" / "back.jpg").symlink_to(outside)
    (folder / "2026-098-loop.yaml").symlink_to(folder / "2026-098-loop.yaml")
    piece = folder / "2026-014-saltmarsh.yaml"
    piece.write_text(piece.read_text().replace("front.jpg", "back.jpg"))
    assert all_said(folder).split("\n") == [
        "pieces/2026-014-saltmarsh.yaml:10:12: 'back.jpg' is a link that leads out of the photos "
        "folder",
        "    put the photo itself into photos/",
        "pieces/2026-098-loop.yaml: this file leads out of the record folder",
        "    keep records in it",
        "pieces/2026-099-x.yaml: this file leads out of the record folder",
        "    keep records in it",
    ]


def test_a_link_inside_the_folder_is_a_file_like_any_other(studio_with, all_said):
    folder = studio_with({})
    (folder / "photos" / "x.jpg").symlink_to(folder / "photos" / "front.jpg")
    piece = folder / "2026-014-saltmarsh.yaml"
    piece.write_text(piece.read_text().replace("front.jpg", "x.jpg"))
    assert all_said(folder) == ""


def test_what_is_no_file_is_told(studio_with, all_said):
    folder = studio_with({"2026-020-x.yaml/inner.txt": ""})
    os.mkfifo(folder / "2026-021-x.yaml")
    assert all_said(folder).split("\n")[::2] == [
        "pieces/2026-020-x.yaml: this is not a file",
        "pieces/2026-021-x.yaml: this is not a file",
    ]


@pytest.mark.skipif(os.geteuid() == 0, reason="the administrator may read everything")
def test_a_file_that_may_not_be_read_is_told(studio_with, all_said):
    folder = studio_with({"2026-020-x.yaml": "number: 2026-020\ntitle: Ebb\n"})
    (folder / "2026-020-x.yaml").chmod(0)
    assert all_said(folder) == (
        "pieces/2026-020-x.yaml: this file can't be opened (permission denied)\n"
        "    see that you may read it"
    )


def test_names_in_any_letters_and_bytes(studio_with, all_said):
    folder = studio_with({"2026-020 Œuvre à côté.YAML": "number: 2026-020\ntitle: Ébauche\n"})
    (folder / os.fsdecode(b"2026-021-\xff.yaml")).write_text("number: 2026-021\n")
    said = all_said(folder)
    assert (
        said == "pieces/2026-021-\ufffd.yaml:1:1: no 'title' is given\n    add a line 'title: ...'"
    )
    assert read_book(folder)[0].pieces["2026-020"].title == "Ébauche"


def test_no_folder_and_an_empty_folder(tmp_path):
    book, problems = read_book(tmp_path / "nowhere")
    assert book is None
    assert [british().tell(problem.what) for problem in problems] == ["there is no such folder"]
    book, problems = read_book(tmp_path)
    assert book is not None
    assert [british().tell(problem.what) for problem in problems] == ["there is no studio file"]
