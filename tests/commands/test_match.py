"""`match` through the command line: nearest recipes, scaled, and what the shelf lacks."""

import json
import re
import warnings
from datetime import date
from functools import partial

import numpy
import pytest
from click.testing import CliRunner
from PIL import Image

from provenance.build.opening import open_studio
from provenance.commands.main import main
from provenance.language.phrases import british
from provenance.public.border import Border
from provenance.public.shelves import public_dye
from provenance.reports.match import looks

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # colour-science misses its plotting library, not used here
    import colour

RECORDS = {
    "studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\n",
    "studio/fleece.yaml": "gotland: {breed: Gotland, weight: 4 kg, cost: 88}\n",
    "studio/yarns.yaml": 'grey: {fleece: {gotland: 2 kg}, weight: 1 kg, colour: "#8f8e8a"}\n',
    "studio/dyestuffs.yaml": "madder: {species: Rubia tinctorum, weight: 200 g, cost: 12}\n"
    "walnut: {species: Juglans regia, cost: 0}\n",
    "studio/mordants.yaml": "alum: {weight: 1 kg, cost: 9.50}\niron: {weight: 50 g, cost: 2}\n",
    "dyebook/2026-02-peat.yaml": """
date: 2026-02-21
dyed: [{yarn: grey, weight: 200 g, becomes: peat}]
steps: [{dyes: {walnut: 45 %}, water: rain, heat: 80 C for 1 h}]
colour: "#46342a"
""",
    "dyebook/2026-03-bracken.yaml": """
date: 2026-03-07
dyed: [{yarn: peat, weight: 100 g, becomes: bracken}]
steps:
  - mordants: {alum: 10 g}
  - {dyes: {madder: 25 %}, heat: 80 C for 1 h}
colour: "#7b4026"
""",
    "dyebook/2026-04-slate.yaml": """
exhaust of: 2026-02-peat
dyed: [{yarn: grey, weight: 50 g, becomes: slate}]
steps: [{after: {iron: 2 %}}]
colour: "#4b4b4a"
""",
    "2026-001.yaml": """
number: 2026-001
title: Saltmarsh
yarns:
  - {use: weft, lot: grey, weight: 50 g, mordants: {alum: 12 %}, dyes: {madder: 60 %},
     colour: "#9e322c"}
""",
}


@pytest.fixture
def folder(write_studio):
    return write_studio(RECORDS)


@pytest.fixture
def run(folder):
    def call(*words, columns=80):
        result = CliRunner().invoke(
            main, ["--studio", str(folder), "match", *words], env={"COLUMNS": str(columns)}
        )
        assert result.exception is None or isinstance(result.exception, SystemExit)
        return result

    return call


def data(run, *words):
    return json.loads(run(*words, "--json").stdout)


def lab(hex_colour):
    """CIELAB of an sRGB colour by colour-science, an independent library."""
    rgb = [int(hex_colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    return colour.XYZ_to_Lab(
        colour.sRGB_to_XYZ(rgb),
        colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"],
    )


def test_nearest_first_with_the_difference_an_independent_library_gives(run):
    found = data(run, "#7b4026")
    assert [each["lot"] for each in found["recipes"]] == [
        "bracken",
        "2026-001 weft",
        "peat",
        "slate",
    ]
    assert found["colour"]["name"] == "Strong Brown"
    assert data(run, "light grey")["colour"] == data(run, "light gray")["colour"]
    assert numpy.allclose(found["colour"]["lab"], lab("#7b4026"), atol=0.02)
    for each in found["recipes"]:
        assert numpy.allclose(each["lab"], lab(each["hex"]), atol=0.02)
        apart = colour.delta_E(lab("#7b4026"), lab(each["hex"]), method="CIE 2000")
        assert each["delta e"] == pytest.approx(apart, abs=0.02)


IN_PLACE = """number: 2026-004
title: Bands
kind: hanging
size: 50 x 40 cm
finished: 2026-05-01
hours: {weaving: 9}
price: 300
photos: [{file: whole.jpg, alt: Bands}]
yarns:
  - {use: weft, name: sky, lot: grey, weight: 4 g, dyes: {walnut: 4 %}, colour: "#5a86b0"}
  - {use: weft, lot: grey, weight: 5 g, dyes: {walnut: 9 %}, colour: "#3a5a78"}
  - {use: weft, lot: grey, weight: 6 g, dyes: {madder: 9 %}, colour: "#a03a2a"}
  - {use: edge, lot: grey, weight: 6 g, dyes: {madder: 3 %}, colour: "#c08070"}
"""


def test_yarns_dyed_in_place_each_have_a_name_that_can_be_traced(run, folder):
    (folder / "2026-004.yaml").write_text(IN_PLACE, encoding="utf-8")
    found = {each["lot"]: each["hex"] for each in data(run, "#3a5a78", "--most", "9")["recipes"]}
    names = {
        "2026-004 sky": ("#5a86b0", "4"), "2026-004 weft 1": ("#3a5a78", "5"),
        "2026-004 weft 2": ("#a03a2a", "6"), "2026-004 edge": ("#c08070", "6"),
    }  # fmt: skip
    trace = partial(CliRunner().invoke, main)
    for name, (colour, grams) in names.items():
        assert found[name] == colour
        traced = json.loads(trace(["--studio", str(folder), "trace", name, "--json"]).stdout)
        assert traced["name"] == name
        (grey,) = (each for each in traced["from"] if each["kind"] == "yarn")
        assert grey["grams"] == grams
        assert [each["name"] for each in traced["to"]] == ["2026-004"]
    by_its_own = trace(["--studio", str(folder), "trace", "sky", "--json"]).stdout
    assert json.loads(by_its_own)["name"] == "2026-004 sky"


def test_what_was_dyed_in_place_is_among_the_swatches_of_its_dye(folder):
    (folder / "2026-004.yaml").write_text(IN_PLACE, encoding="utf-8")
    border = Border(open_studio(folder, date(2026, 11, 25)))
    shown = public_dye(border, border.book.dyestuffs["walnut"]).swatches
    in_place = {each.name: each.colour for each in shown if each.name.startswith("Bands")}
    assert in_place == {"Bands: sky": "#5a86b0", "Bands: weft 1": "#3a5a78"}


def test_two_yarns_of_a_piece_do_not_share_a_name(folder):
    text = IN_PLACE.replace("use: edge,", "use: edge, name: sky,")
    (folder / "2026-004.yaml").write_text(text, encoding="utf-8")
    said = CliRunner().invoke(main, ["--studio", str(folder), "check"]).stdout
    assert "2026-004.yaml:13:23: the lot name 'sky' is given twice\n" in said


def test_a_lot_has_its_name_where_it_stands(folder):
    text = IN_PLACE.replace("dyes: {madder: 3 %}, ", "name: rim, ")
    (folder / "2026-004.yaml").write_text(text, encoding="utf-8")
    said = CliRunner().invoke(main, ["--studio", str(folder), "check"]).stdout
    assert "the lot 'grey' has its name where it stands" in said


def test_an_over_dyed_lot_brings_both_baths_scaled_to_the_fibre(run):
    (bracken,) = data(run, "#7b4026", "--weight", "1 kg", "--most", "1")["recipes"]
    assert bracken["amounts"] == [
        {"what": "walnut", "grams": "450", "lacking grams": "450"},
        {"what": "alum", "grams": "100", "lacking grams": "0"},
        {"what": "madder", "grams": "250", "lacking grams": "105"},
    ]


def test_the_recipe_in_words(run):
    said = run("bracken", "--weight", "1 kg").stdout
    lines = [" ".join(line.split()) for line in said.splitlines()]
    for line in (
        "Wanted #7b4026, red-brown, the colour of bracken",
        "bracken looks the same red-brown #7b4026 0.0",
        "bracken, for 1000 g of fibre",
        "It was made on grey, grey #8f8e8a.",
        "Bath 2026-02-peat",
        "walnut 450 not weighed",
        "80 C for 1 h, rain water",
        "Bath 2026-03-bracken",
        "alum 100 984",
        "madder 250 145 105",
        "The shelf lacks 105 g of madder.",
    ):
        assert line in lines, line


def test_an_exhaust_bath_says_whose_pot_it_needs(run):
    (slate,) = data(run, "slate", "--most", "1")["recipes"]
    assert slate["exhaust of"] == ["2026-02-peat"]
    assert [line["what"] for line in slate["amounts"]] == ["iron"]
    assert "Bath 2026-04-slate, in what is left of 2026-02-peat" in run("slate").stdout


def test_blocks_of_true_colour_stand_side_by_side(folder, monkeypatch):
    monkeypatch.setenv("COLORTERM", "truecolor")
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("TERM", "xterm-256color")
    result = CliRunner().invoke(
        main, ["--studio", str(folder), "match", "#7a3f26"], color=True, env={"COLUMNS": "80"}
    )
    both = "\x1b[48;2;122;63;38m      \x1b[0m\x1b[48;2;123;64;38m      \x1b[0m"
    assert both in result.stdout


@pytest.mark.parametrize(
    "terminal",
    [
        {"COLORTERM": "", "TERM": "xterm-256color"},  # neighbours would look the same
        {"COLORTERM": "truecolor", "TERM": "dumb"},
        {"COLORTERM": "truecolor", "TERM": "xterm-256color", "NO_COLOR": "1"},
    ],
)
def test_no_blocks_where_the_terminal_lacks_colours(folder, monkeypatch, terminal):
    for name, value in {"FORCE_COLOR": "1", **terminal}.items():
        monkeypatch.setenv(name, value)
    asked = ["--studio", str(folder), "match", "#7a3f26"]
    said = CliRunner().invoke(main, asked, color=True, env={"COLUMNS": "80"}).stdout
    assert "48;" not in said and "wanted, made" not in said
    assert "bracken" in said and "#7a3f26, red-brown" in said


def test_a_photo_is_measured_in_its_middle(run, folder, tmp_path):
    picture = Image.new("RGB", (300, 200), "#ffffff")
    picture.paste("#7b4026", (40, 30, 260, 170))
    picture.save(tmp_path / "wanted.png")
    found = data(run, str(tmp_path / "wanted.png"))
    assert (found["colour"]["hex"], found["recipes"][0]["lot"]) == ("#7b4026", "bracken")
    said = run(str(tmp_path / "wanted.png")).stdout
    assert "#7b4026, red-brown, measured in the middle of wanted.png\n" in said
    (folder / "photos").mkdir()
    (tmp_path / "wanted.png").rename(folder / "photos" / "wanted.png")
    assert data(run, "wanted.png")["colour"]["hex"] == "#7b4026"


def test_a_colour_by_its_name(run):
    found = data(run, "strong brown")
    assert found["colour"]["name"] == "Strong Brown"
    assert data(run, "light grey")["colour"] == data(run, "light gray")["colour"]


def test_what_is_no_colour_is_refused_with_the_nearest(run, tmp_path):
    result = run("brakcen")
    assert result.exit_code == 1
    assert result.stderr == (
        "'brakcen' is neither a photo nor a colour such as '#8a2f2a'. did you mean 'bracken'?\n"
    )
    (tmp_path / "torn.jpg").write_bytes(b"\xff\xd8\xff\xe0 torn")
    torn = run(str(tmp_path / "torn.jpg"))
    assert torn.exit_code == 1
    assert "torn.jpg" in torn.stderr


def test_a_weight_wants_its_unit(run):
    result = run("#7b4026", "--weight", "250")
    assert result.exit_code == 2
    assert re.search(r"'250' is a weight without a unit: write for\s+example 412 g", result.stderr)
    assert run("#7b4026", "--weight", "0 g").exit_code == 2


@pytest.mark.parametrize("columns", [60, 80, 140])
def test_it_fits_the_terminal(run, columns):
    said = run("#7b4026", columns=columns).stdout
    assert max(len(line) for line in said.splitlines()) <= columns


def test_differences_in_words():
    assert [british().tell(looks(apart)) for apart in (0, 0.99, 1, 2, 5, 10)] == [
        "looks the same",
        "looks the same",
        "very close",
        "close",
        "in the family",
        "another colour",
    ]


def test_a_dye_book_without_colours_says_so(write_studio):
    plain = {**RECORDS, "2026-001.yaml": "number: 2026-001\ntitle: T\n"}
    plain = {name: re.sub(r'\ncolour: ".*"', "", text) for name, text in plain.items()}
    result = CliRunner().invoke(main, ["--studio", str(write_studio(plain)), "match", "#7b4026"])
    assert "No bath in the dye book has a colour yet" in result.stdout


def test_on_a_fibre_what_was_dyed_on_its_like_comes_first(write_studio):
    records = dict(RECORDS)
    records["studio/yarns.yaml"] += "flax: {fibre: linen, weight: 1 kg, cost: 20}\n"
    records["dyebook/2026-05-rust.yaml"] = """
date: 2026-05-01
dyed: [{yarn: flax, weight: 100 g, becomes: rust}]
steps: [{dyes: {walnut: 45 %}}]
colour: "#9e322c"
"""
    folder = write_studio(records)

    def call(*words, columns=80):
        asked = ["--studio", str(folder), "match", "#7b4026", *words]
        return CliRunner().invoke(main, asked, env={"COLUMNS": str(columns)})

    plain = json.loads(call("--json").stdout)["recipes"]
    assert plain[0]["lot"] == "bracken" and "holds" not in plain[0]
    found = json.loads(call("--on", "cotton", "--json").stdout)["recipes"]
    assert [(each["lot"], each["holds"]) for each in found[:2]] == [
        ("rust", True),
        ("bracken", False),
    ]
    said = " ".join(call("--on", "linen").stdout.split())
    assert "Recipes dyed on cotton and linen come first" in said
    assert "Dyed on wool, not on cotton and linen: the colour will come out otherwise" in said
    assert "Cotton and linen want a tannin, or aluminium acetate, first." in said
    on_wool = " ".join(call("--on", "merino", "--most", "3").stdout.split())
    assert "Dyed on" not in on_wool and "come first" not in on_wool
    assert max(map(len, call("--on", "silk", columns=60).stdout.splitlines())) <= 60
    assert "No recipe with a colour was dyed on silk" in " ".join(
        call("--on", "silk").stdout.split()
    )
    wrong = call("--on", "polyester")
    assert wrong.exit_code == 2 and "is no fibre that natural dyes take" in wrong.stderr
