"""The chain of certificates: issued, issued again after a sale and a mended fact, checked by
`verify`; what was tampered with is refused. One small studio goes through its life once."""

from __future__ import annotations

import contextlib
import html
import json
import os
import re
import shutil
import stat
import subprocess
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import page
import pikepdf
import pytest
from click.testing import CliRunner
from PIL import Image

from provenance.build.verify_lines import as_data
from provenance.build.verifying import check, trusted_from
from provenance.commands.main import main
from provenance.commands.verify import code_of
from provenance.language.phrases import british, phrases_for
from provenance.records.book import read_book
from provenance.records.printed import lines_alone
from provenance.records.seal_keys import SealKey
from provenance.seal.did import Listed
from provenance.seal.multibase import digest_of_bytes
from provenance.site.checking import TrustedKey
from provenance.site.guide import guide
from tests.conftest import DEMO_DAY

PIECE = """\
number: 2026-014
title: Saltmarsh
kind: hanging
size: 124 x 86 cm
finished: 2026-09-14
yarns:
  - {use: weft, lot: marsh-green, weight: 200 g}
  - {use: warp, lot: linen-warp, weight: 180 g, waste: 20 g}
hours: {weaving: 61}
price: 640
at: harbour-gallery
photos:
  - {file: front.jpg, view: whole, alt: "Tall hanging in olive bands"}
"""
RECORDS = {
    "studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\nplace: Eskrigg Dale\n"
    "site: https://brackenfold.example\npay: {any: 18.00}\n",
    "studio/keys.yaml": '- {key: "z6MkrJVnaZkeFzdQyMZu1cgjg7k1pZZ6pvBQ7XJPt4swbTQ2", '
    "from: 2026-01-05}\n",
    "studio/fleece.yaml": "gotland-2025: {breed: Gotland, weight: 3 kg, cost: 66.00}\n",
    "studio/yarns.yaml": "gotland-2ply: {fleece: {gotland-2025: 2.0 kg}, weight: 960 g, "
    "hours: {spinning: 26}}\nlinen-warp: {fibre: linen, weight: 1 kg, cost: 41.00}\n",
    "studio/dyestuffs.yaml": "weld: {species: Reseda luteola, weight: 900 g, cost: 0}\n",
    "studio/mordants.yaml": "alum: {weight: 1 kg, cost: 9.50}\n",
    "studio/outlets.yaml": "harbour-gallery: {kind: gallery, commission: 45 %}\n",
    "dyebook/marsh.yaml": "dyed:\n  - {yarn: gotland-2ply, weight: 420 g, becomes: marsh-green}\n"
    "steps:\n  - mordants: {alum: 12 %}\n  - dyes: {weld: 60 %}\n",
    "2026-014-saltmarsh.yaml": PIECE,
    "2026-015-ebb.yaml": PIECE.replace("2026-014", "2026-015").replace("Saltmarsh", "Ebb"),
}
Run = Callable[..., Any]


def written(home: Path, records: Mapping[str, str]) -> Path:
    for name, text in records.items():
        path = home / "pieces" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    photo = home / "pieces" / "photos" / "front.jpg"
    if not photo.exists():
        photo.parent.mkdir()
        Image.linear_gradient("L").resize((60, 80)).convert("RGB").save(photo)
    return home


@pytest.fixture(scope="module")
def here(kept_cache: Path) -> Run:
    """A command without a process of its own: what it says and its code, as of one."""

    def run(home: Path, *words: str, cache: Path = kept_cache, **env: str) -> Any:
        given = {"SOURCE_DATE_EPOCH": DEMO_DAY, "XDG_CACHE_HOME": str(cache), **env}
        with contextlib.chdir(home):
            said = CliRunner().invoke(main, list(words), env=given)
        assert said.exception is None or isinstance(said.exception, SystemExit), said.exc_info
        return subprocess.CompletedProcess(words, said.exit_code, said.stdout, said.stderr)

    return run


def built(run: Run, home: Path, *words: str, **env: str) -> str:
    said = run(home, "build", "--yes", *words, **env)
    assert said.returncode == 0, said.stdout + said.stderr
    return str(said.stdout)


def changed(home: Path, old: str, new: str) -> None:
    path = home / "pieces" / "2026-014-saltmarsh.yaml"
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


@pytest.fixture(scope="module")
def studio(tmp_path_factory: pytest.TempPathFactory, here: Run) -> Path:
    """Three issues: the first, one after a sale, one after a mended fact."""
    home, run = written(tmp_path_factory.mktemp("sealed"), RECORDS), here
    built(run, home)
    (home / "first").mkdir()
    shutil.copytree(home / "site", home / "first" / "site")
    shutil.copytree(home / "pieces" / "papers", home / "first" / "papers")
    changed(home, "at: harbour-gallery\n", 'sale: {on: 2026-11-20, price: 640, to: "J. Reed"}\n')
    built(run, home)
    changed(home, "size: 124 x 86 cm", "size: 125 x 86 cm")
    built(run, home)
    assert "nothing" in built(run, home, "--only-tell")
    return home


def told(path: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(path.read_bytes())
    return found


def attached(paper: Path) -> bytes:
    with pikepdf.open(paper) as pdf:
        return bytes(pdf.attachments["statement.json"].get_file().read_bytes())


def verify(_: Run, home: Path, path: Path, *words: object) -> tuple[int, dict[str, Any]]:
    """What the command says, without a process for each question."""
    options = dict(zip(words[::2], words[1::2], strict=True))
    keys, pinned = options.get("--keys"), options.get("--fingerprint")
    asked = trusted_from(Path(str(keys)) if keys else None, [str(pinned)] if pinned else [])
    book, _ = read_book(home / "pieces")
    own = [_listed(each) for each in book.keys] if book else []
    found = check(Path(path), asked, own)
    return code_of(found), as_data(found, british())


def _listed(key: SealKey) -> Listed:
    days = (str(day or "") for day in (key.from_, key.until, key.withdrawn))
    return Listed(str(key.key), *days, did="did:web:brackenfold.example")


def test_the_statement_in_the_paper_is_the_one_beside_the_page(studio: Path) -> None:
    for number, issue in (("2026-014", 3), ("2026-015", 1)):
        name = f"certificate-{issue}.json"
        inside = attached(studio / "pieces" / "papers" / f"certificate-{number}.pdf")
        assert (studio / "site" / number / name).read_bytes() == inside
        kept = studio / "pieces" / "studio" / "certificates" / f"{number}-{issue}.json"
        assert kept.read_bytes() == inside


def test_a_certificate_is_pdf_a_and_pdf_ua_at_once(studio: Path) -> None:
    for paper in (studio / "pieces" / "papers").rglob("certificate-*.pdf"):
        for profile in ("3a", "ua1"):
            found = page.validate_pdf(str(paper), profile=profile)
            assert found.is_compliant, (paper.name, profile, found.failures)
        with pikepdf.open(paper) as pdf:
            (file,) = pdf.Root.AF
            assert file.AFRelationship == "/Data" and file.EF.F.Subtype == "/application/json"


def test_each_issue_names_the_one_before_its_digest_and_why(studio: Path) -> None:
    folder = studio / "site" / "2026-014"
    first, sold, mended = (told(folder / f"certificate-{turn}.json") for turn in (1, 2, 3))
    assert "supersedes" not in first["issue"]
    before = (folder / "certificate-1.json").read_bytes()
    assert sold["issue"]["supersedes"] == {
        "id": "https://brackenfold.example/2026-014/certificate-1.json",
        "type": "Issue",
        "issueNumber": "1",
        "digestMultibase": digest_of_bytes(before),
    }
    assert sold["issue"]["changed"] == ["provenance"]
    assert sold["issue"]["reason"] == "Its provenance goes on."
    assert mended["issue"]["supersedes"]["issueNumber"] == "2"
    assert "height" in mended["issue"]["changed"]
    assert mended["issue"]["reason"] == "Facts were mended or added."
    assert before == (studio / "first/site/2026-014/certificate-1.json").read_bytes()
    assert "Reed" not in json.dumps([first, sold, mended])  # who owns it is not named


def test_ledger_and_chain_tell_the_same_story(studio: Path) -> None:
    raw = (studio / "pieces" / "studio" / "printed.yaml").read_bytes()
    lines = [each for each in lines_alone(raw) if str(each.number) == "2026-014"]
    folder = studio / "site" / "2026-014"
    issues = [(each.issue, str(each.on)) for each in lines if each.paper == "certificate"]
    chain = [
        (found["issue"]["issueNumber"], found["validFrom"][:10])
        for turn in (1, 2, 3)
        for found in [told(folder / f"certificate-{turn}.json")]
    ]
    assert [(str(number), day) for number, day in issues] == chain
    shown = (folder / "index.html").read_text()
    for turn in (1, 2, 3):
        assert f'href="certificate-{turn}.json"' in shown
    assert "Its provenance goes on." in shown and "Facts were mended or added." in shown


def test_a_site_made_anew_is_the_same(studio: Path, provenance: Run, cache: Path) -> None:
    """By a process of its own to which nothing is known of the records."""
    other_cache = studio / "other-cache" / "provenance"
    other_cache.mkdir(parents=True)
    (other_cache / "letters").symlink_to(cache / "provenance" / "letters")  # seconds to cut
    said = provenance(studio, "build", "--to", "anew", cache=other_cache.parent)
    assert said.returncode == 0, said.stderr
    one, other = studio / "site", studio / "anew"
    names = {path.relative_to(one) for path in one.rglob("*") if path.is_file()}
    assert {path.relative_to(other) for path in other.rglob("*") if path.is_file()} == names
    differ = [
        str(each) for each in names if (one / each).read_bytes() != (other / each).read_bytes()
    ]
    assert [each for each in differ if not each.startswith(".provenance")] == []


def test_what_was_signed_is_genuine_and_later_issues_are_told(
    studio: Path, provenance: Run
) -> None:
    site, paper = studio / "site", studio / "pieces" / "papers" / "certificate-2026-014.pdf"
    for path in (paper, site / "2026-014" / "index.html", site / "2026-014" / "statement.json"):
        code, found = verify(provenance, studio, path)
        assert (code, found["verdict"], found["number"]) == (0, "genuine", "2026-014"), path
    code, found = verify(provenance, studio, site / "2026-014" / "certificate-1.json")
    assert (code, found["issue"], found["newest issue"]) == (0, "1", "3")


def test_a_gallery_without_the_studio_holds_it_against_the_paper(
    studio: Path, provenance: Run, tmp_path: Path
) -> None:
    paper = shutil.copy(studio / "pieces" / "papers" / "certificate-2026-014.pdf", tmp_path)
    code, found = verify(provenance, tmp_path, paper)
    assert (code, found["verdict"]) == (4, "unknown key")
    code, found = verify(provenance, tmp_path, paper, "--fingerprint", found["key"].lower())
    assert (code, found["verdict"]) == (0, "genuine")
    keys = studio / "site" / ".well-known" / "did.json"
    assert verify(provenance, tmp_path, paper, "--keys", keys)[0] == 0
    code, found = verify(provenance, tmp_path, paper, "--fingerprint", "0000 0000 0000 0000 0000")
    assert (code, found["verdict"]) == (4, "unknown key")


def test_what_differs_is_told_where_the_original_lies(
    studio: Path, provenance: Run, tmp_path: Path
) -> None:
    shutil.copytree(studio / "site", tmp_path / "site")
    forged = tmp_path / "site" / "2026-014" / "forged.json"
    original = tmp_path / "site" / "2026-014" / "certificate-3.json"
    forged.write_text(original.read_text().replace('"200"', '"500"'))
    code, found = verify(provenance, tmp_path, forged)
    assert (code, found["verdict"]) == (7, "changed")
    assert found["differs"] and all(place.endswith("weight.value") for place in found["differs"])
    picture = next((tmp_path / "site" / "pictures").glob("2026-014-1-*.jpg"))
    for each in (tmp_path / "site" / "pictures").glob("2026-014-1-*.jpg"):
        each.unlink()
        each.write_bytes(b"another")
    code, found = verify(provenance, tmp_path, tmp_path / "site" / "2026-014" / "index.html")
    assert (code, found["verdict"]) == (7, "changed"), picture


def with_attachment(paper: Path, content: bytes, into: Path, name: str = "statement.json") -> Path:
    with pikepdf.open(paper) as pdf:
        if name in pdf.attachments:
            del pdf.attachments[name]
        pdf.attachments[name] = content
        pdf.save(into)
    return into


def test_attachments_that_were_swapped_cut_or_doubled_are_refused(
    studio: Path, provenance: Run, tmp_path: Path
) -> None:
    papers = studio / "pieces" / "papers"
    paper, other = papers / "certificate-2026-014.pdf", papers / "certificate-2026-015.pdf"
    keys = ("--keys", studio / "site" / ".well-known" / "did.json")

    def word(path: Path) -> tuple[int, str, str]:
        code, found = verify(provenance, tmp_path, path, *keys)
        return code, found["verdict"], found["why"]

    own = attached(paper)
    assert word(with_attachment(paper, own, tmp_path / "own.pdf"))[1] == "genuine"
    swapped = with_attachment(paper, attached(other), tmp_path / "swapped.pdf")
    assert word(swapped) == (
        7, "changed", "The statement inside belongs to another certificate than this paper",
    )  # fmt: skip
    earlier = (studio / "site" / "2026-014" / "certificate-1.json").read_bytes()
    assert word(with_attachment(paper, earlier, tmp_path / "earlier.pdf"))[1] == "changed"
    cut = with_attachment(paper, own[:-40], tmp_path / "cut.pdf")
    assert word(cut)[:2] == (5, "not ours")
    doubled = with_attachment(paper, own, tmp_path / "doubled.pdf", "more.json")
    two = "The PDF carries more than one file: nobody can say which of them counts"
    assert word(doubled) == (5, "not ours", two)
    (tmp_path / "short.pdf").write_bytes(paper.read_bytes()[:-2000])
    assert word(tmp_path / "short.pdf")[:2] == (5, "not ours")
    twice = b'{"type": [],' + own[1:]
    assert word(with_attachment(paper, twice, tmp_path / "twice.pdf"))[:2] == (5, "not ours")
    bare = {name: value for name, value in json.loads(own).items() if name != "proof"}
    (tmp_path / "bare.json").write_text(json.dumps(bare))
    assert word(tmp_path / "bare.json")[:2] == (6, "unsigned")


def test_a_file_that_is_not_there_is_told(here: Run, tmp_path: Path) -> None:
    said = here(tmp_path, "verify", "none.pdf")
    assert (said.returncode, said.stderr) == (1, "no file none.pdf\n")


def test_a_copy_of_the_site_is_all_it_takes(studio: Path, provenance: Run, tmp_path: Path) -> None:
    """Without the studio, its address and the network: a folder in a drawer."""
    drawer = tmp_path / "drawer"
    shutil.copytree(studio / "site", drawer)
    checked = 0
    for path in sorted(drawer.glob("20*/*.json")):
        if path.name.startswith(("certificate-", "statement")):
            code, found = verify(provenance, tmp_path, path)
            told = (code, found["verdict"], found["keys"])
            assert told == (8, "genuine", "beside"), path
            checked += 1
    assert checked == 6  # two pieces as they are, three issues and one
    guide = (drawer / "how-to-check.txt").read_text()
    assert ".well-known/did.json" in guide and "RFC 8785" in guide
    assert "09W9 QFTE 1FBJ Z9F2 4FHF: in use since 5 January 2026." in guide
    mine = [
        f"2026-014/{name}"
        for name in ("statement.json", *(f"certificate-{n}.json" for n in (1, 2, 3)))
    ]
    assert f"- 2026-014 Saltmarsh: {', '.join(mine)}\n" in guide
    told = set(re.findall(r"[\w.-]+/[\w./-]+\.(?:jsonld|json|html)", guide))
    there = {each.relative_to(drawer).as_posix() for each in drawer.rglob("*") if each.is_file()}
    assert {each for each in told if not each.startswith("NUMBER/")} <= there
    signed = {each for each in there if re.search(r"/(?:statement|certificate-\d+)\.json$", each)}
    assert signed <= told


def shown(page: str) -> tuple[list[str], set[str]]:
    """The words of the guide's page, paragraph by paragraph, and the files it leads to."""
    (article,) = re.findall(r'(?s)<article class="page guide">(.*)</article>', page)
    links = set(re.findall(r'href="([^"]+)"', article))
    parts = re.findall(r"(?s)<(?:h1|h2|p|li)>(.*?)</", re.sub(r"</?a\b[^>]*>", "", article))
    return [html.unescape(each) for each in parts], links


def test_the_guide_says_the_same_on_its_page(studio: Path) -> None:
    page = (studio / "site" / "how-to-check.html").read_text()
    words, links = shown(page)
    text = (studio / "site" / "how-to-check.txt").read_text()
    lines = [re.sub(r"^(?:- |\d\. )", "", line) for line in text.splitlines() if line]
    is_head = {"What lies where:", "To check with other tools, in forty years too:",
               "Public keys, by their fingerprint:", "Statements, piece by piece:"}  # fmt: skip
    assert words == [line.removesuffix(":") if line in is_head else line for line in lines]
    assert {"index.html", "checking/index.html", ".well-known/did.json", "ns/statement-v1.jsonld",
            "2026-014/certificate-3.json", "2026-015/statement.json"} <= links  # fmt: skip
    assert all((studio / "site" / each).is_file() for each in links)
    assert "<script" not in page
    checking = (studio / "site" / "checking" / "index.html").read_text()
    assert 'href="../how-to-check.html"' in checking


def test_the_guide_is_german_for_a_german_studio_and_knows_every_key() -> None:
    phrases = phrases_for("de", "EUR", {}, None)
    keys = [
        TrustedKey("", "AAAA", "2026-03-01"),
        TrustedKey("", "BBBB", "2025-01-05", "2026-03-01"),
        TrustedKey("", "CCCC", "2024-01-05", "2025-01-05", "2025-01-05"),
    ]
    named = {"studio": "Web & Faden", "site": "https://faden.example", "keys": "did.json",
             "terms": "ns/statement-v1.jsonld"}  # fmt: skip
    found = guide(phrases, named, keys, {"2026-014 did.json": ["2026-014/statement.json"]})
    text = found.content.decode()
    assert text.startswith("So lässt sich prüfen, was hier liegt\n\nDieser Ordner enthält")
    assert "- AAAA: in Gebrauch seit 1. März 2026.\n" in text
    assert (
        "- BBBB: in Gebrauch 5. Januar 2025 bis 1. März 2026. Was er signiert hat, bleibt" in text
    )
    assert "- CCCC: zurückgezogen am 5. Januar 2025, weil andere ihn haben könnten." in text
    kinds = [part.kind for part in found.parts]
    assert kinds == ["p", "p", "ul", "p", "ol", "p", "p", "ul", "ul"]
    assert found.parts[-1].heading == "Erklärungen, Stück für Stück"


def test_no_issue_is_listed_that_was_never_issued(here: Run, tmp_path: Path) -> None:
    """Letters that no paper has are on the site, and a certificate has none: it can't be made."""
    home = written(tmp_path, RECORDS)
    record = home / "pieces" / "2026-015-ebb.yaml"
    record.write_text(record.read_text().replace("Ebb", "\u6f6e"))
    said = here(home, "build", "--yes")
    assert "U+6F6E" in said.stderr, said.stderr
    piece, page = home / "site" / "2026-015", home / "site" / "2026-015" / "index.html"
    assert (piece / "statement.json").is_file() and not list(piece.glob("certificate-*"))
    assert "Certificates issued" not in page.read_text()
    assert "certificate" not in str(verify(here, home, page)[1].get("newest issue", ""))
    assert (home / "site" / "2026-014" / "certificate-1.json").is_file()
    kept = home / "pieces" / "studio" / "certificates"
    assert [each.name for each in kept.iterdir()] == ["2026-014-1.json"]
    record.write_text(record.read_text().replace("\u6f6e", "Ebb"))
    built(here, home)
    assert (piece / "certificate-1.json").read_bytes() == (kept / "2026-015-1.json").read_bytes()
    assert "Certificates issued" in page.read_text()


def test_the_command_says_it_in_words_and_by_its_exit_code(
    studio: Path, here: Run, provenance: Run, tmp_path: Path
) -> None:
    paper = studio / "pieces" / "papers" / "certificate-2026-015.pdf"
    said = here(studio, "verify", str(paper))
    assert said.returncode == 0
    assert said.stdout.startswith(
        "Genuine: just what the studio signed.\n    2026-015 Ebb\n"
        "    Certificate, issue 1, 25 November 2026\n    Key 09W9 QFTE 1FBJ Z9F2 4FHF, "
    )
    assert "It doesn't prove that the object before you is the one described" in said.stdout
    forged = tmp_path / "forged.json"
    forged.write_text(attached(paper).decode().replace("Ebb", "Flood"))
    code = provenance(studio, "verify", str(forged), "--json")
    assert (code.returncode, json.loads(code.stdout)["verdict"]) == (7, "changed")


# Keys come and go


def test_without_a_key_nothing_changes(here: Run, tmp_path: Path) -> None:
    bare = {name: text for name, text in RECORDS.items() if not name.endswith("keys.yaml")}
    home = written(tmp_path, bare)
    said = here(home, "build")
    assert said.returncode == 0
    assert not list((home / "site").rglob("statement.json"))
    assert not (home / "site" / ".well-known").exists()
    assert not list((home / "site").glob("how-to-check*"))
    assert "how-to-check" not in (home / "site" / "checking" / "index.html").read_text()
    code, found = verify(here, home, home / "pieces/papers/certificate-2026-014.pdf")
    none = "The PDF carries no statement: certificates that were not signed carry none"
    assert (code, found["why"]) == (5, none)


def test_where_the_secret_half_is_missing_it_says_unsigned(here: Run, tmp_path: Path) -> None:
    home = written(tmp_path, RECORDS)
    said = here(home, "build", PROVENANCE_KEY="")
    assert said.returncode == 0
    assert (
        "Not signed: the secret half of the key isn't on this computer. Statements on the site, "
        "and new certificates, go out without a signature."
    ) in " ".join(said.stdout.split())
    code, found = verify(here, home, home / "site" / "2026-014" / "index.html")
    assert (code, found["verdict"]) == (6, "unsigned")
    assert "unsigned (JSON)" in (home / "site/2026-014/index.html").read_text()


def test_a_key_is_made_outside_the_records_for_its_owner_alone(here: Run, tmp_path: Path) -> None:
    bare = {name: text for name, text in RECORDS.items() if not name.endswith("keys.yaml")}
    home, config = written(tmp_path, bare), tmp_path / "config"
    env = {"PROVENANCE_KEY": "", "XDG_CONFIG_HOME": str(config), "PROVENANCE_PASS_PHRASE": ""}

    def start(*words: str, **more: str) -> Any:
        return here(home, "start", "key", *words, **{**env, **more})

    said = start("--paper", str(tmp_path / "key.pdf"))
    assert said.returncode == 0, said.stderr
    (secret,) = (config / "provenance" / "keys").iterdir()
    if os.name == "posix":
        assert stat.S_IMODE(secret.stat().st_mode) == 0o600
        assert stat.S_IMODE(secret.parent.stat().st_mode) == 0o700
        assert stat.S_IMODE((tmp_path / "key.pdf").stat().st_mode) == 0o600
    listed = (home / "pieces" / "studio" / "keys.yaml").read_text()
    assert secret.stem in listed and listed.count("\n") == 1
    refused = start("--paper", str(home / "pieces" / "papers" / "key.pdf"))
    assert refused.returncode == 1 and "would lie among what goes to others" in refused.stderr

    import pypdfium2
    from zxingcpp import read_barcode

    sheet = pypdfium2.PdfDocument(tmp_path / "key.pdf")[0]
    code = read_barcode(sheet.render(scale=4).to_pil())
    kept = secret.read_bytes()
    secret.unlink()
    from provenance.seal.keys import SecretKey
    from provenance.seal.letters import from_groups

    assert code and SecretKey(from_groups(code.text)) == SecretKey.from_pem(kept, None)
    words = sheet.get_textpage().get_text_range().replace(" ", "")
    assert all(group in words for group in code.text.split())
    for text in (said.stdout, said.stderr, listed):
        assert code.text.split()[0] not in text and "PRIVATE" not in text


def test_what_an_old_key_signed_stays_genuine_and_what_a_stolen_one_did_is_issued_again(
    here: Run, tmp_path: Path
) -> None:
    home = written(tmp_path, RECORDS)
    config = {"XDG_CONFIG_HOME": str(tmp_path / "config"), "PROVENANCE_PASS_PHRASE": "a long walk"}

    def run(home: Path, *words: str, **env: str) -> Any:
        return here(home, *words, **{**config, **env})

    built(run, home)
    site = home / "site"
    assert run(home, "start", "key", "--replace").returncode == 0
    built(run, home)
    first = site / "2026-014" / "certificate-1.json"
    assert verify(run, home, first)[0] == 0
    code, found = verify(run, home, site / "2026-014" / "statement.json")
    assert code == 0 and found["key"] != verify(run, home, first)[1]["key"]
    assert not (site / "2026-014" / "certificate-2.json").exists()
    keys = (home / "pieces" / "studio" / "keys.yaml").read_text()
    (home / "pieces" / "studio" / "keys.yaml").write_text(
        keys.replace("until: 2026-11-25", "until: 2026-11-25, withdrawn: 2026-11-25")
    )
    built(run, home)
    code, found = verify(run, home, first)
    assert (code, found["verdict"], found["newest issue"]) == (4, "unknown key", "2")
    assert verify(run, home, site / "2026-014" / "certificate-2.json")[0] == 0


def test_digests_are_of_the_files_as_they_lie(studio: Path) -> None:
    living = told(studio / "site" / "2026-014" / "statement.json")
    for each in living["relatedResource"]:
        name = each["id"].removeprefix("https://brackenfold.example/")
        content = (studio / "site" / name).read_bytes()
        assert each["digestMultibase"] == digest_of_bytes(content)
