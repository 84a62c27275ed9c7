"""The files beside a page, judged from outside: the museum record by the 14 published JSON Schemas
of the Linked Art API and by PyLD with Linked Art's own context (origin and licence:
tests/truth/linked-art/SOURCE); concepts by an extract of AAT (tests/truth/aat.json); the making by
PyPI `prov` (3.2), the reference implementation of PROV-DM in Python."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import html5lib
import prov.model
import pyld.jsonld
import pytest
import referencing
import referencing.jsonschema
from jsonschema import Draft202012Validator

from provenance.reference.loader import rows

Site = Callable[[Mapping[str, str]], Mapping[str, bytes]]
Node = dict[str, Any]
TRUTH = Path(__file__).parents[1] / "truth"
SITE = "https://brackenfold.example"
NAME = "2026-014-saltmarsh.yaml"
AAT = "http://vocab.getty.edu/aat/"


def read(name: str) -> Any:
    return json.loads((TRUTH / name).read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def museum_rules() -> Draft202012Validator:
    files = sorted((TRUTH / "linked-art").glob("*.json"))
    assert len(files) == 14
    schemas = [json.loads(path.read_text(encoding="utf-8")) for path in files]
    registry = referencing.Registry().with_resources(
        (each["$id"], referencing.jsonschema.DRAFT202012.create_resource(each)) for each in schemas
    )
    object_rules = next(each for each in schemas if each["$id"].endswith("/object.json"))
    return Draft202012Validator(object_rules, registry=registry)


def exported(files: Mapping[str, bytes], name: str) -> dict[str, Node]:
    return {
        path.split("/")[0]: json.loads(content)
        for path, content in files.items()
        if path.endswith(f"/{name}")
    }


def faults(rules: Draft202012Validator, record: Node) -> list[str]:
    return [error.message for error in rules.iter_errors(record)]


def test_every_museum_record_keeps_the_published_rules(
    museum_rules: Draft202012Validator, demo_files: Mapping[str, bytes]
) -> None:
    found = exported(demo_files, "linked-art.json")
    assert len(found) >= 12
    for number, record in found.items():
        assert faults(museum_rules, record) == [], number


def _unknown_word(record: Node) -> None:
    record["price"] = "1450"


def _text_for_a_type(record: Node) -> None:
    record["classified_as"][0] = "Artwork"


def _wrong_type(record: Node) -> None:
    record["type"] = "Painting"


def _number_as_text(record: Node) -> None:
    record["dimension"][0]["value"] = "124"


def _no_label(record: Node) -> None:
    del record["_label"]


def _no_unit(record: Node) -> None:
    del record["dimension"][0]["unit"]


@pytest.mark.parametrize(
    "spoil",
    [_unknown_word, _text_for_a_type, _wrong_type, _number_as_text, _no_label, _no_unit],
)
def test_a_spoilt_museum_record_is_found_out(
    museum_rules: Draft202012Validator,
    demo_files: Mapping[str, bytes],
    spoil: Callable[[Node], None],
) -> None:
    record = copy.deepcopy(exported(demo_files, "linked-art.json")["2026-014"])
    spoil(record)
    assert faults(museum_rules, record) != []


def test_what_the_museum_record_says(demo_files: Mapping[str, bytes]) -> None:
    record = exported(demo_files, "linked-art.json")["2026-014"]
    assert record["id"] == f"{SITE}/2026-014/"
    assert [each["content"] for each in record["identified_by"]] == ["Saltmarsh", "2026-014"]
    sizes = {
        each["classified_as"][0]["_label"]: (each["value"], each["unit"]["_label"])
        for each in record["dimension"]
    }
    assert sizes == {
        "height": (124, "centimeters"),
        "width": (86, "centimeters"),
        "weight (heaviness attribute)": (796, "grams (measurements)"),
    }
    made_of = [each["_label"] for each in record["made_of"]]
    assert made_of == ["wool", "linen", "indigo", "weld", "madder"]
    parts = [each["technique"][0]["_label"] for each in record["produced_by"]["part"]]
    assert parts == [
        "scouring", "carding", "combing", "hand spinning", "plying", "dyeing", "hand weaving",
    ]  # fmt: skip
    span = record["produced_by"]["timespan"]
    assert span["end_of_the_end"] == "2026-09-14T23:59:59Z"
    assert span["begin_of_the_end"] == "2026-09-14T00:00:00Z"
    pictures = [
        each["digitally_shown_by"][0]["access_point"][0]["id"] for each in record["representation"]
    ]
    named = f"{SITE}/pictures/2026-014-{{}}-480-5a5a5a5a.jpg"
    assert pictures == [named.format(number) for number in (1, 2, 3)]


def concepts(value: Any) -> list[tuple[str, str]]:
    if isinstance(value, list):
        return [found for each in value for found in concepts(each)]
    if not isinstance(value, dict):
        return []
    own = [(value["id"], value["_label"])] if str(value.get("id", "")).startswith(AAT) else []
    return own + [found for each in value.values() for found in concepts(each)]


def test_every_concept_is_in_aat_under_the_label_we_print(demo_files: Mapping[str, bytes]) -> None:
    labels = {each["uri"]: each["labels"] for each in read("aat.json")["terms"]}
    told = [each for record in exported(demo_files, "linked-art.json").values()
            for each in concepts(record)]  # fmt: skip
    assert len(set(told)) > 20
    for uri, label in told:
        assert label in labels[uri]


def test_the_whole_table_of_concepts_is_in_aat() -> None:
    # AAT extract and label file: the sources stand in tests/truth/aat.json.
    truth = {each["id"]: each for each in read("aat.json")["terms"]}
    for row in rows("aat"):
        term = truth[row["id"]]
        assert row["label"] in term["labels"], row
        assert row["source"] == ("linked art" if "from" in term else "extract"), row
    named = [(row["of"], row["name"]) for row in rows("aat")]
    assert len(named) == len(set(named))


def terms(value: Any) -> int:
    if isinstance(value, list):
        return sum(map(terms, value))
    if not isinstance(value, dict):
        return 0
    kept = [word for word in value if not word.startswith("@") and word not in ("id", "type")]
    return len(kept) + sum(map(terms, value.values()))


def test_pyld_expands_the_museum_record_and_loses_nothing(
    demo_files: Mapping[str, bytes],
) -> None:
    # Linked Art's own context: github.com/linked-art/linked.art 3ed503b, docs/ns/v1, CC BY 4.0.
    def load(address: str, _options: Any) -> Node:
        assert address == "https://linked.art/ns/v1/linked-art.json"
        document = read("linked-art-context.json")
        return {"contextUrl": None, "documentUrl": address, "document": document}

    for record in exported(demo_files, "linked-art.json").values():
        expanded = pyld.jsonld.expand(record, {"documentLoader": load})
        assert terms(expanded) == terms(record)


def document_of(record: Node) -> prov.model.ProvDocument:
    return prov.model.ProvDocument.deserialize(content=json.dumps(record), format="json")


def test_prov_reads_every_making_and_writes_the_same(demo_files: Mapping[str, bytes]) -> None:
    found = exported(demo_files, "prov.json")
    assert len(found) >= 12
    for record in found.values():
        document = document_of(record)
        for way in ("json", "xml"):
            again = prov.model.ProvDocument.deserialize(
                content=document.serialize(format=way), format=way
            )
            assert again == document
        assert set(json.loads(document.serialize(format="json"))) == set(record)


def ties(record: Node) -> dict[str, set[str]]:
    """Each entity with those it came from, through the activity that made it."""
    used: dict[str, set[str]] = {}
    for tie in record["used"].values():
        used.setdefault(tie["prov:activity"], set()).add(tie["prov:entity"])
    return {
        tie["prov:entity"]: used[tie["prov:activity"]] for tie in record["wasGeneratedBy"].values()
    }


def reach(sources: Mapping[str, set[str]], start: str, on_path: tuple[str, ...] = ()) -> set[str]:
    assert start not in on_path, "a circle"
    found = {start}
    for each in sources.get(start, ()):
        found |= reach(sources, each, (*on_path, start))
    return found


def test_everything_is_reached_from_the_piece_back_to_material(
    demo_files: Mapping[str, bytes],
) -> None:
    for number, record in exported(demo_files, "prov.json").items():
        sources, piece = ties(record), f"studio:{number}/"
        assert reach(sources, piece) == set(record["entity"])
        roots = set(record["entity"]) - set(sources)
        for root in roots:
            is_material = re.match(r"here:(fleece|dye|mordant)-", root)
            is_bought = "schema:material" in record["entity"][root]
            assert is_material or is_bought, root
        derived = {
            (tie["prov:generatedEntity"], tie["prov:usedEntity"])
            for tie in record["wasDerivedFrom"].values()
        }
        assert derived <= {(made, each) for made, used in sources.items() for each in used}
        assert record["activity"].keys() == {
            tie["prov:activity"] for tie in record["wasAssociatedWith"].values()
        }


def weights(record: Node) -> dict[str, str]:
    return {
        each["prov:label"]: each["schema:weight"]
        for each in record["entity"].values()
        if "schema:weight" in each
    }


def test_what_is_told_of_the_making(site_with: Site) -> None:
    record = exported(site_with({}), "prov.json")["2026-014"]
    # 412 g of 960 g spun from 2 kg: 2000 x 412/960 = 858.3 g in the grease. Alum (12 % of 412 g)
    # was weighed into the bath, of which the cloth holds a part: no weight is told of it.
    assert weights(record) == {
        "Gotland fleece": "858.3 g",
        "Gotland 2-ply": "412 g",
        "Marsh green": "412 g",
        "Linen warp": "180 g",
    }
    sources = ties(record)
    assert sources["studio:2026-014/"] == {"here:lot-marsh-green", "here:yarn-linen-warp"}
    mordanted = "here:lot-marsh-green-after-mordanting"
    assert sources["here:lot-marsh-green"] == {mordanted, "here:dye-weld"}
    assert sources[mordanted] == {"here:yarn-gotland-2ply", "here:mordant-alum"}
    labels = [each["prov:label"] for each in record["activity"].values()]
    assert labels == ["Spinning by hand", "Mordanting", "Dyeing", "Weaving by hand"]
    agents = {name: each["prov:label"] for name, each in record["agent"].items()}
    assert agents == {"home:maker": "Isla Wren", "here:farm-1": "Low Eskrigg Farm"}


def test_yarn_written_in_place_and_yarn_dyed_over(
    site_with: Site, small_studio: Mapping[str, str]
) -> None:
    record = small_studio[NAME].replace(
        "  - {use: warp",
        """\
  - {use: weft, lot: moss, weight: 80 g}
  - use: weft
    fleece: gotland-2025
    weight: 118 g
    mordants: {alum: 12 %}
    dyes: {weld: 50 %}
    hours: {carding: 1.5, spinning: 5}
  - {use: warp""",
    )
    changes = {
        NAME: record,
        "studio/fleece.yaml": small_studio["studio/fleece.yaml"].replace(
            "cost: 66.00", "cost: 66.00, scoured: 55 %"
        ),
        "studio/mordants.yaml": f"{small_studio['studio/mordants.yaml']}iron: {{weight: 100 g}}\n",
        "dyebook/over.yaml": """\
dyed: [{yarn: gotland-2ply, weight: 90 g, becomes: grass}]
exhaust of: marsh
""",
        "dyebook/moss.yaml": """\
dyed: [{yarn: grass, weight: 90 g, becomes: moss}]
steps: [{after: {iron: 1 %}}]
""",
    }
    said = exported(site_with(changes), "prov.json")["2026-014"]
    sources = ties(said)
    assert reach(sources, "studio:2026-014/") == set(said["entity"])
    assert sources["here:lot-moss"] == {"here:lot-grass", "here:mordant-iron"}
    assert sources["here:lot-grass"] == {"here:yarn-gotland-2ply", "here:dye-weld"}
    in_place = "here:yarn-2026-014-weft"
    assert sources[in_place] == {f"{in_place}-after-mordanting", "here:dye-weld"}
    assert sources[f"{in_place}-after-mordanting"] == {f"{in_place}-undyed", "here:mordant-alum"}
    assert sources[f"{in_place}-undyed"] == {f"{in_place}-undyed-after-carding"}
    assert sources[f"{in_place}-undyed-after-scouring"] == {"here:fleece-gotland-2025"}
    assert weights(said)["Gotland 2025 yarn"] == "118 g"


PRIVATE = {
    "studio/studio.yaml": "overhead: 13.37 %\nstatement: ''\n",
    NAME: """\
price: 8765
at: back-room
status: sold
sale: {on: 2026-11-02, price: 8765, to: "XQZOWNER, Leeds", buyer: {name: XQZBUYER}}
kept: XQZSHELF
notes: XQZNOTE
""",
    "studio/outlets.yaml": "back-room: {kind: gallery, title: XQZGALLERY, commission: 45 %}\n",
}


def test_no_price_no_owner_no_whereabouts(site_with: Site, small_studio: Mapping[str, str]) -> None:
    changes = {name: small_studio.get(name, "") + more for name, more in PRIVATE.items()}
    files = site_with(changes)
    for name in ("linked-art.json", "prov.json"):
        text = files[f"2026-014/{name}"].decode()
        for secret in ("XQZ", "8765", "8,765", "Far Lane", "Co. Down", "66.00", "41.00", "247.2"):
            assert secret not in text, (name, secret)  # 247.2 g: 60 % weld, the recipe
    assert "XQZOWNER" not in files["2026-014/index.html"].decode()


def test_the_page_leads_to_its_files(demo_files: Mapping[str, bytes]) -> None:
    page = html5lib.parse(demo_files["2026-014/index.html"].decode(), namespaceHTMLElements=False)
    told = {
        each.get("href"): each.get("type")
        for each in page.iter("link")
        if each.get("rel") == "alternate" and "/" not in each.get("href", "")
    }
    assert told == {
        "piece.json": "application/json",
        "linked-art.json": (
            'application/ld+json;profile="https://linked.art/ns/v1/linked-art.json"'
        ),
        "prov.json": "application/json",
    }
    links = {each.get("href") for each in page.iter("a")}
    assert told.keys() <= links
    assert all(f"2026-014/{name}" in demo_files for name in told)


def test_without_a_site_there_is_nothing_to_name_things_by(
    site_with: Site, small_studio: Mapping[str, str]
) -> None:
    studio = small_studio["studio/studio.yaml"].replace(f"site: {SITE}\n", "")
    files = site_with({"studio/studio.yaml": studio})
    names = {path for path in files if path.startswith("2026-014/")}
    assert names == {"2026-014/index.html", "2026-014/piece.json", "2026-014/outline.pdf"}
    assert "prov.json" not in files["2026-014/index.html"].decode()
