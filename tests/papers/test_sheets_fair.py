"""Sheets of a fair: W11, two copies, the same numbers and prices as on tags and pages, privacy.

Break-even: booth 250, jury 40, travel 60, average sale 48 at 3 % card fee, materials 12: 11 pieces
(own arithmetic: 350 / (48 x 0.97 - 12) = 350 / 34.56 = 10.13, rounded up). Texts are read back
with PDFium, which had no part in writing them.
"""

import csv
import io
import re
from datetime import date

import pypdfium2
import pytest
from PIL import Image

from provenance.build.outlets import choose, outlet_papers
from provenance.build.tags import Wishes, print_tags
from provenance.figures.flow.gather import studio_flow
from provenance.language.phrases import british
from provenance.problems import Slip
from provenance.public.border import Border
from provenance.records.book import read_book
from provenance.studio import Studio
from tests.papers.kept_papers import keep, kept
from tests.papers.set_only import set_only

tell = british().tell
DAY = date(2026, 11, 20)
STUDIO = """
studio: Brackenfold
maker: Isla Wren
place: Eskrigg Dale
site: https://brackenfold.example
contact: {email: hello@brackenfold.example, phone: 01632 960001, post: "1 Wren Lane"}
public contact: [email]
labels for: [UK]
pay: {any: 18.00}
"""
YARNS = "plain: {fibre: wool, weight: 9 kg, cost: 0, colour: '#6f7a38'}\n"
SUNDRIES = "kit: {each: 12.00}\n"
FAIR = """
wool-fair:
  kind: fair
  dates: 2026-11-28 to 2026-11-29
  place: Eskrigg hall
  fees: {booth: 250, jury: 40, travel: 60}
  card fee: 3 %
"""
PRICES = {"2026-001": 40, "2026-002": 56, "2026-003": 48, "2026-004": 48}
KINDS = {"2026-001": "scarf", "2026-002": "shawl", "2026-003": "scarf", "2026-004": "rug"}


def piece(number, at="at: wool-fair", price="", kind=""):
    price = price or f"price: {PRICES.get(number, 48)}"
    kind = kind or KINDS.get(number, "scarf")
    return f"""
number: {number}
title: Piece {number[-1]}
kind: {kind}
size: 180 x 28 cm
yarns: [{{use: weft, lot: plain, weight: 100 g}}]
sundries: {{kit: 1}}
hours: {{weaving: 10}}
photos: [{{file: one.jpg, alt: "A striped cloth"}}]
{price}
{at}
"""


def opened(folder, write, outlets=FAIR, **changes):
    """The studio as the records there say, some of them changed."""
    files = {
        "studio/studio.yaml": STUDIO,
        "studio/yarns.yaml": YARNS,
        "studio/sundries.yaml": SUNDRIES,
        "studio/outlets.yaml": outlets,
        **{f"{number}.yaml": piece(number) for number in PRICES},
        **changes,
    }
    write(folder, {name: text for name, text in files.items() if text})
    (folder / "photos").mkdir(exist_ok=True)
    Image.new("RGB", (800, 1000), "#6f7a38").save(folder / "photos" / "one.jpg")
    book, problems = read_book(folder)
    assert [str(each) for each in problems] == []
    return Border(Studio(book, studio_flow(book), {}, DAY))


@pytest.fixture
def studio(write_studio_in, tmp_path):
    return lambda *outlets, **changes: opened(
        tmp_path / "pieces", write_studio_in, *outlets, **changes
    )


@pytest.fixture(scope="module")
def usual(write_studio_in, once):
    """The sheets of the studio as it stands above, printed once for all workers."""
    return kept(
        once(
            "sheets of a fair",
            lambda into: keep(sheets_of(opened(into / "pieces", write_studio_in)), into),
        )
    )


def sheets_of(setting, only=None):
    """The sheets by name; `only` names the PDFs that are set."""
    with set_only(only):
        return {s.name: s.content for s in outlet_papers(setting, "wool-fair").papers}


def private(setting):
    """The words of the maker's own sheet."""
    return " ".join(pages(sheets_of(setting, ["private-fair.pdf"])["private-fair.pdf"]))


def listed(setting):
    """The words of the price list, page by page."""
    return pages(sheets_of(setting, ["price-list.pdf"])["price-list.pdf"])


def pages(content):
    with pypdfium2.PdfDocument(content) as pdf:
        return [" ".join(p.get_textpage().get_text_range().split()) for p in pdf]


def rows(content):
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"))))


def test_eleven_pieces_pay_for_the_fair(usual):
    found = " ".join(pages(usual["private-fair.pdf"]))
    assert "11 pieces Pieces to sell before the fair pays" in found
    assert "£350 ÷ (£48 × 0.97 − £12), rounded up" in found


def test_a_fair_that_can_never_pay_says_so(studio):
    dear = FAIR.replace("card fee: 3 %", "card fee: 80 %")
    found = private(studio(dear))
    assert "No number of pieces: an average piece leaves nothing after its materials." in found


def test_a_fair_without_fees_pays_from_the_first(studio):
    free = FAIR.replace("  fees: {booth: 250, jury: 40, travel: 60}\n", "")
    found = private(studio(free))
    assert "No fees are noted: every sale pays." in found
    assert "rounded up" not in found


def test_net_and_hourly_at_this_fair(usual):
    """48 less 3 % is 46.56; less materials 12.00, over 10 h: 3.456."""
    found = {row["number"]: row for row in rows(usual["private-fair.csv"])}
    assert found["2026-003"] == {
        "number": "2026-003", "title": "Piece 3", "price": "48.00", "card fee": "1.44",
        "commission": "0.00", "net": "46.56", "materials": "12.00", "hours": "10",
        "hourly return": "3.4560", "currency": "GBP",
    }  # fmt: skip


def test_what_the_fair_brought_once_sales_are_noted(studio):
    """40 sold: 38.80 after the card fee, less 350 of fees: -311.20."""
    sold = piece("2026-001", at="at: wool-fair\nstatus: sold\nsale: {on: 2026-11-28, price: 40}")
    found = private(studio(**{"2026-001.yaml": sold}))
    assert "Sold here so far 1 piece £40 £38.80 -£311.20 10 h" in found


def test_the_inventory_is_printed_twice_and_adds_up(usual):
    first, second = pages(usual["inventory.pdf"])
    assert "Studio copy" in first and "Organiser's copy" in second
    for page in (first, second):
        assert re.findall(r"2026-00\d", page) == sorted(PRICES)
        assert re.findall(r"£\d+", page) == ["£40", "£56", "£48", "£48", "£192"]
        assert "Total, 4 pieces £192" in page


def test_the_csv_beside_it_has_decimal_strings(usual):
    content = usual["inventory.csv"]
    assert content.startswith(b"\xef\xbb\xbfnumber,title,kind,fibre,price,state,currency\r\n")
    assert rows(content)[1] == {
        "number": "2026-002", "title": "Piece 2", "kind": "Shawl", "fibre": "100 % wool",
        "price": "56.00", "state": "available", "currency": "GBP",
    }  # fmt: skip


def test_a_helper_finds_a_piece_by_kind_then_price(usual):
    (page,) = pages(usual["price-list.pdf"])
    assert re.findall(r"2026-00\d", page) == ["2026-004", "2026-002", "2026-001", "2026-003"]
    assert "H 180 × W 28 cm (70 7/8 × 11 in)" in page
    assert "Cash or card." in page and "How to pay" in page


def test_the_price_list_speaks_of_stubs_only_where_tags_have_them(usual, studio):
    assert "Cut the stub off the tag" in pages(usual["price-list.pdf"])[0]
    none = {"studio/studio.yaml": STUDIO + "tags: {stub: no}\n"}
    (page,) = listed(studio(**none))
    assert "stub" not in page and "into the receipt book" in page


def test_how_to_pay_in_the_outlets_own_words(studio):
    own = FAIR + "  terms: {pay: Cash only; the hall has no signal.}\n"
    assert "Cash only; the hall has no signal." in listed(studio(own))[0]


def test_helpers_type_is_big(usual):
    """Twelve points and more in everything a helper reads."""
    with pypdfium2.PdfDocument(usual["price-list.pdf"]) as pdf:
        text = pdf[0].get_textpage()
        import pypdfium2.raw as raw

        sizes = [
            (raw.FPDFText_GetFontSize(text.raw, i), text.get_text_range(i, 1))
            for i in range(text.count_chars())
        ]
    foot = pages(usual["price-list.pdf"])[0].rfind("Brackenfold. Price list")
    assert foot > 0
    small = "".join(sign for size, sign in sizes if 0 < size < 11.9 and sign.strip())
    assert small.startswith("Brackenfold.Pricelist")  # the footer alone


def test_the_usual_packing_list_and_the_makers_own(usual, studio):
    common = pages(usual["packing-list.pdf"])[0]
    assert "Taking down" in common and "receipt book and carbon" in common
    own = FAIR + "  packing: {display: [rail], last: [flask]}\n"
    found = rows(sheets_of(studio(own), [])["packing-list.csv"])
    assert found[:2] == [
        {"when": "Display", "what": "rail"},
        {"when": "Last of all", "what": "flask"},
    ]
    assert found[-1] == {"when": "Pieces", "what": "2026-004 Piece 4"}


def packing_list(setting):
    return sheets_of(setting, ["packing-list.pdf"])["packing-list.pdf"]


def lefts(content, *words, page=0):
    """Where words begin on a page, in millimetres from its left edge."""
    with pypdfium2.PdfDocument(content) as pdf:
        text = pdf[page].get_textpage()
        at = [text.search(word).get_next()[0] for word in words]
        return [round(text.get_charbox(each)[0] * 25.4 / 72) for each in at]


def test_packing_list_stands_in_two_columns_of_the_most_even_heights(studio):
    own = "  packing: {{first: [{0}], second: [one, two], third: [three]}}\n"
    short, long = ("a rail", "a rail, a lamp, a cloth, a clip, a stool, a flask")
    lists = [FAIR + own.format(items) for items in (short, long)]
    found = [packing_list(studio(each)) for each in lists]
    assert lefts(found[0], "First", "Second", "Third") == [20, 20, 112]
    assert lefts(found[1], "First", "Second", "Third") == [20, 112, 112]


def test_packing_list_longer_than_a_page_fills_column_after_column(studio):
    items = ", ".join(f"thing {n}" for n in range(10))
    phases = ", ".join(f"phase {n}: [{items}]" for n in range(1, 10))
    content = packing_list(studio(f"{FAIR}  packing: {{{phases}}}\n"))
    names = [f"Phase {n}" for n in range(1, 9)]
    assert lefts(content, *names[:4]) == [20, 20, 112, 112]
    assert lefts(content, *names[4:], page=1) == [20, 20, 20, 112]


def test_private_figures_are_in_private_files_alone(usual):
    assert {name for name in usual if name.startswith("private-")} == {
        "private-fair.pdf", "private-fair.csv",
    }  # fmt: skip
    for name, content in usual.items():
        if name.startswith("private-"):
            continue
        text = " ".join(pages(content)) if name.endswith(".pdf") else content.decode()
        text = re.sub(
            r"data:[\w/+-]+;base64,[\w/+=]+|<script.*?</script>", "", text, flags=re.DOTALL
        )
        for word in ("£350", "£12", "46.56", "3.46", "An hour", "Net", "250", "booth"):
            assert word not in text, (name, word)


def test_numbers_and_prices_agree_with_the_tags(studio):
    setting = studio()
    tags = " ".join(pages(print_tags(setting, Wishes(outlet="wool-fair")).content))
    found = sheets_of(setting, ["inventory.pdf", "price-list.pdf"])
    inventory, prices_told = pages(found["inventory.pdf"])[0], pages(found["price-list.pdf"])[0]
    for number, price in PRICES.items():
        for text in (tags, inventory, prices_told):
            assert number in text and f"£{price}" in text
    prices = [f"£{price}" for price in PRICES.values()]
    assert sorted(re.findall(r"£\d+", tags)) == sorted(2 * prices)  # on the tag and on its stub
    assert sorted(re.findall(r"£\d+", prices_told)) == sorted(prices)


def test_without_at_the_fair_takes_what_is_in_the_studio(studio):
    home = {f"{number}.yaml": piece(number, at="") for number in PRICES}
    home["2026-004.yaml"] = piece("2026-004", at="at: elsewhere")
    setting = studio(FAIR + "elsewhere: {kind: gallery}\n", **home)
    with set_only([]):
        made = outlet_papers(setting, "wool-fair")
    assert [each.number for each in made.display.pieces] == [
        "2026-001",
        "2026-002",
        "2026-003",
    ]
    assert tell(made.remarks[0]) == (
        "no record says 'at: wool-fair', so these papers have everything for sale in the studio: "
        "3 pieces"
    )


def test_sold_drafts_and_half_known_pieces(studio):
    sold = piece("2026-001", at="status: sold\nat: wool-fair")
    draft = "number: 2026-002\ntitle: Half\nkind: scarf\nat: wool-fair\nprice: 56\n"
    unpriced = piece("2026-003", price="notes: none")
    gone = piece("2026-004", at="at: wool-fair\nstatus: reserved until 2026-11-01")
    setting = studio(
        **{"2026-001.yaml": sold, "2026-002.yaml": draft, "2026-003.yaml": unpriced,
           "2026-004.yaml": gone}
    )  # fmt: skip
    choice = choose(setting.studio, setting.studio.outlet("wool-fair"))
    assert [str(each.number) for each in choice.pieces] == ["2026-003", "2026-004"]
    with set_only([]):
        made = outlet_papers(setting, "wool-fair")
    assert list(map(tell, made.remarks)) == [
        "2026-002 Half is left out: its record still wants a size, yarns and hours",
        "2026-003 Piece 3 has no price of its own: £192 is the worked-out one",
        "2026-004 Piece 4 was reserved until 1 November 2026: sold, or free?",
    ]


def test_nothing_to_print_is_refused_with_a_remedy(studio):
    sold = {f"{n}.yaml": piece(n, at="at: wool-fair\nstatus: sold") for n in PRICES}
    setting = studio(**sold)
    with pytest.raises(Slip) as refused:
        outlet_papers(setting, "wool-fair")
    assert tell(refused.value.what) == "no piece for sale is at Wool fair"
    assert tell(refused.value.remedy) == (
        "write 'at: wool-fair' into the records of the pieces that go there"
    )


def test_sixty_letter_titles_stay_on_the_page(studio):
    """Every letter within the margins: 18 to 192 mm across on A4."""
    long = "The Long Evening Above the Intake Wall When the Hay Came Home"
    endless = "Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch"
    changed = {
        "2026-001.yaml": piece("2026-001").replace("Piece 1", long),
        "2026-002.yaml": piece("2026-002").replace("Piece 2", endless),
    }
    for name, content in sheets_of(studio(**changed)).items():
        if not name.endswith(".pdf"):
            continue
        with pypdfium2.PdfDocument(content) as pdf:
            for page in pdf:
                text = page.get_textpage()
                boxes = [text.get_rect(i) for i in range(text.count_rects())]
                assert min(box[0] for box in boxes) * 25.4 / 72 > 17.9, name
                assert max(box[2] for box in boxes) * 25.4 / 72 < 192.1, name
        assert endless in "".join(pages(content)).replace(" ", ""), name


def test_the_same_records_give_the_same_bytes(usual, studio):
    assert sheets_of(studio()) == usual


def test_a_guild_gets_its_own_fields_in_its_order(studio):
    guild = """
wool-fair: {kind: guild, commission: 20 %, tag fields: [price, title, number, fibre, care]}
"""
    found = sheets_of(studio(guild))
    first, second = pages(found["inventory.pdf"])
    assert "Price Title Number Fibre Care Sold" in first
    assert "Copy for Wool fair" in second
    assert list(rows(found["inventory.csv"])[0]) == ["price", "title", "number", "fibres", "care"]
    assert "Total, 4 pieces: £192" in first
    assert "hello@brackenfold.example" not in first
