"""`cost` through the command line.

The shawl and its outlets are the worked examples of the trade's arithmetic this project keeps
(computed twice by hand): materials 23.30, labour 704.00, overhead 109.10 (binary floats give
109.09), cost 836.40; at 680 a fair at 3 % brings 16.475 an hour, a guild at 20 % 12.8625, a gallery
at 50 % 6.4875; to earn the pay it must be 862.27 at the fair and 1672.80 at the gallery.
"""

import json
import re
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner

from provenance.commands.main import main

DEMO = Path(__file__).parents[2] / "pieces"

STUDIO = """
studio: Brackenfold
maker: Isla Wren
currency: GBP
labels for: [UK, US]
pay: {any: 22.00}
overhead: 15 %
profit: 10 %
"""
SHAWL = """
number: 2026-001
title: Fell Light
kind: shawl
size: 200 x 60 cm
yarns:
  - use: warp and weft
    fleece: gotland
    weight: 310 g
    mordants: {alum: 12 %}
    dyes: {madder: 50 %}
    colour: "#9a4b2c"
sundries: {box: 1}
hours: {carding: 6, weaving: 20 h 30 min, finishing: 5 h 30 min}
price: 680
at: fair
photos: [{file: whole.jpg, alt: A shawl}]
"""
RECORDS = {
    "studio/studio.yaml": STUDIO,
    "studio/fleece.yaml": """
gotland: {breed: Gotland, shorn: 2025-06-18, weight: 3.0 kg, cost: 66.00, scoured: 55 %,
  carded: 92 %, spun: 97 %}
""",
    "studio/dyestuffs.yaml": "madder: {species: Rubia tinctorum, weight: 1550 g, cost: 64.00}\n",
    "studio/mordants.yaml": "alum: {weight: 372 g, cost: 18.00}\n",
    "studio/sundries.yaml": "box: {each: 1.20}\n",
    "studio/outlets.yaml": """
fair: {kind: fair, card fee: 3 %}
guild: {kind: guild, commission: 20 %}
gallery: {kind: gallery, commission: 50 %}
""",
    "2026-001.yaml": SHAWL,
}


def write(folder, **changed):
    for name, text in {**RECORDS, **changed}.items():
        path = folder / "pieces" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder / "pieces"


def run(folder, *words, columns=80):
    result = CliRunner().invoke(
        main, ["--studio", str(folder), *words], env={"COLUMNS": str(columns)}
    )
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def data(folder, *words):
    return json.loads(run(folder, "cost", *words, "--json").stdout)


def test_the_shawl_comes_out_to_the_digit(tmp_path):
    found = data(write(tmp_path), "2026-001")
    assert found["currency"] == "GBP"
    assert found["materials lines"] == [
        {"what": "gotland", "grams": "631.596104", "cost": "13.90"},
        {"what": "madder", "grams": "155", "cost": "6.40"},
        {"what": "alum", "grams": "37.2", "cost": "1.80"},
        {"what": "box", "grams": None, "cost": "1.20"},
    ]
    assert found["hours"] == {"carding": "6", "weaving": "20.5", "finishing": "5.5"}
    assert found["materials"] == "23.30"
    assert found["labour"] == "704.00"
    assert found["overhead"] == "109.10"
    assert found["cost"] == "836.40"
    assert found["worked out price"] == "920.04"
    assert found["price"] == "680.00"


def test_what_it_brings_at_each_outlet(tmp_path):
    found = {each["outlet"]: each for each in data(write(tmp_path), "2026-001")["outlets"]}
    assert found["fair"] == {
        "outlet": "fair",
        "net": "659.60",
        "hourly return": "16.475",
        "price to earn the pay": "862.27",
    }
    assert found["guild"]["net"] == "544.00"
    assert found["guild"]["hourly return"] == "12.8625"
    assert found["gallery"]["net"] == "340.00"
    assert found["gallery"]["hourly return"] == "6.4875"
    assert found["gallery"]["price to earn the pay"] == "1672.80"


def test_fibres_label_and_light_stand_in_it(tmp_path):
    found = data(write(tmp_path), "2026-001")
    assert found["fibres"] == [
        {"fibre": "wool", "percent": 100, "low": 100, "high": 100, "grams in cloth": "310"}
    ]
    assert found["fibre label"] == {"UK": "100 % wool", "US": "100% Wool"}
    # Madder on alum, blue wool 3 to 5: 3 to 30 Mlx·h over 0.5475 Mlx·h a year (CIE 157:2004).
    assert found["light"] == {"class": "high", "blue wool": [3, 5], "years": [5.48, 54.79]}


def test_an_undyed_piece_has_no_years(tmp_path):
    plain = re.sub(r"    mordants.*\n    dyes.*\n", "", SHAWL)
    light = data(write(tmp_path, **{"2026-001.yaml": plain}), "2026-001")["light"]
    assert light == {"class": "low", "blue wool": None, "years": None}


def test_one_number_is_one_object_and_more_are_a_list(tmp_path):
    second = SHAWL.replace("2026-001", "2026-002").replace("310 g", "100 g")
    folder = write(tmp_path, **{"2026-002.yaml": second})
    assert data(folder, "2026-001")["number"] == "2026-001"
    assert [each["number"] for each in data(folder, "2026-002", "2026-001")] == [
        "2026-002",
        "2026-001",
    ]
    assert [each["number"] for each in data(folder)] == ["2026-001", "2026-002"]


def test_an_unknown_number_is_refused_with_the_nearest(tmp_path):
    result = run(write(tmp_path), "cost", "2026-01")
    assert result.exit_code == 1
    assert result.stderr == "there is no piece 2026-01. did you mean '2026-001'?\n"


def test_the_sheet_in_words(tmp_path):
    said = run(write(tmp_path), "cost", "2026-001").stdout
    assert "\n  weaving" + 47 * " " + "20.5     22.00    451.00\n" in said
    lines = [" ".join(line.split()) for line in said.splitlines()]
    for line in (
        "2026-001 Fell Light",
        "shawl, 200 x 60 cm",
        "Materials amount GBP",
        "gotland (fleece, in the grease) 631.6 g 13.90",
        "madder (dyestuff) 155 g 6.40",
        "alum (mordant) 37.2 g 1.80",
        "box 1 1.20",
        "materials 23.30",
        "Work hours an hour GBP",
        "work 32 704.00",
        "overhead, 15 % of materials and work 109.10",
        "cost 836.40",
        "worked-out price: cost and 10 % profit 920.04",
        "your price 680.00",
        "what it must bring at fair 948.49",  # 920.04 / 0.97
        "your price for a m² 566.67",
        "your price for a sq ft 52.65",
        "what it brings you an hour 16.48",
        "No other shawl of yours is sold yet to hold it against.",
        "Where it sells commission card fee net an hour for full pay",
        "fair 0.00 20.40 659.60 16.48 862.27",
        "guild 136.00 0.00 544.00 12.86 1045.50",
        "gallery 340.00 0.00 340.00 6.49 1672.80",
        "It is at fair now: 659.60 net, 16.48 an hour.",
    ):
        assert line in lines, line


def test_all_pieces_a_line_each(tmp_path):
    lines = run(write(tmp_path), "cost").stdout.splitlines()
    assert [line.split() for line in lines[:2]] == [
        ["number", "title", "hours", "cost", "price", "an", "hour"],
        ["2026-001", "Fell", "Light", "32", "836.40", "680.00", "16.48"],
    ]


def test_work_in_progress_is_costed_so_far(tmp_path):
    begun = SHAWL.replace("at: fair", "status: in progress").replace("price: 680\n", "")
    said = run(write(tmp_path, **{"2026-001.yaml": begun}), "cost", "2026-001").stdout
    assert "\nStill in progress: what it has cost so far.\n" in said
    assert "your price: none set, so the worked-out one" in said


@pytest.mark.parametrize("columns", [60, 80, 140])
def test_it_fits_the_terminal(tmp_path, columns):
    folder = write(tmp_path)
    for words in (["cost"], ["cost", "2026-001"], ["cost", "2026-001", "--explain"]):
        said = run(folder, *words, columns=columns).stdout
        assert max(len(line) for line in said.splitlines()) <= columns
    assert ("commission" in run(folder, "cost", "2026-001", columns=columns).stdout) or columns < 80


def test_the_price_by_area_is_held_against_own_sold_work(tmp_path):
    sold = SHAWL.replace("2026-001", "2025-00{}").replace("310 g", "10 g")
    sold = sold.replace("at: fair", "status: sold\nsale: {{on: 2025-11-01, price: {}, at: fair}}")
    sold = sold.replace("{alum", "{{alum").replace("12 %}", "12 %}}")
    sold = sold.replace("{madder: 50 %}", "{{madder: 50 %}}").replace("{box: 1}", "{{box: 1}}")
    sold = re.sub(r"hours: \{(.*)\}", r"hours: {{\1}}", sold)
    sold = sold.replace("[{file: whole.jpg, alt: A shawl}]", "[{{file: whole.jpg, alt: A shawl}}]")
    folder = write(
        tmp_path, **{"2025-001.yaml": sold.format(1, 600), "2025-002.yaml": sold.format(2, 660)}
    )
    said = " ".join(run(folder, "cost", "2026-001").stdout.split())
    for line in (
        "your price for a m² 566.67 500.00 to 550.00",
        "your price for a sq ft 52.65 46.45 to 51.10",
        # 582.00 and 640.20, less 1.92 of materials and 105.89 of overhead, for 32 hours
        "what it brings you an hour 16.48 14.82 to 16.64",
        "'Yours, sold' rests on 2 pieces (kind shawl): 2025-001, 2025-002. "
        "By area this one lies above. By the hour it lies among them.",
    ):
        assert line in said, line
    said = " ".join(run(folder, "cost", "2025-001").stdout.split())
    assert "Sold on 2025-11-01 at fair" in said
    assert "sold for 600.00" in said
    assert "by its terms of today 18.00" in said
    assert "net 582.00" in said


def test_tax_in_the_price_is_not_the_makers(tmp_path):
    # 1200 including 20 % holds 200.00 of tax.
    changed = {
        "studio/studio.yaml": STUDIO + "prices: {tax: included 20 %}\n",
        "2026-001.yaml": SHAWL.replace("price: 680", "price: 1200"),
    }
    outlets = data(write(tmp_path, **changed), "2026-001")["outlets"]
    assert outlets[0]["net"] == "964.00"  # 1200 - 36.00 - 200.00
    assert outlets[2]["net"] == "400.00"  # 1200 - 600.00 - 200.00


def test_a_currency_without_small_change(tmp_path):
    changed = {"studio/studio.yaml": STUDIO.replace("GBP", "JPY")}
    found = data(write(tmp_path, **changed), "2026-001")
    assert (found["price"], found["cost"]) == ("680", "836")


# Every working of the demo studio, done again from what is printed.

LINE = re.compile(
    r"^(?P<guides>[├└│ ]*)(?P<what>[^:]+): (?P<value>-?[\d.]+)(?P<unit> [a-z][a-z0-9 ]*)?"
    r"(?P<again> \(worked out above\))?(?: = (?P<sum>.+?))?(?:  \((?P<place>[^()]+:\d+)\))?$"
)
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def workings(text):
    """Every printed step with the steps directly under it."""
    path = []
    steps = []
    for line in text.splitlines():
        found = LINE.match(line)
        if not found or not (line[0] in "├└│ " or found["sum"] or found["again"]):
            continue
        depth = len(found["guides"]) // 2
        step = {**found.groupdict(), "under": [], "depth": depth}
        del path[depth:]
        if path:
            path[-1]["under"].append(step)
        path.append(step)
        steps.append(step)
    return steps


def slack(text):
    """How far a printed number may be off: nothing, unless it was cut at six or nine decimals."""
    places = len(text.partition(".")[2])
    return Decimal(5).scaleb(-places - 1) if places in (6, 9) else Decimal(0)


def again(step):
    """The sum done from the printed terms, and how far it may be off."""
    said = step["sum"]
    if " rounded " in said:
        value, unit = said.split(" rounded ")
        value, unit = Decimal(NUMBER.match(value)[0]), Decimal(NUMBER.search(unit)[0])
        way = ROUND_CEILING if "rounded up" in said else ROUND_HALF_UP
        return (value / unit).quantize(Decimal(1), way) * unit, Decimal(0)
    if " lines below " in said:
        texts = [each["value"] for each in step["under"]]
        sign = "+" if "added" in said else "×"
    else:
        sign = next((s for s in ("+", "×", "÷", "-") if f" {s} " in said), ",")
        parts = said.removeprefix("the least of ").removeprefix("the most of ")
        texts = [NUMBER.match(each)[0] for each in re.split(f" \\{sign} |, ", parts)]
    values = [Decimal(text) for text in texts]
    off = [slack(text) for text in texts]
    if said.startswith("the least of"):
        return min(values), Decimal(0)
    if said.startswith("the most of"):
        return max(values), Decimal(0)
    result = values[0]
    for value in values[1:]:
        result = {
            "+": lambda a, b: a + b,
            "-": lambda a, b: a - b,
            "×": lambda a, b: a * b,
            "÷": lambda a, b: a / b,
        }[sign](result, value)
    if sign in "+-":
        return result, sum(off)
    return result, sum(abs(result / v) * o for v, o in zip(values, off, strict=True) if v)


@pytest.fixture(scope="module")
def demo_workings():
    return workings(run(DEMO, "cost", "--explain", columns=4000).stdout)


def test_every_printed_sum_of_the_demo_can_be_done_again(demo_workings):
    sums = [step for step in demo_workings if step["sum"]]
    assert len(sums) > 2000
    for step in sums:
        result, off = again(step)
        printed = Decimal(step["value"])
        limit = Decimal(0) if " rounded " in step["sum"] else slack(step["value"]) + off
        assert abs(result - printed) <= limit, (step["what"], step["value"], step["sum"])


def test_the_terms_of_a_sum_are_the_lines_under_it(demo_workings):
    for step in demo_workings:
        if step["sum"] and " lines below " not in step["sum"] and " rounded " not in step["sum"]:
            terms = [
                Decimal(number)
                for number in NUMBER.findall(re.sub(r"(?<=[a-z])\d", "", step["sum"]))
            ]
            under = [Decimal(each["value"]) for each in step["under"]]
            assert terms == under, (step["what"], step["sum"])


def test_every_working_of_the_demo_ends_in_a_line_of_a_record(demo_workings):
    ends = [step for step in demo_workings if not step["sum"] and not step["again"]]
    placed = [step for step in ends if step["place"]]
    for step in placed:
        file, _, line = step["place"].rpartition(":")
        assert int(line) <= len((DEMO.parent / file).read_text(encoding="utf-8").splitlines())
    constants = {step["what"] for step in ends if not step["place"]}
    others = {
        what
        for what in constants
        if what not in ("one", "a square metre", "a square foot", "width", "tax")
        and not what.startswith(("card fee at", "share that"))
        and not what.endswith((" in all", ", how many", " (assumed)"))
    }
    assert others == set()


def test_a_bare_record_is_no_fault_of_ours(tmp_path):
    bare = {name: "" for name in RECORDS if name.startswith("studio/")}
    bare["studio/studio.yaml"] = "studio: B\nmaker: I\nlight: {lux: 0}\n"
    folder = write(tmp_path, **bare, **{"2026-001.yaml": "number: 2026-001\ntitle: '[b]Odd[/]'\n"})
    said = run(folder, "cost", "2026-001", "--explain").stdout
    assert said.startswith("2026-001  [b]Odd[/]\n")
    assert "The record still wants a kind and a size and yarns and hours.\n" in said
    assert "No outlet is written down yet in studio/outlets.yaml.\n" in said
    light = {"class": "low", "blue wool": None, "years": None}  # of the usual wall
    assert data(folder, "2026-001")["light"] == light
    assert "light: the home wall has no light\n" in run(folder, "check").stdout
    assert run(folder, "cost").stdout == (
        "No piece can be costed yet: one needs its kind, size, yarns and hours.\n"
    )


def test_two_shawls_in_one_record(tmp_path):
    """The shawl's figures are of both; half of each is one's; at 680 the fair brings for one
    (659.60 - 11.65 - 54.55) / 16 h = 37.0875 an hour."""
    sold = "makes: 2\nsales: [{on: 2026-11-01, price: 700, at: gallery}]\n"
    folder = write(tmp_path, **{"2026-001.yaml": SHAWL + sold})
    data = json.loads(run(folder, "cost", "2026-001", "--json").stdout)
    assert data["makes"] == 2
    assert data["of all"] == {
        "materials": "23.30", "labour": "704.00", "overhead": "109.10", "cost": "836.40"
    }  # fmt: skip
    of_one = {word: data[word] for word in (*data["of all"], "worked out price", "price")}
    assert of_one == {
        "materials": "11.65", "labour": "352.00", "overhead": "54.55", "cost": "418.20",
        "worked out price": "460.02", "price": "680.00",
    }  # fmt: skip
    assert data["hours"] == {"carding": "3", "weaving": "10.25", "finishing": "2.75"}
    lines = {line["what"]: (line["grams"], line["cost"]) for line in data["materials lines"]}
    assert lines["madder"] == ("77.5", "3.20")
    assert lines["box"] == (None, "0.60")
    returns = {each["outlet"]: each["hourly return"] for each in data["outlets"]}
    assert returns["fair"] == "37.0875"
    said = " ".join(run(folder, "cost", "2026-001").stdout.split())
    assert "Materials of all 2" in said
    assert "cost 836.40 418.20" in said
    assert "1 of 2 sold on 2026-11-01 at gallery" in said
    assert re.search(r"sold for 700\.00 .*net 350\.00", said)
    assert "1 of 2 left, at fair: each brings 659.60 net, 37.09 an hour." in said
    assert "Fell Light, one of 2" in " ".join(run(folder, "cost").stdout.split())
    explained = run(folder, "cost", "2026-001", "--explain", columns=120).stdout
    assert "cost: 418.20 = 836.40 ÷ 2" in explained


def test_a_single_shawl_says_nothing_of_all(tmp_path):
    data = json.loads(run(write(tmp_path), "cost", "2026-001", "--json").stdout)
    assert not {"makes", "of all"} & data.keys()
