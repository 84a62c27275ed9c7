"""Papers for the maker's binder: cost sheet, dye book, stock. Read back with PDFium.

W9 (own arithmetic): materials 23.30, 32 h at 22 = 704.00, overhead 15 % = 109.10, cost 836.40.
"""

import re
from datetime import date

import pypdfium2
import pytest

from provenance.build.opening import open_studio
from provenance.public.border import Border
from provenance.reports.cost import cost_report
from provenance.reports.dye_book import dye_book, used_in
from provenance.reports.stock import stock_report
from provenance.reports.writers.paper import as_paper

DAY = date(2026, 11, 20)
FILES = {
    "studio/studio.yaml": """
studio: Brackenfold
maker: Isla Wren
pay: {any: 22.00}
overhead: 15 %
profit: 10 %
""",
    "studio/fleece.yaml": """
raw: {fibre: wool, weight: 3.0 kg, cost: 66.00, scoured: 55 %, carded: 92 %, spun: 97 %}
""",
    "studio/sundries.yaml": "dye: {each: 6.40}\nwater: {each: 1.80}\ntag: {each: 1.20}\n",
    "studio/outlets.yaml": "fair: {kind: fair, card fee: 3 %}\n",
    "studio/yarns.yaml": "two-ply: {fibre: wool, weight: 900 g, cost: 20, colour: '#ece2ca'}\n",
    "studio/dyestuffs.yaml": """
weld: {species: Reseda luteola, weight: 900 g, cost: 0}
blue: {species: Indigofera tinctoria, weight: 100 g, cost: 12}
""",
    "studio/mordants.yaml": "alum: {weight: 1 kg, cost: 9.50}\nhydros: {weight: 100 g, cost: 4}\n",
    "dyebook/gold.yaml": """
date: 2026-03-12
dyed: [{yarn: two-ply, weight: 100 g, becomes: gold}]
steps:
  - {mordants: {alum: 12 %}, heat: 85 C for 1 h}
  - {dyes: {weld: 60 %}, heat: 80 C for 45 min}
colour: "#c3a23c"
""",
    "dyebook/green.yaml": """
date: 2026-04-12
dyed: [{yarn: gold, weight: 40 g, becomes: moss}]
steps: [{dyes: {blue: 4 %}, mordants: {hydros: 2 %}, dips: 2}]
colour: "#6f7a38"
""",
    "2026-001.yaml": """
number: 2026-001
title: Shawl
kind: shawl
finished: 2026-08-01
size: 180 x 60 cm
yarns: [{use: weft, fleece: raw, weight: 310 g}]
sundries: {dye: 1, water: 1, tag: 1}
hours: {weaving: 14, carding: 3, finishing: 15}
price: 680
""",
}


@pytest.fixture
def border(write_studio):
    studio = open_studio(write_studio(FILES), DAY)
    assert studio.mistakes == ()
    return Border(studio)


def filed(report, border):
    """Its name on paper, and all its words."""
    return report.filed.name, text_of(as_paper(report, report.filed, border))


def text_of(content):
    with pypdfium2.PdfDocument(content) as pdf:
        return " ".join(" ".join(p.get_textpage().get_text_range().split()) for p in pdf)


def test_the_cost_sheet_of_the_worked_shawl(border):
    name, text = filed(cost_report(border.studio.piece("2026-001")), border)
    assert name == "cost-2026-001"
    for said in (
        "Raw fleece, in the grease", "13.90", "Dye 1 6.40", "Materials 23.30", "Work 32 704.00",
        "Overhead, 15 % of materials and work 109.10", "Cost 836.40",
        "Worked-out price: cost and 10 % profit 920.04", "Your price 680.00",
        "Fair 0.00 20.40 659.60 16.48 862.27",
    ):  # fmt: skip
        assert said in text, said


def test_its_workings_lead_to_the_line_of_the_record(border):
    report = cost_report(border.studio.piece("2026-001"), explain=True)
    text = filed(report, border)[1].replace("- ", "-")
    assert "worked-out price: 920.04 =" in text and "overhead: 109.10 =" in text
    assert re.search(r"cost of raw: 66\.00 \(pieces/studio/fleece\.yaml: ?2\)", text)


def test_the_dye_book_in_order_of_hue_with_neighbours(border):
    text = text_of(dye_book(border).content)
    assert text.index("Gold ") < text.index("Moss ")
    assert "12 March 2026" in text and "Alum 12 %: 85 °C for 1 h" in text
    assert "Weld 60 %: 80 °C for 45 min" in text
    moss = text[text.index("12 April 2026") - 400 :]
    assert "Hydros 2 %, blue 4 %: 2 dips" in moss
    assert re.search(r"Nearest Gold \d+\.\d", text) and re.search(r"Nearest Moss \d+\.\d", text)


def test_both_neighbours_are_equally_far(border):
    far = re.findall(r"Nearest \w+ (\d+\.\d)", text_of(dye_book(border).content))
    assert len(far) == 2 and far[0] == far[1]


def test_cautions_name_their_sources(border):
    assert used_in(border) == ("alum", "Reseda luteola", "hydros", "Indigofera tinctoria")
    text = text_of(dye_book(border).content)
    assert "Alum Irritating dust; keep from children. Disposal:" in text
    assert "experts123.com" in text
    assert "International Chemical Safety Card, 1717" in text
    assert "Powders Weigh every powder in still air" in text
    assert "follow the supplier's safety sheet and your local codes" in text


def test_the_stock_adds_up_on_paper(border):
    name, text = filed(stock_report(border.studio, DAY), border)
    assert name == "stock-2026-11-20"
    assert "Stock in the evening of 20 November 2026" in text
    first = text[: text.index("Cost is what was paid")]
    sums = re.findall(r"(?:Raw materials|Yarn and dyed lots|Finished here) \d+ ([\d.]+)", first)
    (whole,) = re.findall(r"Stock \d+ ([\d.]+)", first)
    assert len(sums) == 3 and sum(map(float, sums)) == pytest.approx(float(whole))
    assert "2026-001 Shawl H 180 × W 60 cm (70 7/8 × 23 5/8 in) Studio none 680.00 23.30" in text
    assert "ask your accountant" in text
