"""Papers of a gallery and a guild shop: W13, W14, shares, loss, terms, labels, condition report.

W14: 24 x 30 at 2,600 three times and 24 x 24 at 1,700 are 9,500; at 50 % the maker gets 4,750
(pauldorrell.com/blog/2007/06/08; the sum is our own). Loss: retail less commission, 1,200 at 40 %
is 720; 10 % off borne by the gallery: buyer 1,080, maker 720, gallery 360; shared: maker 648
(glasstips.blogspot.com 2008-10, arithmetic our own). W13, a guild's rule (cwsg.missouri.org, older
text): under 200 the price less commission, 180 at 20 % is 144; over 200 half, 320 is 160.
"""

import csv
import io
import re
from datetime import date

import page as page_validation
import pikepdf
import pypdfium2
import pypdfium2.raw as raw
import pytest
from PIL import Image

from provenance.build.outlets import outlet_papers
from provenance.figures.flow.gather import studio_flow
from provenance.public.border import Border
from provenance.records.book import read_book
from provenance.studio import Studio
from tests.papers.set_only import set_only

DAY = date(2026, 11, 20)
STUDIO = """
studio: Brackenfold
maker: Isla Wren
place: Eskrigg Dale
site: https://brackenfold.example
contact: {email: hello@brackenfold.example, phone: 01632 960001, post: "1 Wren Lane, Eskrigg Dale"}
public contact: [email]
labels for: [UK]
pay: {any: 18.00}
"""
CONSIGNED, CONDITION, LABELS = ["consignment.pdf"], ["condition.pdf"], ["wall-labels.pdf"]
YARNS = "plain: {fibre: wool, weight: 9 kg, cost: 0, colour: '#6f7a38'}\n"


def outlet(commission="50 %", terms="", kind="gallery"):
    return f"""
quay:
  kind: {kind}
  title: Quay Rooms
  place: The Quay, Sandrigg
  commission: {commission}
  contact: {{post: "Quay Rooms, 4 The Quay, Sandrigg", email: desk@quay.example}}
  terms: {{{terms}}}
"""


def piece(number, price, size="76 x 61 cm", more=""):
    return f"""
number: {number}
title: Piece {number[-1]}
kind: hanging
edition: one of a kind
structure: weft-faced plain weave
size: {size}
yarns: [{{use: weft, lot: plain, weight: 100 g}}]
hours: {{weaving: 10}}
photos: [{{file: one.jpg, view: whole, alt: "A striped cloth"}}]
price: {price}
at: quay
{more}
"""


@pytest.fixture
def made(write_studio):
    """`made(prices, outlets)`: the papers by name; `only` names the PDFs that are set."""

    def make(prices, outlets, only=None, **more):
        files = {
            "studio/studio.yaml": STUDIO,
            "studio/yarns.yaml": YARNS,
            "studio/outlets.yaml": outlets,
            **{f"2026-00{n}.yaml": piece(f"2026-00{n}", p) for n, p in enumerate(prices, 1)},
            **more,
        }
        folder = write_studio(files)
        (folder / "photos").mkdir(exist_ok=True)
        Image.new("RGB", (800, 1000), "#6f7a38").save(folder / "photos" / "one.jpg")
        book, problems = read_book(folder)
        assert [str(each) for each in problems] == []
        setting = Border(Studio(book, studio_flow(book), {}, DAY))
        with set_only(only):
            return {s.name: s.content for s in outlet_papers(setting, "quay").papers}

    return make


def pages(content):
    with pypdfium2.PdfDocument(content) as pdf:
        return [" ".join(p.get_textpage().get_text_range().split()) for p in pdf]


def rows(content):
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"))))


def test_four_pieces_at_half(made):
    found = made([2600, 2600, 2600, 1700], outlet(), CONSIGNED)
    text = " ".join(pages(found["consignment.pdf"]))
    assert text.count("Total, 4 pieces £9,500 £4,750 £4,750") == 2  # a copy for each
    assert "Maker's copy" in text and "Copy for Quay Rooms" in text
    cells = rows(found["consignment.csv"])
    assert [each["to the maker"] for each in cells] == ["1300.00", "1300.00", "1300.00", "850.00"]


def test_tax_on_a_commission_stands_in_its_column_and_in_the_terms(made):
    """1,200 at 40 % is 480, and 20 % of that 96: 576, which leaves 624."""
    taxed = outlet("40 %").replace("  contact", "  tax on commission: 20 %\n  contact")
    found = made([1200], taxed, CONSIGNED)
    text = " ".join(pages(found["consignment.pdf"]))
    assert "Total, 1 piece £1,200 £576 £624" in text
    assert "40 % of the retail price to the gallery, and 20 % tax on that commission" in text
    assert [row["to the maker"] for row in rows(found["consignment.csv"])] == ["624.00"]


def test_an_outlet_that_buys_gets_a_delivery_note(made):
    """Half of 485 is 242.50; nothing is left on consignment, so no statement is asked for."""
    shop = outlet("0 %", "payment: 30 days", "shop").replace("commission: 0 %", "wholesale: 50 %")
    found = made([485, 100], shop)
    assert {name for name in found if "consignment" in name or "statement" in name} == set()
    text = " ".join(pages(found["delivery.pdf"]))
    assert text.count("Total, 2 pieces £585 £292.50") == 2
    assert "The shop buys every piece listed here at 50 % of the retail price." in text
    assert "Within 30 days of delivery." in text
    assert "ommission" not in text
    assert [row["trade price"] for row in rows(found["delivery.csv"])] == ["242.50", "50.00"]


def test_a_delivery_note_counts_a_set(made):
    """Six at 20, bought at half: 60.00 for all, a line of the list for each."""
    shop = outlet("0 %", "payment: 30 days", "shop").replace("commission: 0 %", "wholesale: 50 %")
    napkins = piece("2026-001", 20, more="makes: 6").replace("edition: one of a kind\n", "")
    found = made([20], shop, ["delivery.pdf"], **{"2026-001.yaml": napkins})
    text = " ".join(pages(found["delivery.pdf"]))
    assert text.count("6 of them, £20 each") == 2  # a copy for each
    assert "£120" in text
    assert [row["trade price"] for row in rows(found["delivery.csv"])] == ["10.00"] * 6


def test_a_loss_is_paid_at_the_price_less_the_commission(made):
    found = made([1200], outlet("40 %"), CONSIGNED)
    (row,) = rows(found["consignment.csv"])
    assert (row["commission"], row["to the maker"], row["for a loss"]) == (
        "480.00", "720.00", "720.00",
    )  # fmt: skip
    text = pages(found["consignment.pdf"])[0]
    assert "The gallery pays the maker the retail price less the commission" in text


@pytest.mark.parametrize(
    ("who", "maker", "gallery"),
    [
        ("borne by the gallery", "£720", "£360"),
        ("shared", "£648", "£432"),
        ("borne by the maker", "£600", "£480"),
    ],
)
def test_ten_per_cent_off_by_whoever_bears_it(made, who, maker, gallery):
    found = made([1200], outlet("40 %", f"discount: '10 %, {who}'"), CONSIGNED)
    text = pages(found["consignment.pdf"])[0]
    said = f"the buyer would pay £1,080, the maker would get {maker} and the gallery {gallery}."
    assert said in text


def test_a_guilds_rule_for_losses(made):
    loss = "loss: 'price less commission, half the price over 200'"
    found = made([180, 320, 200], outlet("20 %", loss, "guild"))
    losses = [each["for a loss"] for each in rows(found["consignment.csv"])]
    assert losses == ["144.00", "160.00", "160.00"]  # 200 is not over 200: 200 less 20 %
    text = pages(found["consignment.pdf"])[0]
    assert "The guild pays the maker the sum in the last column" in text
    assert "half of the retail price above £200" in text


def test_from_a_limit_counts_the_limit_itself(made):
    loss = "loss: 'half the price from 200'"
    found = made([180, 200], outlet("20 %", loss, "guild"), [])
    assert [each["for a loss"] for each in rows(found["consignment.csv"])] == ["144.00", "100.00"]


def test_parties_terms_and_signatures(made):
    terms = (
        "term: 6 months, payment: 30 days, discount: none without consent, insured from: receipt,"
        " freight: each way by the sender, also: [No work is lent on]"
    )
    text = pages(made([780], outlet("45 %", terms), CONSIGNED)["consignment.pdf"])[0]
    for said in (
        "Isla Wren Brackenfold 1 Wren Lane, Eskrigg Dale 01632 960001 hello@brackenfold.example",
        "Quay Rooms 4 The Quay, Sandrigg desk@quay.example",
        "20 November 2026",
        "2026-001", "Piece 1, 2026", "100 % wool; weft-faced plain weave",
        "H 76 × W 61 cm (29 7/8 × 24 in)", "One of a kind",
        "£780 £351 £429 £429",
        "Term 6 months.",
        "Within 30 days of a sale",
        "Discount None without consent.",
        "The gallery insures every piece from receipt until it is returned or paid for",
        "Every piece stays the maker's until it has been paid for in full.",
        "Each way by the sender.",
        "No work is lent on.",
        "not legal advice", "check your local rules",
    ):  # fmt: skip
        assert said in text, said
    assert text.count("Signature") == 2 and text.count("Name, place, date") == 2


def test_terms_that_are_not_recorded_are_lines_to_fill_in(made):
    text = pages(made([780], outlet(), CONSIGNED)["consignment.pdf"])[0]
    assert re.search(r"Term From _+ to _+", text)
    assert re.search(r"Payment Within _+ days of a sale", text)
    assert re.search(r"borne by _+", text)


def test_a_piece_that_is_not_for_sale_has_no_share(made):
    lent = {"2026-002.yaml": piece("2026-002", 500, more="status: not for sale")}
    found = made([780], outlet(), [*CONSIGNED, *LABELS], **lent)
    text = pages(found["consignment.pdf"])[0]
    assert "Not for sale" in text and "Total, 2 pieces £780 £390 £390" in text
    label = pages(found["wall-labels.pdf"])[0]
    assert "£500" not in label and "Lent by the maker" in label
    assert rows(found["consignment.csv"])[1]["retail"] == ""


def test_cents_are_rounded_once_a_line_and_add_up(made):
    found = made([99.99, 99.99, 99.99], outlet("33.3 %"), CONSIGNED)
    cells = rows(found["consignment.csv"])
    assert {each["commission"] for each in cells} == {"33.30"}  # 33.29667
    text = pages(found["consignment.pdf"])[0]
    assert "Total, 3 pieces £299.97 £99.90 £200.07" in text


def test_wall_labels_in_museum_order_in_fourteen_points(made):
    found = made([780], outlet(), LABELS)
    with pypdfium2.PdfDocument(found["wall-labels.pdf"]) as pdf:
        text = pdf[0].get_textpage()
        signs = [text.get_text_range(i, 1) for i in range(text.count_chars())]
        sizes = [raw.FPDFText_GetFontSize(text.raw, i) for i in range(text.count_chars())]
    card = "".join(signs)
    start, end = card.index("Isla Wren"), card.index("£780") + 4
    order = ["Isla Wren", "Piece 1", "2026", "100 % wool", "H 76 × W 61 cm", "29 7/8 × 24 in"]
    places = [card.index(word, start) for word in order]
    assert places == sorted(places)
    assert min(s for s, sign in zip(sizes[start:end], signs[start:end], strict=True)
               if sign.strip()) >= 13.99  # fmt: skip
    assert "2026-001" in card[start:end]


def test_what_hangs_in_public_has_no_contact_code_or_address(made):
    found = made([780], outlet(), LABELS)
    label = " ".join(pages(found["wall-labels.pdf"]))
    for word in ("hello@", "01632", "Wren Lane", "https", "brackenfold.example", "BRACKENFOLD."):
        assert word not in label
    with pikepdf.open(io.BytesIO(found["wall-labels.pdf"])) as pdf:
        assert not any("/Annots" in page for page in pdf.pages)


def test_long_labels_grow_and_stay_whole(made):
    title = "The Long Evening Above the Intake Wall When the Hay Came Home"
    long = {"2026-002.yaml": piece("2026-002", 500).replace("Piece 2", title)}
    found = made([780], outlet(), LABELS, **long)
    text = " ".join(pages(found["wall-labels.pdf"]))
    assert title in text and "£500" in text


def test_the_condition_report_has_its_headings_and_boxes(made):
    text = pages(made([780], outlet(), CONDITION)["condition.pdf"])[0]
    for said in (
        "Fading; compare an area that was covered", "Stains, tide lines, damp",
        "Mould, musty smell", "Moth, grubs, holes eaten", "Fold marks, creases",
        "Selvedges and ends", "Loose sewing", "Missing parts", "Old repairs",
        "Leaving the studio", "On arrival", "On return", "Examined by", "Handed over by",
        "Received by", "2026-001", "Piece 1", "H 76 × W 61 cm", "100 % wool",
        "15 to 20 °C and 40 to 60 % relative humidity", "75 microwatts per lumen",
        "look it over twice each season", "for two weeks or at -30 °C for one",
    ):  # fmt: skip
        assert said in text, said


def test_a_report_for_each_piece_on_a_page_of_its_own(made):
    found = pages(made([780, 500], outlet(), CONDITION)["condition.pdf"])
    assert ["2026-001" in page for page in found] == [True, False]
    assert ["2026-002" in page for page in found] == [False, True]


def test_a_statement_asks_for_a_match(made):
    found = made([780, 500], outlet("40 %"), ["statement.pdf"])
    (text,) = pages(found["statement.pdf"])
    assert "Please compare, mark what is still there and what was sold" in text
    assert "Total, 2 pieces £1,280 £768" in text
    columns = ["number", "title", "retail", "commission", "to the maker", "here", "sold on",
               "sold for", "due to the maker", "currency"]  # fmt: skip
    assert list(rows(found["statement.csv"])[0]) == columns


def test_a_delivery_note_can_be_read_aloud(made, tmp_path):
    """PDF/UA-1, by page-validation; sheets of the other outlets are in test_read_aloud."""
    shop = outlet("0 %", "payment: 30 days", "shop").replace("commission: 0 %", "wholesale: 50 %")
    path = tmp_path / "delivery.pdf"
    path.write_bytes(made([485], shop, ["delivery.pdf"])["delivery.pdf"])
    assert list(page_validation.validate_pdf(str(path), profile="ua1").failures) == []


@pytest.mark.parametrize("name", ["consignment.pdf", "condition.pdf"])
def test_what_is_kept_is_archival(made, name):
    """PDF/A-3a and PDF/UA-1 claimed, tagged, all fonts embedded."""
    with pikepdf.open(io.BytesIO(made([780], outlet(), [name])[name])) as pdf:
        meta = str(pdf.Root.Metadata.read_bytes(), "utf-8")
        assert re.search(r"pdfaid:part\W+3", meta) and re.search(r"pdfuaid:part\W+1", meta)
        assert pdf.Root.MarkInfo.Marked
        for font in (each for each in pdf.objects if isinstance(each, pikepdf.Dictionary)):
            if font.get("/Type") == "/FontDescriptor":
                assert any(key in font for key in ("/FontFile", "/FontFile2", "/FontFile3"))


def test_letter_paper_and_black_only(made):
    letter = STUDIO + "tags: {sheet: Letter, black only: yes}\n"
    found = made([780], outlet(), **{"studio/studio.yaml": letter})
    for name, content in found.items():
        if name.endswith(".pdf"):
            with pypdfium2.PdfDocument(content) as pdf:
                assert pdf[0].get_size() == pytest.approx((612, 792), abs=0.1), name
                picture = pdf[0].render(scale=0.5).to_pil().convert("RGB")
                spread = max(max(c) - min(c) for _, c in picture.getcolors(1 << 20))
                assert spread <= 20, name  # greys that lean to brown; a yarn spreads over 30
