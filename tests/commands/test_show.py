"""`show` and `start show` through the command line: papers, places for programs, refusals."""

import json

import pytest
from click.testing import CliRunner

from provenance.build import exhibition
from provenance.commands.main import main
from provenance.papers.shows.plan import hanging_plan

DAY = "1795176000"  # 20 November 2026
FILES = {
    "studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\nlabels for: [UK]\n",
    "studio/yarns.yaml": "plain: {fibre: wool, weight: 9 kg, cost: 74.13, colour: '#6f7a38'}\n",
    "studio/outlets.yaml": "quay: {kind: gallery, place: Sandrigg}\n",
    "shows/tide.yaml": """\
title: Low water
outlet: quay
walls:
  - {name: north, width: 600 cm, works: [2026-001, 2026-002, 2026-003]}
  - {width: 100 cm, works: 2026-004, eye: 140 cm}
""",
}


def piece(number: str, size: str, more: str = "") -> str:
    return (
        f"number: {number}\ntitle: Piece {number[-1]}\nkind: hanging\nsize: {size}\nweight: 300 g\n"
        f"yarns: [{{use: weft, lot: plain, weight: 300 g}}]\n{more}"
    )


PIECES = {
    "2026-001.yaml": piece("2026-001", "120 x 90 cm", "hook: 3 cm below\n"),
    "2026-002.yaml": piece("2026-002", "80 x 120 cm"),
    "2026-003.yaml": piece("2026-003", "75 x 60 cm", "hook: 4 cm above\n"),
    "2026-004.yaml": piece("2026-004", "33.3 x 33.4 cm"),
}


@pytest.fixture
def run(tmp_path, monkeypatch):
    """The command in a small studio; `changed` are files by name, None for those that go."""
    monkeypatch.chdir(tmp_path)

    def called(*words, code=0, **changed):
        for name, text in {**FILES, **PIECES, **changed.get("files", {})}.items():
            path = tmp_path / "pieces" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.unlink(missing_ok=True) if text is None else path.write_text(text, "utf-8")
        env = {"SOURCE_DATE_EPOCH": DAY}
        result = CliRunner().invoke(main, list(words), env=env, catch_exceptions=False)
        assert result.exit_code == code, result.output
        return result.output

    return called


@pytest.fixture
def plan_alone(monkeypatch):
    """Of a show's papers the hanging plan and no other: for what is not about its papers."""
    monkeypatch.setattr(exhibition, "OPEN", (hanging_plan,))
    monkeypatch.setattr(exhibition, "PRIVATE", ())


def test_every_place_for_programs(run, tmp_path):
    data = json.loads(run("show", "tide", "--json"))
    assert data["title"] == "Low water"
    assert data["walls"] == [
        {"name": "north", "works": [
            {"number": "2026-001", "left cm": "82.5", "centre cm": "152.0", "top cm": "212.0",
             "hook cm": "209.0"},
            {"number": "2026-002", "left cm": "255.0", "centre cm": "152.0", "top cm": "192.0",
             "hook cm": "192.0"},
            {"number": "2026-003", "left cm": "457.5", "centre cm": "152.0", "top cm": "189.5",
             "hook cm": "193.5"},
        ]},
        {"name": "wall 2", "works": [
            {"number": "2026-004", "left cm": "33.3", "centre cm": "140.0", "top cm": "156.7",
             "hook cm": "156.7"},
        ]},
    ]  # fmt: skip
    assert "papers/tide/hanging-plan.pdf" in data["papers"]
    for paper in data["papers"]:
        assert (tmp_path / "pieces" / paper).is_file()


@pytest.mark.usefixtures("plan_alone")
def test_its_papers_are_told(run):
    said = run("show", "tide")
    assert said.startswith("For Low water, 4 works, in pieces/papers/tide/\n")
    assert "  Hanging plan: hanging-plan.pdf\n" in said


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        ((), 2, "Papers for which show? Known here: tide."),
        (("tied",), 1, "there is no show 'tied'. did you mean 'tide'?"),
    ],
)
def test_a_show_has_to_be_known(run, words, code, said):
    assert said in run("show", *words, code=code)


def test_without_any_show_it_says_how_to_begin_one(run):
    assert "'provenance start show' begins one" in run(
        "show", code=2, files={"shows/tide.yaml": None}
    )


def test_nothing_is_written_for_a_show_that_cannot_be_hung(run, tmp_path):
    narrow = FILES["shows/tide.yaml"].replace("600 cm", "250 cm")
    said = run("show", "tide", code=1, files={"shows/tide.yaml": narrow})
    assert "tide.yaml:4:26: the north wall is 20 cm too narrow" in said
    assert not (tmp_path / "pieces" / "papers" / "tide").exists()
    said = run("show", "tide", code=1, files={"shows/tide.yaml": "title: Low water\n"})
    assert "nothing hangs in Low water yet" in said


def test_a_work_without_a_size_holds_up_its_plan_and_no_site(run):
    begun = PIECES["2026-004.yaml"].replace("size: 33.3 x 33.4 cm\n", "")
    said = run("show", "tide", code=1, files={"2026-004.yaml": begun})
    assert "tide.yaml:5:28: 2026-004 Piece 4 has no size" in said
    run("build", files={"2026-004.yaml": begun})


@pytest.mark.usefixtures("plan_alone")
def test_a_catalogue_that_cannot_be_made_is_told_at_its_place(run, tmp_path):
    (tmp_path / "pieces").mkdir()
    (tmp_path / "pieces" / "press.icc").write_text("no profile")
    asked = FILES["shows/tide.yaml"] + "catalogue: {printer profile: press.icc}\n"
    earlier = piece("2026-001", "120 x 90 cm", "earlier: yes\nfinished: 2026-02-01\n")
    files = {"shows/tide.yaml": asked, "2026-001.yaml": earlier}
    said = run("show", "tide", code=1, files=files)
    assert "shows/tide.yaml:6:30: " in said and said.count("shows/tide.yaml:") == 1
    assert "pieces/shows/tide.yaml:6:30: " in run(
        "catalogue", "--show", "tide", code=1, files=files
    )


@pytest.mark.usefixtures("plan_alone")
def test_a_mistake_in_another_show_holds_up_none(run):
    assert "Hanging plan" in run("show", "tide", files={"shows/other.yaml": "title: [\n"})


def test_its_papers_speak_the_language_of_its_outlet(run):
    german = FILES["studio/outlets.yaml"].replace("Sandrigg", "Sandrigg, language: de")
    data = json.loads(run("show", "tide", "--json", files={"studio/outlets.yaml": german}))
    assert data["walls"][1]["name"] == "Wand 2"


@pytest.mark.usefixtures("plan_alone")
def test_a_show_begins_with_its_walls_explained(run, tmp_path):
    said = run("start", "show", "High water")
    assert said == (
        "pieces/shows/high-water.yaml\nWrite its days, its walls and what hangs there; then "
        "'provenance show high-water'.\n"
    )
    text = (tmp_path / "pieces" / "shows" / "high-water.yaml").read_text("utf-8")
    assert "title: High water\n" in text
    assert "works: [2026-001, 2026-002, 2026-003, 2026-004]" in text
    opened = text.replace("# walls:", "walls:").replace("#   - {name: north", "  - {name: north")
    (tmp_path / "pieces" / "shows" / "high-water.yaml").write_text(opened, "utf-8")
    assert "hanging-plan.pdf" in run("show", "high-water")


def test_a_show_is_never_written_over_another(run, tmp_path):
    run("start", "show", "Tide")
    there = {path.name for path in (tmp_path / "pieces" / "shows").iterdir()}
    assert there == {"tide.yaml", "tide-2.yaml"}


def test_a_show_without_a_title_of_its_own_stays_at_home(run, tmp_path):
    run("start", "show")
    said = run("show", "show", code=1)
    assert "'What the show is called' is still the start file's" in said
    run("build")
    assert (tmp_path / "site" / "shows" / "tide" / "index.html").is_file()
    assert not (tmp_path / "site" / "shows" / "show").exists()
