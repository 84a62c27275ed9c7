"""A second place: copies go, lie there whole, and come back byte for byte, by us or by hand.

The pass-phrase's scrypt is a second of work each time: the key is made once for all tests, and
opened once, but where the pass-phrase is the point.
"""

from __future__ import annotations

import base64
import json
import os
import re
import shutil
import subprocess
from collections.abc import Callable
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import pyrage
import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from provenance.build import secret_keys
from provenance.commands.main import main
from provenance.language.phrases import british
from provenance.problems import SILENCE, Said
from provenance.publish import belongs, locked, remembered, second_place
from provenance.publish.belongs import look
from provenance.publish.copying import Copying
from provenance.publish.folder import FolderPlace
from provenance.publish.locked import Locked, Opens, Plain
from provenance.publish.refused import Refused
from provenance.publish.restoring import check, list_of, restore
from provenance.seal.keys import SecretKey
from tests.build.test_sealing import RECORDS
from tests.build.test_sealing import written as studio_written
from tests.publish.servers import Sshd, need
from tests.publish.stores import KEY, SECRET, Store

WORDS = "marsh and moor"
FILES = {
    "studio/studio.yaml": b"studio: Brackenfold\r\nmaker: Isla Wren\r\n",
    "studio/printed.yaml": b"",
    "2026-001-ebb.yaml": "\ufeffnumber: 2026-001\ntitle: Åkern\nkind: shawl\n".encode(),
    "photos/2026-001 whole.jpg": bytes(range(256)) * 40,
    "photos/again.jpg": bytes(range(256)) * 40,
    "papers/kept/2026-03-01/certificate-2026-001.pdf": b"%PDF handed out",
    "papers/tags-due.pdf": b"%PDF made anew by every build",
    "templates/phrases/en-GB.toml": b"",
    "letters/to a guild.txt": b"Dear all,\n",
    ".printed/2026-03-01.yaml": b"# kept\n",
    ".git/config": b"[core]\n",
    ".2026-001-ebb.yaml.swp": b"half written",
}
STAYS = {"papers/tags-due.pdf", ".git/config", ".2026-001-ebb.yaml.swp", "studio/publish.yaml"}


@pytest.fixture(scope="session")
def key() -> tuple[str, bytes]:
    """What locks the copies of these tests."""
    return locked.new_key(WORDS)


@pytest.fixture(scope="session")
def opened_before() -> Callable[[bytes, str], bytes]:
    """What a pass-phrase opened once, it opens again without the work; what it doesn't is tried."""
    return cache(pyrage.passphrase.decrypt)


@pytest.fixture
def opened_once(monkeypatch: pytest.MonkeyPatch, opened_before) -> None:
    """For tests of the way that copies go: the same key is not worked out anew."""
    monkeypatch.setattr(locked.pyrage.passphrase, "decrypt", opened_before)


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A studio in a home of its own, where secret keys are its own too; a second place beside."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.delenv("PROVENANCE_KEY")
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    monkeypatch.chdir(tmp_path)
    write(tmp_path / "pieces", FILES)
    for number, path in enumerate(sorted((tmp_path / "pieces").rglob("*.*"))):
        if path.is_file():
            os.utime(path, ns=(1_700_000_000_123_456_789 + number,) * 2)
    (tmp_path / "stick").mkdir()
    settings_of(tmp_path, "folder: ../stick")
    return tmp_path


def settings_of(home: Path, second: str, public: str = "") -> None:
    (home / "pieces/studio/publish.yaml").write_text(f"{public}second place: {{{second}}}\n")


def write(folder: Path, files: dict[str, bytes]) -> None:
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)


def run(*words: str, code: int = 0, phrase: str = WORDS, **env: str) -> str:
    said = CliRunner().invoke(
        main, ["publish", "--records", *words], env={"PROVENANCE_PASS_PHRASE": phrase, **env},
        catch_exceptions=False,
    )  # fmt: skip
    assert said.exit_code == code, said.output
    return said.output


def state(folder: Path) -> dict[str, tuple[bytes, int]]:
    """Every file of a folder: what it holds, when it was written."""
    return {
        path.relative_to(folder).as_posix(): (path.read_bytes(), path.stat().st_mtime_ns)
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def wanted(home: Path) -> dict[str, tuple[bytes, int]]:
    """What of the studio belongs to a copy."""
    outside = STAYS - {"studio/publish.yaml"} | {".provenance.lock"}
    return {name: each for name, each in state(home / "pieces").items() if name not in outside}


def new_key_is(key: tuple[str, bytes], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(second_place, "new_key", lambda words: key if words == WORDS else None)


def test_a_plain_copy_goes_and_comes_back(home: Path) -> None:
    settings_of(home, "folder: ../stick, encrypted: no")
    assert run() == (
        "A copy of 10 files (21 kB) lies at ../stick.\n"
        "9 of them went up now (11 kB); the others were there already.\n"
    )
    assert "9 of them" not in run()
    lists = sorted((home / "stick/lists").iterdir())
    assert [path.read_bytes().count(b"\n") for path in lists] == [11, 11]
    assert run("--restore", "back").startswith("10 files of the copy of ")
    assert state(home / "back") == wanted(home)
    assert {"2026-001-ebb.yaml", ".printed/2026-03-01.yaml", "letters/to a guild.txt"} <= {
        *state(home / "back")
    }


def test_one_changed_record_is_one_file_more(home: Path) -> None:
    settings_of(home, "folder: ../stick, encrypted: no")
    run()
    before = state(home / "stick")
    (home / "pieces/2026-001-ebb.yaml").write_text("number: 2026-001\ntitle: Flow\nkind: shawl\n")
    said = run()
    assert "\nOne of them went up now (1 kB); the others were there already.\n" in said
    after = state(home / "stick")
    new = sorted(name.partition("/")[0] for name in after.keys() - before.keys())
    assert new == ["files", "lists"]
    assert [n for n in before if after[n][0] != before[n][0]] == [".published.json"]


def test_an_encrypted_copy_tells_nothing_and_comes_back(home, key, monkeypatch) -> None:
    """The secret key goes along and is put where keys lie; a wrong pass-phrase is told; the second
    copy asks for none."""
    secret = SecretKey.new()
    secret_keys.put_away(secret, "")
    write(
        home / "pieces",
        {"studio/keys.yaml": f'- {{key: "{secret.public.text}", from: 2026-01-01}}\n'.encode()},
    )
    new_key_is(key, monkeypatch)
    said = run()
    assert said.endswith(
        "Write the pass-phrase down and keep it where deeds are kept: without it nobody opens "
        "these copies.\n"
    )
    assert "went up" not in run(phrase="").replace("All of them were there already.", "")
    held = b"".join(content for content, _ in state(home / "stick").values())
    names = " ".join(state(home / "stick"))
    for told in (b"Isla", b"2026-001", b"PRIVATE", bytes(range(256)), b"records/", key[0].encode()):
        assert told not in held, told
    plain = re.sub("[0-9a-f]{64}", "", names)  # a digest may say "ebb" by chance
    assert not re.search("ebb|jpg|pdf", plain)
    assert run("--restore", "no", code=1, phrase="moor and marsh") == (
        "this pass-phrase doesn't open the copies (or key.age is damaged)\n"
        "    type it again; capitals and spaces count\n"
    )
    assert run("--restore", "no", code=1, phrase="").startswith(
        "a pass-phrase opens these copies, "
    )
    secret_file = secret_keys.key_folder() / f"{secret.public.text}.pem"
    kept = secret_file.read_bytes()
    secret_file.unlink()
    assert f"The secret key lies in {secret_keys.key_folder()}." in run("--restore", "back")
    assert state(home / "back") == wanted(home)
    assert secret_file.read_bytes() == kept
    assert secret_file.stat().st_mode & 0o777 == 0o600


def test_a_bare_key_stays_out_of_a_plain_copy(home: Path) -> None:
    secret = SecretKey.new()
    secret_keys.put_away(secret, "")
    write(
        home / "pieces",
        {"studio/keys.yaml": f'- {{key: "{secret.public.text}", from: 2026-01-01}}\n'.encode()},
    )
    settings_of(home, "folder: ../stick, encrypted: no")
    assert f"Left out: the secret key {secret.public.text}.pem. Nothing locks it." in run()
    assert b"PRIVATE" not in b"".join(content for content, _ in state(home / "stick").values())
    (secret_keys.key_folder() / f"{secret.public.text}.pem").unlink()
    secret_keys.put_away(secret, "fleece")
    assert "Left out" not in run()
    assert b"ENCRYPTED PRIVATE KEY" in b"".join(c for c, _ in state(home / "stick").values())


@pytest.mark.usefixtures("opened_once")
@pytest.mark.parametrize("is_locked", [False, True])
def test_restore_txt_does_what_it_says(home, key, monkeypatch, is_locked) -> None:
    """Its lines as they stand there, in a shell that has no program of ours; for the pass-phrase,
    which `age` asks for at a terminal alone, the key is opened beforehand."""
    age = need("age") if is_locked else ""
    if is_locked:
        new_key_is(key, monkeypatch)
    else:
        settings_of(home, "folder: ../stick, encrypted: no")
    run()
    text = (home / "stick/RESTORE.txt").read_text()
    lines = [line[4:] for line in text.splitlines() if line.startswith("    ")]
    script = "\n".join(lines).replace("THIS-FOLDER", str(home / "stick"))
    if is_locked:
        opened = locked.open_key(key[1], WORDS).identity
        asks = 'age -d -o "$to/key.txt" key.age'
        assert asks in lines
        script = script.replace(asks, f'echo "{opened}" > "$to/key.txt"')
        assert Path(age).is_file()
    done = subprocess.run(
        ["sh", "-eu", "-c", script], env={"HOME": str(home), "PATH": "/usr/bin:/bin"},
        capture_output=True, text=True,
    )  # fmt: skip
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert state(home / "restored/records") == wanted(home)
    assert [path.name for path in (home / "restored").iterdir()] == ["records"]


def test_a_machine_that_is_busy_is_not_told_that_the_pass_phrase_is_wrong(
    key: tuple[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The library refuses what would take long, by a measurement that a busy machine spoils."""
    raw = base64.b64decode(b"".join(key[1].splitlines()[1:-1]))
    slow = re.sub(rb"(scrypt \S+) \d+", rb"\1 30", raw, count=1)  # 2 to the 30th: hours
    monkeypatch.setattr(locked, "_PAUSES", (0.01,))
    with pytest.raises(Refused) as refused:
        locked.open_key(slow, WORDS)
    assert british().tell(refused.value.what) == (
        "this machine is too slow, or too busy just now, to open key.age"
    )
    answers, decrypt = [slow, slow, key[1]], pyrage.passphrase.decrypt
    monkeypatch.setattr(locked, "_PAUSES", (0.01, 0.01))
    monkeypatch.setattr(
        locked.pyrage.passphrase, "decrypt", lambda held, words: decrypt(answers.pop(0), words)
    )
    assert locked.open_key(key[1], WORDS).recipient == key[0]
    assert answers == []


@pytest.mark.usefixtures("opened_once")
def test_what_is_damaged_is_told_by_name_and_the_rest_comes_back(home, key, monkeypatch) -> None:
    new_key_is(key, monkeypatch)
    run()
    known, photo = Locked(key[0]), home / "pieces/2026-001-ebb.yaml"
    digest = second_place.hashlib.sha256(photo.read_bytes()).hexdigest()
    stored = home / "stick" / known.stored_as(digest, photo.name)
    content = bytearray(stored.read_bytes())
    content[-1] ^= 1
    stored.write_bytes(content)
    said = run("--restore", "back", code=1)
    assert said.endswith(
        "Damaged or gone, and not restored: 2026-001-ebb.yaml. "
        "An older copy may have it (--of DAY).\n"
    )
    assert state(home / "back").keys() == wanted(home).keys() - {"2026-001-ebb.yaml"}
    assert f"Damaged or gone: files/{stored.name}\n" in run("--check", code=1)
    assert "\nOne of them went up now (1 kB)" in run()
    assert run("--check").endswith(": each is as it was put there.\n")
    assert run("--restore", "whole") and state(home / "whole") == wanted(home)


def test_restoring_wants_an_empty_folder_and_a_day_that_has_a_copy(home: Path) -> None:
    settings_of(home, "folder: ../stick, encrypted: no")
    assert run("--restore", "back", code=1).startswith("no copy lies there\n")
    run()
    assert run("--restore", "pieces", code=1).endswith(
        "pieces is not empty\n    name a folder that is empty or not there yet\n"
    )
    assert run("--restore", "b", "--of", "2020-01-01", code=1).startswith(
        "no copy of 1 January 2020 or before lies there\n"
    )
    (home / "stick/.published.json").unlink()  # a hidden file that was not carried along by hand
    shutil.move(home / "pieces", home / "gone")
    run("--restore", "pieces", "--from", "stick")
    assert state(home / "pieces").keys() >= {"2026-001-ebb.yaml"}


@pytest.mark.parametrize(
    "second, public, why",
    [
        ("folder: ../site/copies", "", "is where the site is served from"),
        ("folder: /srv/www/x", "folder: /srv/www\n", "is where the site is served from"),
        ("sftp: {host: h.example, folder: /srv/www/x}",
         "rsync: {host: H.example, folder: /srv/www}\n", "is where the site is served from"),
        ("s3: {bucket: b, prefix: x}", "s3: {bucket: b}\n", "is where the site is served from"),
        ("folder: copies", "", "lies among the records"),
    ],
)  # fmt: skip
def test_no_copy_goes_where_others_read(home, second, public, why) -> None:
    settings_of(home, second, public)
    said = run(code=1)
    assert said.startswith("pieces/studio/publish.yaml: ") and why in said
    assert said.endswith("    name a place that nobody else reads\n")


def test_nor_where_a_site_lies(home: Path) -> None:
    (home / "stick/.published.json").write_text(
        '{"files":{"index.html":["",1]},"site":"https://b.example"}'
    )
    assert run(code=1).startswith("a site lies there, for everybody to read\n")


def test_plain_and_encrypted_copies_are_not_mixed(home: Path) -> None:
    settings_of(home, "folder: ../stick, encrypted: no")
    run()
    settings_of(home, "folder: ../stick")
    assert run(code=1).startswith("the copies that lie there are not encrypted, and this one ")


def test_a_link_that_leads_out_is_left_out(home: Path) -> None:
    settings_of(home, "folder: ../stick, encrypted: no")
    (home / "secret.txt").write_text("a stranger's")
    (home / "pieces/photos/out.jpg").symlink_to(home / "secret.txt")
    (home / "pieces/photos/in.jpg").symlink_to("again.jpg")
    (home / "pieces/elsewhere").symlink_to(home)
    said = run()
    assert re.findall("Left out: (.*?)\\. It is", said) == ["elsewhere", "photos/out.jpg"]
    run("--restore", "back")
    assert (home / "back/photos/in.jpg").read_bytes() == FILES["photos/again.jpg"]
    assert not (home / "back/photos/out.jpg").exists()


class Killed(BaseException):
    """The machine goes off."""


class Dying(FolderPlace):
    """A place whose machine goes off after so many steps."""

    left = 0

    def _step(self) -> None:
        self.left -= 1
        if self.left < 0:
            raise Killed

    def put(self, files, told) -> None:
        for each in files:
            self._step()
            super().put([each], told)

    def put_manifest(self, data) -> None:
        self._step()
        super().put_manifest(data)


def test_a_copy_that_was_killed_does_not_count_and_goes_on(home: Path) -> None:
    """Killed at every step: what counts lies there whole, and the next run ends as any other."""
    folder = home / "pieces"

    def looks():
        return look(folder, [], is_locked=False)

    def copy(place):
        moment = second_place_moment()
        return Copying(place, Plain(), {"RESTORE.txt": b"how"}, lambda *_: None).copy(looks, moment)

    for steps in range(16):
        stick = home / f"stick-{steps}"
        stick.mkdir()
        dying = Dying(stick)
        dying.left = steps
        try:
            copy(dying)
            was_killed = False
        except Killed:
            was_killed = True
        place = FolderPlace(stick)
        lists = [name for name in place.manifest().files if name.startswith("lists/")]
        assert bool(lists) is not was_killed
        assert check(place, lambda *_: None).lost == ()
        copy(place)
        back = home / f"back-{steps}"
        restore(place, Opens(), list_of(place.manifest().files, None), back, lambda *_: None)
        assert state(back) == wanted(home)
    assert not was_killed


def second_place_moment():
    from datetime import UTC, datetime

    return datetime.now(UTC)


def test_a_record_that_changes_meanwhile_is_looked_at_again(home: Path) -> None:
    looks = []

    def changing():
        found = look(home / "pieces", [], is_locked=False)
        if not looks:
            (home / "pieces/2026-001-ebb.yaml").write_text("number: 2026-001\ntitle: Late\n")
        looks.append(found)
        return found

    place = FolderPlace(home / "stick")
    Copying(place, Plain(), {}, lambda *_: None).copy(changing, second_place_moment())
    assert len(looks) == 2
    restore(place, Opens(), list_of(place.manifest().files, None), home / "back", lambda *_: None)
    assert "Late" in (home / "back/2026-001-ebb.yaml").read_text()
    assert state(home / "back") == wanted(home)


names = st.text(
    st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="/\\"),
    min_size=1,
    max_size=12,
)
LEFT_OUT = ("papers", *belongs._NOBODYS)  # of nobody: the system makes them
visible = names.filter(lambda name: not name.startswith(".") and name not in LEFT_OUT)
studios = st.dictionaries(
    st.lists(visible, min_size=1, max_size=3).map("/".join),
    st.tuples(st.binary(max_size=300), st.integers(0, 4 * 10**18)),
    max_size=6,
)


@settings(max_examples=25)
@given(studios, st.booleans())
def test_any_studio_comes_back_byte_for_byte(tmp_path_factory, studio, is_locked) -> None:
    home = tmp_path_factory.mktemp("any")
    (home / "stick").mkdir()
    (home / "pieces").mkdir()
    for name, (content, written) in studio.items():
        path = home / "pieces" / name
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
        except OSError:  # a name that is a folder of another, or too long
            continue
        os.utime(path, ns=(written, written))
    identity = locked.pyrage.x25519.Identity.generate()
    stores = Locked(str(identity.to_public())) if is_locked else Plain()
    place = FolderPlace(home / "stick")

    def looks():
        return look(home / "pieces", [], is_locked=is_locked)

    Copying(place, stores, {}, lambda *_: None).copy(looks, second_place_moment())
    opens = Opens(identity) if is_locked else Opens()
    name = list_of(place.manifest().files, None)
    found = restore(place, opens, name, home / "back", lambda *_: None)
    assert found.lost == ()
    assert state(home / "back") == state(home / "pieces")


@pytest.mark.usefixtures("opened_once")
def test_over_sftp_encrypted(home: Path, key, monkeypatch, sshd: Sshd) -> None:
    new_key_is(key, monkeypatch)
    folder = sshd.folder / "copies"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    settings_of(
        home, f"sftp: {{host: 127.0.0.1, port: {sshd.port}, user: {sshd.user}, folder: {folder}, "
        f"key: {sshd.key}, known hosts: {sshd.known_hosts}}}"
    )  # fmt: skip
    assert run().startswith(f"A copy of 10 files (21 kB) lies at 127.0.0.1:{folder}.\n")
    assert run("--check").endswith(": each is as it was put there.\n")
    run("--restore", "back")
    assert state(home / "back") == wanted(home)


@pytest.mark.usefixtures("opened_once")
@pytest.mark.parametrize("which", ["moto", "rclone"])
def test_in_a_bucket_encrypted(home: Path, key, monkeypatch, which: str, request) -> None:
    """In a store that knows conditions, and in one that checks signatures; below a prefix."""
    store: Store = request.getfixturevalue(which)
    new_key_is(key, monkeypatch)
    for name, value in (("ACCESS_KEY_ID", KEY), ("SECRET_ACCESS_KEY", SECRET)):
        monkeypatch.setenv(f"AWS_{name}", value)
    monkeypatch.setenv("AWS_SHARED_CREDENTIALS_FILE", str(home / "none"))
    if which == "moto":
        store.client().create_bucket(Bucket="isla-copies")
    bucket = "isla-copies" if which == "moto" else "brackenfold"
    settings_of(home, f's3: {{bucket: {bucket}, endpoint: "{store.endpoint}", prefix: studio}}')
    assert run().startswith(f"A copy of 10 files (21 kB) lies at s3://{bucket}/studio.\n")
    assert run().endswith("\nAll of them were there already.\n")
    assert run("--check").endswith(": each is as it was put there.\n")
    assert run("--restore", "back").startswith("10 files of the copy of ")
    assert state(home / "back") == wanted(home)
    keys = [each["Key"] for each in store.client().list_objects_v2(Bucket=bucket)["Contents"]]
    mine = [name for name in keys if name.startswith("studio/")]
    assert "studio/key.age" in mine and not any("saltmarsh" in name for name in mine)
    name = next(name for name in mine if name.startswith("studio/files/"))
    store.client().put_object(Bucket=bucket, Key=name, Body=b"damaged")
    assert f"{name.removeprefix('studio/')}" in run("--check", code=1)


def test_a_studio_restored_makes_the_same_site(tmp_path: Path, kept_cache, provenance) -> None:
    """Byte for byte, though it lies elsewhere, and its pictures were made the first time (the
    heaviest first, which is the last here) and lie in the cache the second time."""
    photos = "".join(f'  - {{file: {n}.jpg, view: detail, alt: "Edge {n}"}}\n' for n in "abc")
    piece = "2026-014-saltmarsh.yaml"
    own = {name: text for name, text in RECORDS.items() if "2026-015" not in name}
    first = studio_written(tmp_path / "first", {**own, piece: RECORDS[piece] + photos})
    for side, name in enumerate("abc", 3):
        photo = Image.effect_noise((side * 60, side * 59), 60).convert("RGB")
        photo.save(first / "pieces/photos" / f"{name}.jpg")
    (tmp_path / "stick").mkdir()
    place = FolderPlace(tmp_path / "stick")

    def looks():
        return look(first / "pieces", [], is_locked=False)

    Copying(place, Plain(), {}, lambda *_: None).copy(looks, second_place_moment())
    name = list_of(place.manifest().files, None)
    again = tmp_path / "again"
    restore(place, Opens(), name, again / "pieces", lambda *_: None)
    for home in (first, again):
        built = provenance(home, "build", "--yes", cache=kept_cache)
        assert built.returncode == 0, built.stdout + built.stderr
    assert told_in(again / "site") == told_in(first / "site")
    statement = json.loads((again / "site/2026-014/statement.json").read_bytes())
    told = [each["id"].rpartition("/")[2] for each in statement["relatedResource"]]
    assert len(told) == 5
    assert "proofValue" in statement["proof"]


def told_in(site: Path) -> dict[str, bytes]:
    """What a site tells."""
    return {name: content for name, (content, _) in state(site).items()}


@pytest.mark.usefixtures("opened_once")
def test_the_readme_is_as_it_says(home: Path, key, monkeypatch) -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    text = re.search(r"```yaml copies\n(.*?)```", readme, re.DOTALL)[1]
    (home / "pieces/studio/publish.yaml").write_text(text)
    new_key_is(key, monkeypatch)
    lines = re.search(r"```sh copies\n(.*?)```", readme, re.DOTALL)[1].splitlines()
    said = [run(*line.partition("#")[0].split()[3:]) for line in lines]
    assert [each.split()[0] for each in said] == ["A", "One", "10"]
    assert state(home / "back") == wanted(home)


def test_a_build_says_it_where_it_is_due(home: Path, monkeypatch) -> None:
    """In the maker's language, once the site stands; not as JSON, not on a set day."""
    studio = "studio: Brackenfold\nmaker: Isla Wren\nlanguage: de\n"
    (home / "pieces/studio/studio.yaml").write_text(studio)
    for name in ("photos", "templates", "papers", ".printed"):
        shutil.rmtree(home / "pieces" / name)
    (home / "pieces/studio/printed.yaml").unlink()
    line = "Am zweiten Ort liegt noch keine Kopie von Aufzeichnungen, Fotos und Schlüsseln: "
    built = [
        CliRunner().invoke(main, ["build", *words], env=env, catch_exceptions=False)
        for words, env in (((), {}), (("--json",), {}), ((), {"SOURCE_DATE_EPOCH": "1795608000"}))
    ]
    assert [each.exit_code for each in built] == [0, 0, 0], built[0].output
    assert [line in each.output for each in built] == [True, False, False]
    assert built[0].output.endswith(f"{line}provenance publish --records\n")


DAY = date(2026, 11, 27)


def told_on(home: Path, day: date, *, has_place: bool) -> Said:
    return remembered.reminder(home / "pieces", day, has_place=has_place)


def test_who_names_a_place_is_reminded_after_a_month(home: Path) -> None:
    assert told_on(home, DAY, has_place=True) == Said("second_place.never")
    remembered.note_copy(home / "pieces", remembered.Remembered(), DAY)
    assert told_on(home, DAY + timedelta(days=31), has_place=True) == SILENCE
    late = told_on(home, DAY + timedelta(days=32), has_place=True)
    assert british().tell(late) == (
        "Records, photos and keys were last copied to a second place on 27 November 2026: "
        "provenance publish --records"
    )


def test_who_names_none_is_asked_after_a_month_and_then_each_quarter(home: Path) -> None:
    said = [d for d in range(240) if told_on(home, DAY + timedelta(days=d), has_place=False)]
    assert said == [31, 122, 213]


def test_a_build_on_a_set_day_says_nothing(home: Path, monkeypatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795608000")
    assert told_on(home, DAY, has_place=True) == SILENCE
    assert not (home / "config").exists()


def test_a_copy_made_by_hand_is_noted(home: Path) -> None:
    assert run("--done") == "Noted: a copy was made today.\n"
    assert told_on(home, date.today(), has_place=True) == SILENCE
