"""The quotation on paper: what stands on it, what never does, read back by PDFium and pikepdf."""

import io
import re
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import numpy as np
import pikepdf
import pypdfium2
import pytest
import zxingcpp

from provenance.figures.flow.gather import studio_flow
from provenance.figures.quotation.card import stand_card
from provenance.figures.quotation.quote import quote
from provenance.language.phrases import british
from provenance.papers.format import Format
from provenance.papers.quotations import paper as client_door
from provenance.papers.quotations.stand_card import card_pdf
from provenance.problems import Slip
from provenance.public.border import Border
from provenance.public.quotation.card import card_of, in_round_money
from provenance.public.quotation.client import ClientPaper, client_paper
from provenance.records.book import read_book
from provenance.records.issued import as_kept, from_kept
from provenance.reports.quote import quote_report
from provenance.reports.writers.paper import as_paper
from provenance.studio import Studio
from tests.papers.letters_on import palest, smallest

DEMO = Path(__file__).parents[2] / "pieces"
TODAY = date(2026, 11, 25)
A4 = Format()


def quotation_pdf(border, found, sheet):
    return client_door.quotation_pdf(border.house, client_paper(border, found), sheet)


def workings_pdf(border, found, sheet):
    report = quote_report(found)
    return as_paper(report, report.filed, border, sheet)


STUDIO = """
studio: Brackenfold
maker: Isla Wren
place: Eskrigg Dale
contact: {email: hello@brackenfold.example}
pay: {any: 37.61}
overhead: 13 %
profit: 7 %
prices: {round up to: 5}
week: 23 h
"""
PIECE = """
number: 2026-001
title: Fell Light
kind: shawl
structure: plain weave
finished: 2026-08-01
size: 190 x 60 cm
weight: 311 g
sett: {ends: 6 per cm, picks: 6 per cm}
yarns: [{use: weft, lot: grey, weight: 160 g}, {use: warp, lot: grey, weight: 170 g}]
hours: {weaving: 19, finishing: 4}
price: 640
notes: ZZNOTEOFPIECE
"""
COMMISSION = """
number: 2026-C07
client: {name: Ada Fellgate, post: 3 Larch Row, email: zzclientmail@ada.example, notes: ZZCLIENT}
asked: 2026-11-10
title: A shawl like Fell Light
like: 2026-001
sizes: [180 x 60 cm, 200 x 70 cm]
colours: [{near: "#8a2f2a", share: 40 %}, {lot: grey, share: 60 %}]
yarn: {weft: grey, warp: grey}
offer: [823, 1011]
extras: {design fee: 119, delivery: 41}
pay in: thirds
notes: ZZSECRETNOTE
words: Thank you for asking.
"""
RECORDS = {
    "studio/studio.yaml": STUDIO,
    "studio/fleece.yaml": "gotland: {breed: Gotland, from: 'Farm, ZZFARMROAD', weight: 3 kg, "
    "cost: 66, notes: ZZFLEECE}\n",
    "studio/yarns.yaml": "grey: {fleece: {gotland: 2 kg}, weight: 980 g, length: 4000 m, "
    "hours: {spinning: 21}, kept: ZZSHELF, notes: ZZYARN}\n",
    "2026-001.yaml": PIECE,
    "commissions/2026-C07.yaml": COMMISSION,
}


@pytest.fixture
def worked(write_studio):
    """`worked(name=text)`: the setting and the quotation of a studio with some records changed."""

    def work_out(today=TODAY, **changed):
        book, problems = read_book(write_studio({**RECORDS, **changed}))
        assert [str(p) for p in problems if not p.is_remark] == []
        flow = studio_flow(book)
        found = quote(book, flow, book.commissions["2026-C07"], today, {})
        return Border(Studio(book, flow, {}, today)), found

    return work_out


def text_of(content: bytes) -> str:
    document = pypdfium2.PdfDocument(content)
    pages = (page.get_textpage().get_text_bounded() for page in document)
    return re.sub(r"\s+", " ", " ".join(pages))


def pages(content: bytes) -> int:
    return len(pypdfium2.PdfDocument(content))


def all_bytes(content: bytes) -> bytes:
    """Every stream of a PDF unpacked, and what stands outside streams."""
    with pikepdf.open(io.BytesIO(content)) as document:
        streams = [
            each.read_bytes() for each in document.objects
            if isinstance(each, pikepdf.Stream) and each.get("/Subtype") != "/Image"
        ]  # fmt: skip
        return b"\n".join([*streams, str(document.docinfo).encode(), document.open_metadata()
                           .__str__().encode()])  # fmt: skip


def test_what_stands_on_the_clients_paper(worked):
    setting, found = worked()
    text = text_of(quotation_pdf(setting, found, A4))
    for words in (
        "2026-C07", "A shawl like Fell Light", "Ada Fellgate, 3 Larch Row",
        "Holds until 25 December 2026", "Thank you for asking.",
        "Shawl in plain weave, after Fell Light (2026-001)",
        "Weft of Gotland, spun by hand; warp of Gotland, spun by hand",
        "H 180 × W 60 cm", "70 7/8 × 23 5/8 in", "H 200 × W 70 cm",
        "£823", "£1,011", "Design fee £119 £119", "Delivery £41 £41", "£983", "£1,171",
        "with the order £328 £390", "when half is woven £328 £390",
        "when it is finished £327 £391",
        "up to 5 % more or less (9 × 3 cm and 10 × 3.5 cm)",
        "Delivery is in the sum above.", "I keep the design fee and return the rest",
        "Isla Wren, hello@brackenfold.example", "Signature",
        "I order the size ticked, on the terms overleaf.",
    ):  # fmt: skip
        assert words in text, words
    assert "lapsed" not in text


def test_the_parts_add_up_on_the_paper(worked):
    setting, found = worked()
    text = text_of(quotation_pdf(setting, found, A4))
    lines = re.findall(r"(?:with the order|half is woven|is finished) £([\d.,]+) £([\d.,]+)", text)
    sums = [sum(Decimal(line[at].replace(",", "")) for line in lines) for at in (0, 1)]
    assert (len(lines), sums) == (3, [Decimal(983), Decimal(1171)])


@pytest.mark.parametrize("sheet", [A4, Format("Letter", is_black=True)])
def test_price_ticks_and_signature_are_on_the_first_page_and_terms_on_the_second(worked, sheet):
    long = COMMISSION.replace("Thank you for asking.", "Thank you for asking. " * 40)
    setting, found = worked(**{"commissions/2026-C07.yaml": long})
    content = quotation_pdf(setting, found, sheet)
    first, second = pypdfium2.PdfDocument(content)
    front, back = (" ".join(page.get_textpage().get_text_range().split())
                   for page in (first, second))  # fmt: skip
    for words in ("£983", "£1,171", "weeks Tick I order the size ticked", "Signature", "Ready in"):
        assert words in front and words not in back, words
    for words in ("What is agreed", "Included", "up to 5 %", "Changing your mind"):
        assert words in back and words not in front, words
    assert smallest(content) >= 8
    assert palest(content) == 0


def test_a_single_size_is_ordered_without_a_choice(worked):
    one = COMMISSION.replace(", 200 x 70 cm", "").replace("[823, 1011]", "823")
    setting, found = worked(**{"commissions/2026-C07.yaml": one})
    text = text_of(quotation_pdf(setting, found, A4))
    assert "I order this, on the terms overleaf." in text
    assert "Sign and send it back" in text and "Tick a size" not in text


def test_it_holds_from_the_day_it_is_sent_not_from_the_day_it_was_asked_for(worked):
    later = date(2026, 12, 20)
    setting, found = worked(today=later)  # asked on 10 November, valid 30 days
    text = text_of(quotation_pdf(setting, found, A4))
    assert "Holds until 19 January 2027" in text and "lapsed" not in text


def test_an_issue_kept_by_an_earlier_version_is_printed_again(worked):
    """What is kept has no word yet for the kind of work."""
    setting, found = worked()
    kept = as_kept(client_paper(setting, found))
    del kept["kind"]
    content = client_door.quotation_pdf(setting.house, from_kept(ClientPaper, kept), A4)
    assert "£983" in text_of(content) and pages(content) == 2


CANARIES = ("ZZ", "zz")


def test_no_cost_hour_or_pay_reaches_the_client(worked):
    """Neither the maker's notes nor any figure of cost, hours or pay is anywhere in the file."""
    setting, found = worked()
    content = quotation_pdf(setting, found, A4)
    raw, text = all_bytes(content), text_of(content)
    for canary in CANARIES:
        assert canary.encode() not in raw
        assert canary not in text
    phrases = setting.phrases
    for option in found.options:
        private = [
            *(cost.cost for cost in option.costs.values()),
            *(cost.price for cost in option.costs.values()),
            *(cost.labour for cost in option.costs.values()),
            option.costs["likely"].materials,
            *(earned for earned in option.earns.values() if earned),
        ]
        for figure in private:
            assert phrases.money(figure.value) not in text, figure.what
        for hours in (option.hours.low, option.hours.likely, option.hours.high):
            assert phrases.hours(hours) not in text
            assert str(float(hours)) not in text
    assert "37.61" not in text
    assert "hour" not in text.lower()
    assert not re.search(r"\d h\b", text)


def test_the_words_for_the_client_are_an_allow_list(worked):
    """What the template is given holds no figure of cost or hours, even unprinted."""
    setting, found = worked()
    given = repr(client_paper(setting, found))
    assert "Cost(" not in given
    assert "Figure(" not in given
    assert "ZZ" not in given


def test_the_makers_sheet_tells_what_the_client_may_not_see(worked):
    setting, found = worked()
    text = text_of(workings_pdf(setting, found, A4))
    money, hours = setting.phrases.money, setting.phrases.hours
    assert "For the maker alone. Not for the client." in text
    for option in found.options:
        likely = option.costs["likely"]
        sums = (likely.materials, likely.labour, likely.overhead, likely.cost, likely.price)
        for figure in (*sums, *option.earns.values()):
            assert money(figure.money()) in text, figure.what
        assert hours(option.hours.likely) in text
        assert f"{hours(option.hours.low)} – {hours(option.hours.high)}" in text
        assert f"{setting.phrases.number(option.plan.yarn_with_spare.value, 1)} m" in text
    assert "1 finished piece of every kind and structure" in text
    assert "Check your local law" in text
    assert "As 2026-001 is priced, by area £606.32" in text
    assert "take-up 10 %" in text  # our default, since the record does not say


def test_check_your_local_law_is_the_makers_business(worked):
    setting, found = worked()
    text = text_of(quotation_pdf(setting, found, A4))
    assert "local law" not in text
    assert "None of this takes away what the law gives you." in text


def test_a_lapsed_quotation_says_so(worked):
    sent = COMMISSION.replace("asked:", "quoted:")
    setting, found = worked(today=date(2027, 1, 15), **{"commissions/2026-C07.yaml": sent})
    text = text_of(quotation_pdf(setting, found, A4))
    assert "This quotation lapsed on 10 December 2026. Ask, and it is worked out anew." in text
    assert "Holds until" not in text


def test_one_size_one_payment_no_extras(worked):
    plain = COMMISSION.replace(", 200 x 70 cm", "").replace("[823, 1011]", "823")
    plain = plain.replace("pay in: thirds", "pay in: one")
    plain = plain.replace("extras: {design fee: 119, delivery: 41}\n", "")
    setting, found = worked(**{"commissions/2026-C07.yaml": plain})
    text = text_of(quotation_pdf(setting, found, A4))
    assert "In all £823" in text
    assert "with the order" not in text
    assert "Delivery is not in it" in text
    assert "I keep what the drawing and the yarn for it have taken" in text


def test_tax_is_shown_as_set(worked):
    studio = STUDIO.replace("prices: {", "prices: {tax: included 20 %, ")
    setting, found = worked(**{"studio/studio.yaml": studio})
    text = text_of(quotation_pdf(setting, found, A4))
    assert "20 % tax within it £163.83 £195.17" in text
    studio = STUDIO.replace("prices: {", "prices: {tax: added 8 %, ")
    setting, found = worked(**{"studio/studio.yaml": studio})
    text = text_of(quotation_pdf(setting, found, A4))
    assert "plus 8 % tax £78.64 £93.68 In all £1,061.64 £1,264.68" in text


def test_american_english_has_inches_first(worked):
    studio = STUDIO + "language: en-US\ncurrency: USD\n"
    setting, found = worked(**{"studio/studio.yaml": studio})
    text = text_of(quotation_pdf(setting, found, Format("Letter")))
    assert text.index("70 7/8 × 23 5/8 in") < text.index("H 180 × W 60 cm")
    assert "$823" in text
    assert "3.5 × 1.2 in" in text


def test_an_offer_to_the_us_says_where_it_is_made(worked):
    """16 CFR 303.34: made in U.S.A., imported, or both, in words of that meaning."""
    for markets, said in (("[UK]", False), ("[UK, US]", True)):
        more = f"origin: Made in England\nlabels for: {markets}\n"
        setting, found = worked(**{"studio/studio.yaml": STUDIO + more})
        text = text_of(quotation_pdf(setting, found, A4))
        assert ("Origin Made in England; for buyers in the US: imported" in text) == said


@pytest.mark.parametrize("make", [quotation_pdf, workings_pdf])
@pytest.mark.parametrize("sheet", [A4, Format("Letter"), Format("A4", is_black=True)])
def test_papers_are_archival_and_the_same_each_time(worked, make, sheet):
    setting, found = worked()
    content = make(setting, found, sheet)
    assert content == make(setting, found, sheet)
    assert pages(content) <= 2
    with pikepdf.open(io.BytesIO(content)) as document:
        with document.open_metadata() as about:
            assert (about["pdfaid:part"], about["pdfaid:conformance"]) == ("3", "A")
            assert about["pdfuaid:part"] == "1"
        width = float(document.pages[0].mediabox[2])
    assert width == pytest.approx({"A4": 595.28, "Letter": 612}[sheet.name], abs=0.1)


def test_in_black_only_no_colour_is_left(worked):
    setting, found = worked()
    page = pypdfium2.PdfDocument(quotation_pdf(setting, found, Format("A4", is_black=True)))[0]
    pixels = np.asarray(page.render(scale=1).to_pil().convert("RGB"), dtype=int)
    selvedge = pixels[:, :28]
    assert (pixels.max(axis=2) - pixels.min(axis=2)).max() < 32  # warm greys of the ink, no colour
    assert selvedge.min() < 60 < 250 < selvedge.max()  # hatched, not blank


# -------------------------------------------------------------------------------- the demo


@pytest.fixture(scope="module")
def demo():
    book, _ = read_book(DEMO)
    flow = studio_flow(book)
    return Border(Studio(book, flow, {}, TODAY)), book, flow


@pytest.mark.parametrize("number", ["2026-C01", "2026-C02", "2026-C03"])
def test_the_demos_papers_are_one_or_two_pages(demo, number):
    setting, book, flow = demo
    found = quote(book, flow, book.commissions[number], TODAY, {})
    client = quotation_pdf(setting, found, A4)
    assert pages(client) <= 2
    assert pages(workings_pdf(setting, found, A4)) <= 2
    text = text_of(client)
    for option in found.options:
        assert setting.phrases.money(option.offer.price.value) in text
        assert setting.phrases.size_cm(option.size) in text
    notes = str(book.commissions[number].notes or "")
    assert not notes or notes not in text


def test_the_card_is_one_a6_page_without_hours_cost_or_pay(demo):
    setting, book, flow = demo
    rows = stand_card(book, flow, TODAY, {})
    content = card_pdf(setting.house, card_of(setting, rows))
    document = pypdfium2.PdfDocument(content)
    assert len(document) == 1
    assert document[0].get_size() == pytest.approx((297.64, 419.53), abs=0.1)  # 105 x 148 mm
    text = text_of(content)
    money = setting.phrases.money
    assert not re.search(r"£[\d,]+ (?:to|-|–) £", text)  # no range: a buyer hears one number
    for row in rows:
        asked = in_round_money(row.least.value)
        assert f"from {money(asked)}" in text
        assert asked <= row.least.value and row.least.value - asked < 50
        for cost in row.option.costs.values():
            assert money(cost.cost.value) not in text
            assert money(cost.price.value) not in text
    assert "hour" not in text.lower()
    assert smallest(content) >= 10
    assert palest(content) == 0
    for words in ("Isla Wren", "hello@brackenfold.example", "brackenfold.example", "3 weeks"):
        assert words in text
    assert "01632" not in text  # not among the public contacts
    shown = document[0].render(scale=200 / 72, grayscale=True).to_pil()
    assert [code.text for code in zxingcpp.read_barcodes(shown)] == ["HTTPS://BRACKENFOLD.EXAMPLE/"]


@pytest.mark.parametrize(
    ("price", "round_one"),
    [
        ("19.6", 19),
        ("99", 95),
        ("487", 480),
        ("980", 950),
        ("1450", 1450),
        ("2399", 2300),
        ("0.8", Fraction("0.8")),
    ],
)
def test_round_money_is_said_across_a_table(price, round_one):
    assert in_round_money(Fraction(price)) == round_one


def test_a_studio_with_nothing_finished_gets_no_card(demo):
    setting, _, _ = demo
    with pytest.raises(Slip) as refused:
        card_pdf(setting.house, card_of(setting, []))
    said = british().tell(refused.value.what)
    assert said == "no finished piece has all that a card needs"
