"""`quote` through the command line: one set of numbers on paper, in JSON, in the new record."""

import json
import re
import shutil
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner

from provenance.commands.main import main
from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.public.quotation.card import in_round_money
from provenance.records.book import read_book

DEMO = Path(__file__).parents[2] / "pieces"
DEMO_DAY = "1795608000"  # 2026-11-25
LATER = "1800000000"  # 2027-01-15

STUDIO = """
studio: Brackenfold
maker: Isla Wren
pay: {any: 20.00}
overhead: 10 %
profit: 10 %
prices: {round up to: 5}
week: 20 h
"""
PIECE = """
number: 2026-00{n}
title: Piece {n}
kind: shawl
structure: plain weave
finished: 2026-0{n}-10
size: {size} cm
yarns: [{{use: weft, lot: grey, weight: 90 g}}, {{use: warp, lot: wool, weight: 100 g}}]
hours: {{weaving: {hours}, finishing: 2}}
price: 500
"""
COMMISSION = """\
# Petra rang on a Sunday.
number: 2026-C01
client: {name: Petra, email: petra@moss.example}   # rings back after six
asked: 2026-11-20
title: "Stole: the choir's"
kind: shawl
structure: plain weave
sizes: [180 x 60 cm, 200 x 70 cm]
sett: {ends: 6 per cm, picks: 6 per cm}
allow: {take-up: 5 %, shrink width: 12 %, shrink length: 10 %, loom waste: 70 cm, spare: 15 %}
yarn: {warp: wool, weft: grey}
colours: [{near: "#8a2f2a"}]
extras: {design fee: 60}
pay in: thirds
status: quoted                  # sent by post

notes: |
  Wants it by Easter.
"""
RECORDS = {
    "studio/studio.yaml": STUDIO,
    "studio/yarns.yaml": "grey: {fibre: wool, weight: 2 kg, length: 8000 m, cost: 60}\n"
    "wool: {fibre: wool, weight: 2 kg, cost: 80, count: 2/12 Nm}\n",
    **{
        f"2026-00{n}.yaml": PIECE.format(n=n, size=size, hours=hours)
        for n, size, hours in ((1, "180 x 50", 9), (2, "190 x 60", 12), (3, "170 x 45", 8))
    },
    "commissions/2026-C01.yaml": COMMISSION,
}


@pytest.fixture
def studio(write_studio):
    return lambda **changed: write_studio({**RECORDS, **changed})


@pytest.fixture
def quoted(once, write_studio_in, tmp_path):
    """A copy of the studio whose commission was quoted, which is done once for all tests."""

    def quote(home):
        assert run(write_studio_in(home / "pieces", RECORDS), "2026-C01").exit_code == 0

    shutil.copytree(once("quoted", quote), tmp_path, dirs_exist_ok=True)
    return tmp_path / "pieces"


def run(folder, *words, columns=80, day=DEMO_DAY):
    asked = ["--yes"] if "--accept" in words and "--yes" not in words else []
    result = CliRunner().invoke(
        main,
        ["--studio", str(folder), "quote", *words, *asked],
        env={"COLUMNS": str(columns), "SOURCE_DATE_EPOCH": day},
    )
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def data(folder, *words, day=DEMO_DAY):
    return json.loads(run(folder, *words, "--json", day=day).stdout)


def paper(path):
    return paper_of(path.read_bytes())


def paper_of(content):
    document = pypdfium2.PdfDocument(content)
    pages = (page.get_textpage().get_text_bounded() for page in document)
    return re.sub(r"\s+", " ", " ".join(pages))


# ------------------------------------------------------------------------------------ JSON


def test_json_has_the_keys_that_were_promised(studio):
    found = data(studio(), "2026-C01")
    assert list(found) == ["number", "options", "frozen", "sent on", "valid until", "lacking"]
    assert (found["number"], found["valid until"]) == ("2026-C01", "2026-12-25")
    assert (found["frozen"], found["sent on"]) == (False, None)
    option = found["options"][0]
    promised = ("size", "ends", "loom width cm", "loom length cm", "warp m", "weft m", "yarn m",
                "yarn g", "hours", "cost", "price", "instalments", "weeks")  # fmt: skip
    assert set(promised) <= set(option)
    assert set(option["hours"]) == {"likely", "low", "high"}
    values = [option["ends"], *option["hours"].values(), *option["cost"].values(),
              *option["price"].values(), *option["instalments"], option["weeks"]]  # fmt: skip
    assert all(re.fullmatch(r"\d+(\.\d+)?", value) for value in values)


def test_the_worked_example_to_the_digit(studio):
    option = data(studio(), "2026-C01")["options"][0]
    assert {word: option[word] for word in ("ends", "loom width cm", "loom length cm", "warp m",
                                            "weft m", "yarn m")} == {
        "ends": "410", "loom width cm": "68.18", "loom length cm": "200", "warp m": "1148",
        "weft m": "859.1", "yarn m": "2308.2",
    }  # fmt: skip


def test_what_the_shelf_lacks_is_listed(studio):
    yarns = (
        "grey: {fibre: wool, weight: 300 g, length: 1200 m}\n"
        + RECORDS["studio/yarns.yaml"].split("\n", 1)[1]
    )
    found = data(studio(**{"studio/yarns.yaml": yarns}), "2026-C01")
    # 278.4 g in the larger size (1113.6 m at 4 m/g, and 15 %: 320.2 g), 300 - 270 g are left
    assert found["lacking"] == [{"what": "grey", "grams": "290.2"}]


# ------------------------------------------- the same on paper, in JSON, in the started record


def test_numbers_are_the_same_on_paper_in_json_and_in_the_started_record(studio):
    folder = studio()
    found = data(folder, "2026-C01")
    assert run(folder, "2026-C01").exit_code == 0
    client = paper(folder / "papers" / "quotations" / "quotation-2026-C01.pdf")
    own = paper(folder / "papers" / "private" / "workings-2026-C01.pdf")

    def pounds(text):
        exact = Decimal(text)
        return f"£{exact:,.0f}" if exact == exact.to_integral_value() else f"£{exact:,.2f}"

    for option in found["options"]:
        for sheet in (client, own):
            assert pounds(option["price"]["offered"]) in sheet
            assert pounds(option["price"]["in all"]) in sheet
        for part in option["instalments"]:
            assert pounds(part) in client
        assert sum(map(Decimal, option["instalments"])) == Decimal(option["price"]["in all"])
        assert f"about {option['weeks']} week" in client
        for word in ("materials", "labour", "overhead", "likely"):
            assert pounds(option["cost"][word]) in own
        for end in ("low", "high"):
            assert pounds(option["price"][end]) in own
        assert f"{Decimal(option['yarn m']):,} m" in own
        assert f" {option['ends']} " in own
        for private in (option["cost"]["likely"], option["price"]["likely"]):
            assert pounds(private) not in client
    chosen = found["options"][1]
    assert run(folder, "2026-C01", "--accept", "--size", "200 x 70 cm").exit_code == 0
    book, problems = read_book(folder)
    assert [told(each, british()) for each in problems if not each.is_remark] == []
    piece, agreed = book.pieces["2026-004"], book.commissions["2026-C01"].accepted
    assert piece.price == agreed.price == Decimal(chosen["price"]["offered"])
    assert piece.size.written == agreed.size.written == chosen["size"]
    for word in ("likely", "low", "high"):
        assert getattr(agreed.hours, word) == Decimal(chosen["hours"][word])
    text = (folder / "2026-004-stole-the-choir-s.yaml").read_text()
    assert f"{chosen['ends']} ends; warp {chosen['warp m']} m, weft {chosen['weft m']} m" in text
    assert f"spare {chosen['yarn m']} m" in text
    weights = re.findall(r"weight: ([\d.]+) g", text)
    assert abs(sum(map(Decimal, weights)) - Decimal(chosen["yarn g"])) <= Decimal("0.1")


def test_the_terminal_has_them_too_at_every_width(studio):
    folder = studio()
    found = data(folder, "2026-C01")
    for columns in (60, 80, 140):
        said = run(folder, "2026-C01", "--anew", columns=columns).stdout
        assert max(map(len, said.splitlines()[:-3])) <= columns
        assert "Stole: the choir's" in said
        assert "Holds until 2026-12-25." in said
        for option in found["options"]:
            for number in (option["price"]["offered"], option["price"]["in all"],
                           option["cost"]["likely"], option["yarn m"], option["ends"],
                           option["an hour earns"]["likely"]):  # fmt: skip
                assert number in said


def test_explain_shows_every_working_with_its_place(studio):
    said = run(studio(), "2026-C01", "--explain", columns=140).stdout
    assert "180 x 60 cm, on the loom" in said
    assert "ends: 410 ends = 409.090909 ends rounded up to 1" in said
    assert "finished width: 60 cm  (pieces/commissions/2026-C01.yaml:8)" in said
    assert "take-up: 0.05  (pieces/commissions/2026-C01.yaml:10)" in said
    assert "weaving, likely hours:" in said
    assert "(estimated from 3 finished pieces)" in said


# ------------------------------------------------------------------------------------ privacy


def test_the_private_sheet_lies_in_papers_private_and_nowhere_else(quoted):
    folder = quoted
    made = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.pdf"))
    assert made == [
        "papers/private/workings-2026-C01.pdf",
        "papers/quotations/quotation-2026-C01.pdf",
    ]
    assert "For the maker alone" in paper(folder / made[0])
    assert "For the maker alone" not in paper(folder / made[1])
    assert "Easter" not in paper(folder / made[1])
    assert not (folder.parent / "site").exists()


def test_json_and_the_stand_write_nothing(studio):
    folder = studio()
    data(folder, "2026-C01")
    run(folder, "--like", "2026-002", "--size", "150 x 60 cm")
    assert not (folder / "papers").exists()


# ----------------------------------------------------------------------------------- the stand


def test_another_one_in_another_size(studio):
    folder = studio()
    found = data(folder, "--like", "2026-002", "--size", "150 x 60 cm", "--size", "200 x 90 cm")
    assert [option["size"] for option in found["options"]] == ["150 x 60 cm", "200 x 90 cm"]
    # No sett is noted: 100 g at 6 m/g over ends of 190 / 0.95 x 1.1 + 91.44 cm are 192.65 ends
    # in the same width, which are 193; half as wide again, 288.98 are 289.
    assert [option["ends"] for option in found["options"]] == ["193", "289"]
    said = run(folder, "--like", "2026-002", "--size", "150 x 60 cm").stdout
    assert "like 2026-002  Piece 2" in said
    assert "as 2026-002, by area" in said
    assert "394.74" in said  # 500 x 150 / 190


def test_the_card_names_the_sorts_it_leaves_off(studio):
    folder = studio()
    (folder / "2026-003.yaml").unlink()
    said = " ".join(run(folder, "--card", "--json").stdout.split())
    assert said == "[]"
    result = run(folder, "--card")
    assert result.exit_code != 0
    assert "three finished pieces of the same kind and structure" in result.stderr


def test_the_card(studio):
    folder = studio()
    said = run(folder, "--card").stdout
    assert "Shawl, plain weave" in said
    rows = data(folder, "--card")
    assert [row["size"] for row in rows] == ["170 x 45 cm", "180 x 50 cm", "190 x 60 cm"]
    text = paper(folder / "papers" / "stand-card.pdf")
    for row in rows:
        asked = in_round_money(Fraction(row["cheapest"]))
        assert f"from £{int(asked):,} {row['weeks']} week" in text
        assert Decimal(row["from"]) <= Decimal(row["cheapest"]) <= Decimal(row["to"])


# ------------------------------------------------------------------------------------ accepting


def test_accepting_keeps_what_the_maker_wrote(studio):
    folder = studio()
    result = run(folder, "2026-C01", "--accept", "--size", "1")
    assert result.exit_code == 0
    said = result.stdout.splitlines()
    assert said[0].startswith("2026-C01 is accepted: 180 x 60 cm, ")
    assert said[1].startswith("2026-004 Stole: the choir's is begun: ")
    text = (folder / "commissions" / "2026-C01.yaml").read_text()
    added = re.search(r"(?m)^accepted: (\{.*\})\n\Z", text)
    assert added
    before = text.replace(added[0], "").replace("status: accepted  ", "status: quoted  ")
    assert before.replace(" ", "") == COMMISSION.replace(" ", "")
    assert "status: accepted                  # sent by post" in text
    assert "# rings back after six" in text
    assert added[1].startswith("{on: 2026-11-25, size: 180 x 60 cm, price: ")
    assert "piece: 2026-004" in added[1]


def test_the_started_record_says_what_was_agreed(studio):
    folder = studio()
    run(folder, "2026-C01", "--accept", "--size", "1")
    text = (folder / "2026-004-stole-the-choir-s.yaml").read_text()
    book, _ = read_book(folder)
    piece = book.pieces["2026-004"]
    assert (piece.title, piece.kind, piece.structure) == (
        "Stole: the choir's", "shawl", "plain weave",
    )  # fmt: skip
    assert (piece.status.state, piece.status.commission) == ("commission", "2026-C01")
    assert piece.sett.ends == piece.sett.picks == 6
    assert piece.yarns == ()  # planned as notes: nothing is drawn before it is weighed
    assert piece.is_draft
    assert '#   - {use: weft, lot: NEW-LOT, weight: 247 g, colour: "#8a2f2a"}' in text
    assert "#   - {use: warp, lot: wool, weight: 220 g}" in text
    checked = CliRunner().invoke(main, ["--studio", str(folder), "check"])
    assert checked.exit_code == 0, checked.stdout


def test_the_notes_of_the_started_record_are_in_the_studios_words(studio):
    own = 'language: de\nphrases: {begun.planned: "Plan:\\n  öffnen"}\n'
    folder = studio(**{"studio/studio.yaml": STUDIO + own})
    assert run(folder, "2026-C01", "--accept", "--size", "1").exit_code == 0
    text = (folder / "2026-004-stole-the-choir-s.yaml").read_text()
    assert text.startswith("# Aus Auftrag 2026-C01, vereinbart am 2026-11-25.\nnumber: 2026-004\n")
    assert "\n# Plan: öffnen\n# yarns:\n" in text
    _, problems = read_book(folder)
    assert [str(each) for each in problems if not each.is_remark] == []


@pytest.mark.parametrize(
    ("size", "what"),
    [
        ((), "which size was chosen?"),
        (("--size", "3"), "'3' is none of the sizes quoted"),
        (("--size", "9 x 9 cm"), "'9 x 9 cm' is none of the sizes quoted"),
        (("--size", "wide"), "'wide' is not a size"),
    ],
)
def test_a_size_that_was_not_quoted_is_refused(studio, size, what):
    folder = studio()
    result = run(folder, "2026-C01", "--accept", *size)
    assert result.exit_code == 1
    assert result.stderr.startswith(what)
    assert (folder / "commissions" / "2026-C01.yaml").read_text() == COMMISSION
    assert not list(folder.glob("2026-004*"))


def test_twice_is_refused(studio):
    folder = studio()
    run(folder, "2026-C01", "--accept", "--size", "1")
    text = (folder / "commissions" / "2026-C01.yaml").read_bytes()
    again = run(folder, "2026-C01", "--accept", "--size", "2")
    assert again.exit_code == 1
    assert again.stderr == (
        "this commission is accepted already\n    take its 'accepted:' line away first\n"
    )
    assert (folder / "commissions" / "2026-C01.yaml").read_bytes() == text
    assert len(list(folder.glob("2026-004*"))) == 1
    assert not list(folder.glob("2026-005*"))


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("windows lines", COMMISSION.replace("\n", "\r\n")),
        ("no last line end", COMMISSION.rstrip("\n")),
        ("no status", COMMISSION.replace("status: quoted                  # sent by post\n", "")),
        ("quoted status", COMMISSION.replace("status: quoted ", 'status: "quoted" ')),
        ("byte order mark", "\ufeff" + COMMISSION),
        ("keeping block", COMMISSION.replace("notes: |", "notes: |+") + "\n\n"),
    ],
)
def test_every_way_of_writing_a_record_survives(studio, name, text):
    folder = studio()
    path = folder / "commissions" / "2026-C01.yaml"
    path.write_bytes(text.encode())
    result = run(folder, "2026-C01", "--accept", "--size", "1")
    assert result.exit_code == 0, (name, result.stderr)
    after = path.read_bytes().decode()
    assert ("\r\n" in after) == ("\r\n" in text)
    if "\r\n" in after:
        assert not re.search(r"(?<!\r)\n", after)
    assert after.startswith("\ufeff") == text.startswith("\ufeff")
    book, problems = read_book(folder)
    assert [told(each, british()) for each in problems if not each.is_remark] == []
    commission = book.commissions["2026-C01"]
    assert (commission.status, commission.accepted.piece) == ("accepted", "2026-004")
    assert str(commission.notes).startswith("Wants it by Easter.")
    for line in text.strip("\ufeff").splitlines():
        if line and not line.startswith("status"):
            assert line in after


def test_a_record_in_braces_is_left_alone_and_the_lines_are_told(studio):
    flow = (
        "{number: 2026-C01, asked: 2026-11-20, kind: shawl, sizes: [180 x 60 cm],\n"
        " sett: {ends: 6 per cm, picks: 6 per cm}, yarn: {warp: wool, weft: grey}}\n"
    )
    folder = studio(**{"commissions/2026-C01.yaml": flow})
    result = run(folder, "2026-C01", "--accept")
    assert result.exit_code == 1
    assert result.stderr.startswith(
        "this record is not written in lines of 'word: value'\n"
        "    add by hand: 'status: accepted' and 'accepted: {on: 2026-11-25, "
    )
    assert (folder / "commissions" / "2026-C01.yaml").read_text() == flow
    assert not list(folder.glob("2026-004*"))


def test_a_number_once_printed_is_not_given_again(studio):
    printed = '- {on: 2026-11-01, paper: "tag", number: "2026-007", title: "Gone"}\n'
    folder = studio(**{"studio/printed.yaml": printed})
    run(folder, "2026-C01", "--accept", "--size", "1")
    assert (folder / "2026-008-stole-the-choir-s.yaml").exists()


# ---------------------------------------------------------------------------- lapsed and kept


def test_a_lapsed_quotation_is_flagged_everywhere(studio):
    folder = studio()
    assert "lapsed" not in data(folder, "2026-C01", day=LATER)  # what never went out never lapses
    run(folder, "2026-C01")
    assert "lapsed" not in data(folder, "2026-C01")
    assert data(folder, "2026-C01", day=LATER)["lapsed"] is True
    said = run(folder, "2026-C01", day=LATER).stdout
    assert said.startswith("Issue 1, sent on 2026-11-25: lapsed 2026-12-25\n")
    assert "lapsed 2026-12-25" in run(folder, day=LATER).stdout
    agreed = run(folder, "2026-C01", "--accept", "--size", "1", day=LATER)
    assert agreed.stdout.startswith(
        "The quotation had lapsed on 2026-12-25: agreed all the same, at its price.\n"
    )


def test_what_was_quoted_long_ago_and_never_printed_has_lapsed(studio):
    record = COMMISSION.replace("asked: 2026-11-20", "quoted: 2026-11-20")
    folder = studio(**{"commissions/2026-C01.yaml": record})
    said = run(folder, "2026-C01", day=LATER).stdout
    assert "Lapsed on 2026-12-20. Write 'quoted: 2027-01-15' to make it new." in said
    text = paper(folder / "papers" / "quotations" / "quotation-2026-C01.pdf")
    assert "This quotation lapsed on 20 December 2026." in text


# ------------------------------------------------------------------------ a promise that stays


def test_what_went_out_is_kept_whatever_pay_and_history_become(studio):
    folder = studio()
    said = run(folder, "2026-C01").stdout
    assert said.endswith("This is issue 1. It is kept as it is and holds until 2026-12-25.\n")
    path = folder / "papers" / "quotations" / "quotation-2026-C01.pdf"
    sent, before = path.read_bytes(), data(folder, "2026-C01")
    assert "Quotation, issue 1, 25 November 2026" in paper(path)
    dearer = STUDIO.replace("any: 20.00", "any: 31.00")
    (folder / "studio" / "studio.yaml").write_text(dearer)
    (folder / "2026-004.yaml").write_text(PIECE.format(n=4, size="180 x 60", hours=50))
    assert "as it went out" in run(folder, "2026-C01", day=LATER).stdout.lower()
    assert path.read_bytes() == sent
    again = data(folder, "2026-C01", day=LATER)
    assert again == before | {"lapsed": True}
    assert (again["frozen"], again["sent on"], again["valid until"]) == (
        True, "2026-11-25", "2026-12-25",
    )  # fmt: skip
    figures = [line for line in said.splitlines() if "price, likely" in line]
    assert figures[0] in run(folder, "2026-C01", day=LATER).stdout
    path.unlink()  # lost: made again from its words, to the same sentence
    run(folder, "2026-C01", day=LATER)
    assert paper(path) == paper_of(sent)


def test_the_next_issue_takes_the_place_of_the_one_before(quoted):
    folder = quoted
    first = (folder / "papers" / "quotations" / "quotation-2026-C01.pdf").read_bytes()
    (folder / "studio" / "studio.yaml").write_text(STUDIO.replace("any: 20.00", "any: 31.00"))
    run(folder, "2026-C01", "--anew", day="1796169600")  # 2026-12-02
    text = paper(folder / "papers" / "quotations" / "quotation-2026-C01-2.pdf")
    assert "issue 2 (in place of issue 1 of 25 November 2026), 2 December 2026" in text
    assert "Holds until 1 January 2027" in text
    assert (folder / "papers" / "quotations" / "quotation-2026-C01.pdf").read_bytes() == first
    found = data(folder, "2026-C01", day=LATER)
    assert (found["issue"], found["sent on"]) == (2, "2026-12-02")
    one, two = (
        json.loads((folder / "studio" / "issued" / f"2026-C01-{n}.json").read_text())
        for n in (1, 2)
    )
    assert Decimal(one["data"]["options"][0]["price"]["offered"]) < Decimal(
        two["data"]["options"][0]["price"]["offered"]
    )


def test_what_is_agreed_is_what_went_out(quoted):
    folder = quoted
    sent = data(folder, "2026-C01")["options"][1]
    (folder / "studio" / "studio.yaml").write_text(STUDIO.replace("any: 20.00", "any: 31.00"))
    agreed = run(folder, "2026-C01", "--accept", "--size", "2")
    assert f"200 x 70 cm, {sent['price']['offered']}." in agreed.stdout
    assert f"The first payment is {sent['instalments'][0]}." in agreed.stdout
    record = (folder / "commissions" / "2026-C01.yaml").read_text()
    assert f"price: {sent['price']['offered']}" in record
    assert f"likely: {sent['hours']['likely']}" in record
    listed = " ".join(run(folder, day=LATER).stdout.split())
    assert f"accepted {sent['price']['offered'].removesuffix('.00')} -" in listed
    assert data(folder, "2026-C01", day=LATER)["options"][1] == sent


def test_a_commission_that_asks_for_something_else_is_told(quoted):
    folder = quoted
    path = folder / "commissions" / "2026-C01.yaml"
    path.write_text(COMMISSION.replace("# Petra rang", "# She rang").replace("by post", "by hand"))
    check = ["--studio", str(folder), "check"]
    assert "--anew" not in CliRunner().invoke(main, check).output  # the same, in other words
    path.write_text(COMMISSION.replace("200 x 70", "220 x 80"))
    said = CliRunner().invoke(main, check).output
    assert "commissions/2026-C01.yaml:2:9: remark: 2026-C01 asks for something else" in said
    assert "'provenance quote 2026-C01 --anew' makes the next issue" in said
    assert "has changed since" in run(folder, "2026-C01").stdout
    refused = run(folder, "2026-C01", "--accept", "--size", "1")
    assert refused.exit_code == 1
    assert refused.stderr.startswith("the commission asks for something else than issue 1")
    run(folder, "2026-C01", "--anew")
    assert "--anew" not in CliRunner().invoke(main, check).output


def test_an_issue_on_other_paper_says_the_same(quoted):
    folder = quoted
    run(folder, "2026-C01", "--sheet", "Letter", "--black", day=LATER)
    papers = folder / "papers" / "quotations"
    other = paper(papers / "quotation-2026-C01-letter-black.pdf")
    assert sorted(other.split()) == sorted(paper(papers / "quotation-2026-C01.pdf").split())


def test_an_issue_that_was_damaged_is_a_mistake(quoted):
    folder = quoted
    (folder / "studio" / "issued" / "2026-C01-1.json").write_text("{}")
    said = CliRunner().invoke(main, ["--studio", str(folder), "check"]).output
    assert "studio/issued/2026-C01-1.json" in said
    assert "this quotation went out and cannot be read any more" in said


def test_quoted_against_actual_and_the_score(studio):
    folder = studio()
    run(folder, "2026-C01", "--accept", "--size", "1")
    path = folder / "2026-004-stole-the-choir-s.yaml"
    quoted = data(folder, "2026-C01")["options"][0]
    assert "actual" not in data(folder, "2026-C01")
    done = path.read_text() + (
        "finished: 2027-01-10\nhours: {weaving: 99}\n"
        "yarns: [{use: warp and weft, lot: wool, weight: 300 g}]\n"
    )
    path.write_text(done)
    found = data(folder, "2026-C01", day=LATER)
    assert found["actual"] == {"piece": "2026-004", "hours": "99", "within": False}
    assert found["options"][0]["hours"] == quoted["hours"]  # not learnt from its own piece
    said = run(folder, "2026-C01", day=LATER).stdout
    assert "2026-004 is finished" in said
    assert "It took hours outside what was quoted." in said
    own = paper(folder / "papers" / "private" / "workings-2026-C01.pdf")
    assert "Quoted and actual: 2026-004" in own
    assert "99 h" in own
    kept = run(folder, day=LATER).stdout
    assert "Of 1 finished commission, 0 took hours within what was quoted." in kept
    bare = CliRunner().invoke(main, ["--studio", str(folder)], env={"SOURCE_DATE_EPOCH": LATER})
    assert "Of 1 finished commission, 0 took hours within what was quoted" in bare.stdout
    likely = quoted["hours"]["likely"]
    path.write_text(done.replace("weaving: 99", f"weaving: {likely}"))
    assert data(folder, "2026-C01", day=LATER)["actual"]["within"] is True
    kept = run(folder, day=LATER).stdout
    assert "Of 1 finished commission, 1 took hours within what was quoted." in kept


def test_all_commissions_at_a_glance(studio):
    said = run(studio()).stdout
    assert "2026-C01" in said
    assert "until 2026-12-25" in said


def test_no_commission_yet(studio):
    folder = studio()
    (folder / "commissions" / "2026-C01.yaml").unlink()
    assert run(folder).stdout.startswith(
        "No commission is on record: 'provenance start commission' writes one."
    )


# ---------------------------------------------------------------------------- wrong usage


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("2026-C01", "--card"), "one of: a COMMISSION, --like NUMBER, --card"),
        (("2026-C01", "--like", "2026-001"), "one of: a COMMISSION, --like NUMBER, --card"),
        (("--accept",), "--accept goes with a COMMISSION"),
        (("2026-C01", "--yes"), "--yes goes with --accept"),
        (("2026-C01", "--size", "1"), "--size goes with --like, or with --accept"),
        (("--like", "2026-001", *("--size", "9 x 9 cm") * 4),
         "one size with --accept, up to three with --like"),
    ],
)  # fmt: skip
def test_words_that_do_not_go_together(studio, words, said):
    result = run(studio(), *words)
    assert result.exit_code == 2
    assert said in result.stderr


def test_what_is_not_there(studio):
    folder = studio()
    result = run(folder, "2026-C11")
    assert (result.exit_code, result.stderr) == (
        1,
        "there is no commission 2026-C11. did you mean '2026-C01'?\n",
    )
    result = run(folder, "--like", "2026-009")
    assert result.exit_code == 1
    assert result.stderr.startswith("there is no piece 2026-009.")
    result = run(folder, "--like", "2026-001", "--size", "180")
    assert result.stderr == ("'180' is not a size\n    write height x width, such as 124 x 86 cm\n")


def test_a_commission_that_cannot_be_read(studio):
    folder = studio(**{"commissions/2026-C02.yaml": "number: 2026-C02\nsizes: [big]\n"})
    result = run(folder, "2026-C02")
    assert result.exit_code == 1
    assert result.stderr == "the record of 2026-C02 can't be read: see 'provenance check'\n"


# ----------------------------------------------------------------------------------- the demo


def test_the_demo_quotes_every_commission(tmp_path):
    folder = tmp_path / "pieces"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("papers", "photos", ".printed"))
    said = run(folder).stdout
    assert "Each finished piece estimated from the others: " in said
    for number in ("2026-C01", "2026-C02", "2026-C03"):
        assert run(folder, number).exit_code == 0
    found = data(folder, "2026-C03")["options"][0]
    assert (found["ends"], found["yarn m"]) == ("410", "2308.2")
    result = run(folder, "2026-C01", "--accept", "--size", "1")
    assert result.exit_code == 0
    text = (folder / "commissions" / "2026-C01.yaml").read_text()
    assert "# as Saltmarsh is priced, and something for the vat" in text
