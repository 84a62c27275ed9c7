"""The guard of the dye day against handbooks, law, poison lore (tests/truth/dye_day.toml)."""

import tomllib
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from provenance.build.opening import open_studio
from provenance.figures.dyes import guard
from provenance.figures.dyes.dye_day import kinds_of
from provenance.figures.flow.depth import pale_dyes
from provenance.figures.light.rating import DyeInPiece, rating
from provenance.language.phrases import british
from provenance.problems import Said
from provenance.public.border import Border
from provenance.records.book import read_book
from provenance.reference.dyes import is_lake
from provenance.reference.fibres import find_fibre
from provenance.reports.cost import cost_report
from provenance.reports.dye_book import guarded
from provenance.reports.report import Note

TRUTH = tomllib.loads(
    (Path(__file__).parent.parent / "truth" / "dye_day.toml").read_text(encoding="utf-8")
)
WOOL, SILK, COTTON = ("wool",), ("silk",), ("cellulose",)


def told(said):
    return british().tell(said) if said else ""


@pytest.mark.parametrize(
    "row", TRUTH["share"], ids=lambda row: f"{row['what']} {row['percent']} on {row['fibre']}"
)
def test_shares_on_a_fibre(row):
    kinds = kinds_of({row["fibre"]: Fraction(1)})
    said = told(guard.share_remark(row["what"], Decimal(row["percent"]), kinds))
    assert (row["words"] in said) if "words" in row else said == ""


@pytest.mark.parametrize("row", TRUTH["grave"], ids=lambda row: row["what"])
def test_poison_fire_and_law(row):
    said = told(guard.grave_remark(row["what"], row["what"]))
    assert (row["words"] in said and "as of November 2026" in said) if "words" in row else not said


@pytest.mark.parametrize("row", TRUTH["protected"], ids=lambda row: row["what"])
def test_protected_species(row):
    said = told(guard.protection_remark(row["what"], row["what"]))
    assert bool(said) == bool(row["words"])
    assert all(words in said for words in row["words"])


@pytest.mark.parametrize("row", TRUTH["fibre"], ids=lambda row: f"{row['what']}: {row['source']}")
def test_protected_animals(row):
    fibre = find_fibre(row["what"])
    said = told(guard.protection_words(fibre.protected, Said("form.fibre", name=fibre.name)))
    assert bool(said) == bool(row["words"])
    assert all(words in said for words in row["words"])


@pytest.mark.parametrize("row", TRUTH["tint"], ids=lambda row: f"{row['what']} {row['percent']} %")
def test_a_tint_of_a_stuff_or_of_its_extract(row, write_studio):
    files = {"studio/studio.yaml": STUDIO, "studio/yarns.yaml": YARNS}
    files["studio/dyestuffs.yaml"] = f"{row['what']}: {{cost: 0}}\n"
    steps = f"[{{dyes: {{{row['what']}: {row['percent']} %}}}}]"
    files["dyebook/a.yaml"] = bath("grey", steps)
    book, _ = read_book(write_studio(files))
    (step,) = book.baths["a"].steps
    assert bool(pale_dyes(book, step, Fraction(100))) == row["is_tint"]


def test_what_harms_is_never_too_little():
    """ICSC 1416, GHS data sheets, REACH: nobody is led to take more of a poison."""
    for name in ("tin", "copper", "iron", "oxalic acid", "titanium", "zinc", "chrome alum", "lye"):
        for kinds in (WOOL, SILK, COTTON):
            assert guard.share_remark(name, Decimal("0.1"), kinds) is None, name


def test_iron_is_held_lower_on_silk():
    assert "above 2 %, the most advised on silk" in told(
        guard.share_remark("iron", Decimal(3), SILK)
    )
    assert guard.share_remark("iron", Decimal(3), COTTON) is None


def test_silk_is_simmered_at_82_and_never_boiled():
    """pburch.net: simmer silk at 180 °F."""
    assert guard.heat_remark({}, Decimal(82), SILK) is None
    assert told(guard.heat_remark({}, Decimal(95), SILK)).startswith("silk above 85 °C:")
    assert guard.heat_remark({}, Decimal(95), WOOL) is None


def test_alkali_on_wool_and_silk_and_acid_on_plant_fibre():
    """Galafassi, turkotek.com: wool suffers in alkali; pburch.net: soda takes off silk's sheen."""
    assert told(guard.ph_remark("12", SILK, is_vat=False)).startswith("pH 12 on silk")
    assert told(guard.ph_remark("10 to 11", WOOL, is_vat=False)).startswith("pH 11 on wool")
    assert guard.ph_remark("10", WOOL, is_vat=True) is None
    assert guard.ph_remark("12", COTTON, is_vat=False) is None
    assert told(guard.ph_remark("3,5", COTTON, is_vat=False)).startswith("pH 3.5 on cotton")
    assert guard.ph_remark("neutral", WOOL, is_vat=False) is None


def test_lye_belongs_in_a_vat_and_tartar_on_wool():
    """maiwa.com: cream of tartar is for wool; Galafassi: alkali on wool."""
    assert guard.unfit_remark("lime", WOOL, is_vat=True) is None
    assert "outside an indigo vat" in told(guard.unfit_remark("lime", WOOL, is_vat=False))
    assert "alkaline as lye" in told(guard.unfit_remark("sodium aluminate", SILK, is_vat=True))
    assert "helps alum on wool only" in told(
        guard.unfit_remark("cream of tartar", COTTON, is_vat=False)
    )
    assert guard.unfit_remark("cream of tartar", WOOL, is_vat=False) is None


def test_a_blend_dyes_as_its_parts():
    assert kinds_of({"wool": Fraction(4, 5), "silk": Fraction(1, 5)}) == ("wool", "silk")
    assert kinds_of({"wool": Fraction(3, 5), "linen": Fraction(2, 5)}) == ("wool",)
    assert kinds_of({"lyocell": Fraction(1)}) == ("cellulose",)
    assert kinds_of({"polyester": Fraction(1)}) == ()


STUDIO = """\
studio: Brackenfold
maker: Isla Wren
currency: GBP
contact: {email: hello@brackenfold.example}
public contact: [email]
pay: {any: 18.00}
"""
YARNS = """\
linen: {fibre: linen, weight: 1 kg, cost: 41.00}
silk: {fibre: silk, weight: 1 kg, cost: 90.00}
grey: {fibre: wool, weight: 1 kg, cost: 30.00}
"""
DYESTUFFS = """\
weld: {species: Reseda luteola, cost: 0}
meadowsweet: {cost: 0}
alkanet root: {species: Alkanna tinctoria, got: "dug in the dunes", part: root, cost: 0}
brazilwood: {cost: 5}
madder lake: {species: Rubia tinctorum, cost: 5}
"""
MORDANTS = """\
alum: {cost: 9.50}
acetate: {is: aluminium acetate, cost: 9.50}
oak gall: {cost: 3}
soda: {is: soda ash, cost: 1}
hydros: {cost: 3}
"""


@pytest.fixture
def remarks(tmp_path):
    """What `check` remarks on, when these are the only baths."""

    def found(**baths):
        files = {"studio/studio.yaml": STUDIO, "studio/yarns.yaml": YARNS}
        files |= {"studio/dyestuffs.yaml": DYESTUFFS, "studio/mordants.yaml": MORDANTS}
        for name, text in baths.items():
            files[f"dyebook/{name}.yaml"] = text
        for name, text in files.items():
            path = tmp_path / "pieces" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        studio = open_studio(tmp_path / "pieces", date(2026, 11, 20))
        return [(str(each.place), told(each.what)) for each in studio.problems]

    return found


def bath(yarn, steps, more=""):
    return f"dyed:\n  - {{yarn: {yarn}, weight: 100 g, becomes: {yarn}-x}}\nsteps: {steps}\n{more}"


def test_alum_on_linen_wants_a_tannin_or_soda_first(remarks):
    """The Perfect Pigment and suzannedekel.com: tannin, then alum; wildcolours.co.uk: with soda."""
    weld = "{dyes: {weld: 60 %}}"
    assert ["holds only after a tannin" in said for _, said in remarks(
        a=bath("linen", f"[{{mordants: {{alum: 15 %}}}}, {weld}]"))] == [True]  # fmt: skip
    for first in (
        "{mordants: {oak gall: 10 %}}, {mordants: {alum: 15 %}}",
        "{mordants: {alum: 15 %, soda: 2 %}}",
        "{mordants: {acetate: 8 %}}",
    ):
        assert remarks(a=bath("linen", f"[{first}, {weld}]")) == []
    late = "[{mordants: {alum: 15 %}}, {mordants: {oak gall: 10 %}}, " + weld + "]"
    assert len(remarks(a=bath("linen", late))) == 1
    assert remarks(a=bath("grey", f"[{{mordants: {{alum: 15 %}}}}, {weld}]")) == []


def test_the_unknown_is_said_once_and_quiet_when_known(remarks):
    steps = "[{mordants: {alum: 10 %}}, {dyes: {meadowsweet: 100 %}}]"
    twice = remarks(a=bath("grey", steps), b=bath("silk", steps))
    assert [said for _, said in twice] == ["meadowsweet: not known here, not known to be safe"]
    assert "a.yaml" in twice[0][0]
    known = bath("silk", steps, "known: ['meadowsweet: not known here']\n")
    assert remarks(a=bath("grey", steps), b=known) == []


def test_a_remark_of_a_bath_is_quiet_by_its_words(remarks):
    steps = "[{mordants: {alum: 10 %}}, {dyes: {weld: 60 %}, heat: 95 C}]"
    assert [said[:18] for _, said in remarks(a=bath("grey", steps))] == ["weld above 90 °C: "]
    assert remarks(a=bath("grey", steps, "known: weld above 90 C\n")) == []
    (wrong,) = remarks(a=bath("grey", steps.replace("95", "85"), "known: [weld above 90 C]\n"))
    assert wrong[1] == "'weld above 90 C' under 'known' matches no remark of this record"


def test_two_records_may_know_the_same_remark(remarks):
    steps = "[{mordants: {alum: 10 %}}, {dyes: {weld: 60 %}, heat: 95 C}]"
    known = "known: weld above 90 C\n"
    both = remarks(a=bath("grey", steps, known), b=bath("silk", steps, known))
    assert [said for _, said in both if "known" in said or said.startswith("weld above")] == []


def test_soda_that_only_scoured_is_no_help_to_alum(remarks):
    """wildcolours.co.uk: alum with soda in one bath; a scour before it is another thing."""
    weld = "{dyes: {weld: 60 %}}"
    scoured = "[{mordants: {soda: 2 %}, heat: 98 C}, {mordants: {alum: 15 %}}, " + weld + "]"
    ((_, said),) = remarks(a=bath("linen", scoured))
    assert said.startswith("alum on cotton and linen holds only after a tannin")
    fixed = "[{mordants: {alum: 15 %}}, {mordants: {soda: 2 %}}, " + weld + "]"
    assert remarks(a=bath("linen", fixed)) == []


def test_a_remark_of_another_record_stays(remarks):
    steps = "[{mordants: {alum: 10 %}}, {dyes: {weld: 60 %}, heat: 95 C}]"
    both = remarks(a=bath("grey", steps, "known: weld above 90 C\n"), b=bath("grey", steps))
    assert ["b.yaml" in place for place, said in both if said.startswith("weld above")] == [True]


def test_papers_and_leave_are_asked_for(remarks):
    """CITES CoP20; Wildlife and Countryside Act 1981, s. 13."""
    steps = "[{mordants: {alum: 10 %}}, {dyes: {brazilwood: 40 %, alkanet root: 50 %}}]"
    said = [said for _, said in remarks(a=bath("grey", steps))]
    assert len(said) == 2
    assert any(words.startswith("brazilwood: CITES Appendix II") for words in said)
    assert any(words.startswith("alkanet root, gathered wild: in Great Britain") for words in said)


def test_the_sheet_of_a_piece_names_what_to_mind(remarks, tmp_path):
    """The maker's own sheet: poison with its date, and what nobody here knows."""
    steps = "[{mordants: {alum: 10 %}}, {dyes: {meadowsweet: 100 %}, after: {hydros: 1 %}}]"
    piece = (
        "number: 2026-001\ntitle: Heft\nkind: rug\nsize: 90 x 60 cm\nhours: {weaving: 3}\n"
        "yarns: [{use: weft, lot: grey-x, weight: 100 g}]\n"
    )
    (tmp_path / "pieces").mkdir()
    (tmp_path / "pieces" / "2026-001.yaml").write_text(piece, encoding="utf-8")
    assert len(remarks(a=bath("grey", steps))) == 2  # hydros, meadowsweet
    studio = open_studio(tmp_path / "pieces", date(2026, 11, 20))
    parts = cost_report(studio.piece("2026-001")).parts
    notes = [told(part.words) for part in parts if isinstance(part, Note)]
    at = notes.index("To mind with what is in it")
    assert notes[at + 1] == "meadowsweet: not known here, not known to be safe"
    assert notes[at + 2].startswith("hydros: can heat itself") and "as of November" in notes[at + 2]


def test_a_lake_is_no_dye_for_yarn(remarks):
    """CAMEO, Lake: a dye precipitated on a powder, used in paint and print."""
    steps = "[{dyes: {madder lake: 2 %}, heat: 95 C}]"
    (only,) = remarks(a=bath("grey", steps))  # no mordant, no heat, no dose is asked of it
    assert only[1].startswith("madder lake: a lake is a pigment")
    assert remarks(a=bath("grey", steps, "known: [madder lake]\n")) == []
    lake = rating(DyeInPiece("madder lake", "Rubia tinctorum", frozenset({"alum"})))
    assert (lake.basis, lake.blue_wool) == ("assumed", (1, 3))


@pytest.mark.parametrize("name", ["weld from Derwent lake", "lac", "black walnut", "stick lac"])
def test_a_dye_named_from_a_place_is_no_lake(name):
    assert not is_lake(name)


def test_a_root_of_rhubarb_is_no_leaf():
    """dharmatrading.com, botanicalcolors.com: Himalayan rhubarb is a root that dyes gold."""
    for name in ("Himalayan rhubarb extract", "rhubarb extract", "rhubarb root"):
        assert guard.grave_remark(name, name) is None
    assert guard.grave_remark("rhubarb leaves", "rhubarb leaves") is not None


def test_papers_of_an_animal_are_asked_for_once(remarks, tmp_path):
    """CITES: vicuña and guanaco; in check, on the maker's sheet, quiet beside papers."""
    more = "fine: {fibre: {vicuna: 50 %, wool: 50 %}, weight: 90 g, cost: 900}\n"
    more += "rest: {fibre: vicuña, weight: 40 g, cost: 900}\n"
    piece = (
        "number: 2026-001\ntitle: Heft\nkind: scarf\nsize: 90 x 20 cm\nhours: {weaving: 3}\n"
        "yarns: [{use: weft, lot: fine, weight: 90 g, waste: 0 g}]\n"
    )
    (tmp_path / "pieces").mkdir()
    (tmp_path / "pieces" / "2026-001.yaml").write_text(piece, encoding="utf-8")
    (only,) = remarks(**{"../studio/yarns": YARNS + more})
    assert only[1].startswith("vicuna: CITES Appendix I") and "yarns.yaml:4" in only[0]
    studio = open_studio(tmp_path / "pieces", date(2026, 11, 20))
    notes = [told(each.words) for each in cost_report(studio.piece("2026-001")).parts
             if isinstance(each, Note)]  # fmt: skip
    assert any(words.startswith("vicuna: CITES Appendix I") for words in notes)
    quiet = more.replace("cost: 900", "cost: 900, permit: 2026-PE-114")
    assert remarks(**{"../studio/yarns": YARNS + quiet}) == []


def test_the_dye_book_lists_a_protected_fibre_that_was_dyed(remarks, tmp_path):
    more = "fine: {fibre: guanaco, weight: 90 g, cost: 900}\n"
    steps = "[{mordants: {alum: 10 %}}, {dyes: {weld: 60 %}}]"
    remarks(**{"../studio/yarns": YARNS + more, "a": bath("fine", steps)})
    border = Border(open_studio(tmp_path / "pieces", date(2026, 11, 20)))
    (found,) = guarded(border)
    assert (found["name"], found["words"][:17]) == ("guanaco", "CITES Appendix II")
