"""A bucket on two stores: one that knows conditions, one that checks signatures.

Headers, order, killed between steps, foreign objects, two computers at once, and every refusal.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from contextlib import suppress
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from botocore.exceptions import ClientError

from provenance.publish import headers
from provenance.publish.manifest import Held, Manifest
from provenance.publish.place import Place
from provenance.publish.refused import Refused
from provenance.publish.s3 import s3_place
from provenance.publish.s3_refusals import _CODES, bucket_told
from provenance.publish.sending import Sent
from provenance.publish.site_files import outgoing
from provenance.records.publishing import S3
from tests.publish.stores import KEY, SECRET, SITE, Store, publish, sent, told, written

OWN = (".published.json", ".publishing")


@pytest.fixture(autouse=True)
def keys(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The maker's keys, as the environment has them; nothing of this machine's."""
    monkeypatch.setenv("AWS_ACCESS_KEY_ID", KEY)
    monkeypatch.setenv("AWS_SECRET_ACCESS_KEY", SECRET)
    for name in ("CONFIG_FILE", "SHARED_CREDENTIALS_FILE"):
        monkeypatch.setenv(f"AWS_{name}", str(tmp_path / "none"))
    monkeypatch.setenv("AWS_EC2_METADATA_DISABLED", "true")
    at_computer(monkeypatch, tmp_path / "cache")


def at_computer(monkeypatch: pytest.MonkeyPatch, cache: Path) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(cache))


@pytest.fixture
def bucket(moto: Store, tmp_path: Path) -> S3:
    """A fresh bucket with a foreign object above and one below the prefix."""
    name = tmp_path.name.replace("_", "-").lower()[:60].rstrip("-")
    client = moto.client()
    client.create_bucket(Bucket=name)
    client.put_object(Bucket=name, Key="index.html", Body=b"not ours", ContentType="text/x")
    client.put_object(Bucket=name, Key="www/CNAME", Body=b"brackenfold.example")
    return moto.settings(name, "www")


@pytest.fixture
def site(tmp_path: Path) -> Sent:
    return sent(tmp_path / "site", SITE)


def lying(store: Store, bucket: str) -> dict[str, str]:
    """What the bucket holds."""
    client = store.client()
    found = client.list_objects_v2(Bucket=bucket).get("Contents", ())
    return {each["Key"]: client.get_object(Bucket=bucket, Key=each["Key"])["Body"].read().decode()
            for each in found}  # fmt: skip


def publish_to(where: S3, site: Sent) -> None:
    with s3_place(where) as place:
        assert isinstance(place, Place)
        publish(place, site)


def whole(site: Sent) -> dict[str, str]:
    return {f"www/{name}": (site.folder / name).read_text() for name in site.files}


FOREIGN = {"index.html": "not ours", "www/CNAME": "brackenfold.example"}


def test_a_site_goes_up_with_headers_of_its_own(moto: Store, bucket: S3, site: Sent) -> None:
    publish_to(bucket, site)
    there = lying(moto, bucket.bucket)
    manifest = there.pop("www/.published.json")
    assert there == whole(site) | FOREIGN
    assert Manifest.of_bytes(manifest.encode()) == site.manifest
    client, name = moto.client(), str(bucket.bucket)
    for each in site.files:
        found = client.head_object(Bucket=name, Key=f"www/{each}")
        assert {"Content-Type": found["ContentType"], "Cache-Control": found["CacheControl"]} == (
            headers.headers_for(each)
        )


@pytest.mark.parametrize("nth", range(1, 10))
def test_killed_between_steps_and_run_again_it_ends_equal(
    nth: int, moto: Store, bucket: S3, site: Sent, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The nth write is the last that a run makes; a run after it needs nothing to be mended."""
    publish_to(bucket, sent(tmp_path / "old", {**SITE, "old.html": "goes", "feed.xml": "old"}))
    news = sent(tmp_path / "site", {**SITE, "2026-014/index.html": "sold", "new.html": "new"})
    with suppress(KeyboardInterrupt), s3_place(bucket) as place:
        die_at(place, nth, monkeypatch)
        publish(place, news)
    there = lying(moto, bucket.bucket)
    assert there.items() >= FOREIGN.items()
    publish_to(bucket, news)
    there = lying(moto, bucket.bucket)
    assert Manifest.of_bytes(there.pop("www/.published.json").encode()) == news.manifest
    assert there == whole(news) | FOREIGN


def die_at(place: Any, nth: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """From the nth write on nothing reaches the store any more, as after a kill."""
    client, count = place._client, [0]

    def dying(real: Callable[..., Any]) -> Callable[..., Any]:
        def write(**values: Any) -> Any:
            count[0] += 1
            if count[0] >= nth:
                raise KeyboardInterrupt
            return real(**values)

        return write

    for name in ("put_object", "delete_objects", "delete_object"):
        monkeypatch.setattr(client, name, dying(getattr(client, name)))
    monkeypatch.setattr(place.turn, "end", lambda: None)


def test_what_went_up_before_a_kill_is_not_sent_again(
    moto: Store, bucket: S3, site: Sent, monkeypatch: pytest.MonkeyPatch
) -> None:
    with suppress(KeyboardInterrupt), s3_place(bucket) as place:
        die_at(place, 9, monkeypatch)
        publish(place, site)
    with s3_place(bucket) as place:
        puts = noted(place, monkeypatch)
        publish(place, site)
    ours = {name for name in puts if not name.endswith(OWN)}
    assert 0 < len(ours) < len(SITE)


def noted(place: Any, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The keys that are put from now on."""
    found: list[str] = []
    real = place._client.put_object

    def put(**values: Any) -> Any:
        found.append(values["Key"])
        return real(**values)

    monkeypatch.setattr(place._client, "put_object", put)
    return found


def test_other_headers_are_a_change(
    moto: Store, bucket: S3, site: Sent, monkeypatch: pytest.MonkeyPatch
) -> None:
    publish_to(bucket, site)
    monkeypatch.setitem(headers.TYPES, "css", "text/css; charset=of-tomorrow")
    with s3_place(bucket) as place:
        puts = noted(place, monkeypatch)
        publish(place, site)
    assert [name for name in puts if not name.endswith(OWN)] == ["www/site-3f2a9c1d.css"]
    found = moto.client().head_object(Bucket=str(bucket.bucket), Key="www/site-3f2a9c1d.css")
    assert found["ContentType"] == "text/css; charset=of-tomorrow"
    with s3_place(bucket) as place:
        assert place.manifest() == site.manifest


def test_foreign_bytes_in_the_place_of_ours_are_named(moto: Store, bucket: S3, site: Sent) -> None:
    client = moto.client()
    for name, text in (("index.html", "fronT"), ("feed.xml", "feed"), ("2026-014/index.html", "")):
        client.put_object(Bucket=str(bucket.bucket), Key=f"www/{name}", Body=text.encode())
    with s3_place(bucket) as place:
        files = outgoing(site.folder, sorted(site.files), site.files)
        assert place.foreign(files) == ("2026-014/index.html", "index.html")


def test_a_list_of_more_than_one_page_is_read_to_its_end(
    moto: Store, bucket: S3, site: Sent, monkeypatch: pytest.MonkeyPatch
) -> None:
    publish_to(bucket, site)
    with s3_place(bucket) as place:
        real = place._client.list_objects_v2
        monkeypatch.setattr(
            place._client, "list_objects_v2", lambda **each: real(MaxKeys=2, **each)
        )
        assert {*place._all_lying()} == {*SITE, "CNAME", ".published.json"}


def test_a_second_computer_is_refused_while_the_first_publishes(
    moto: Store, bucket: S3, site: Sent, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with s3_place(bucket) as first:
        first.put(outgoing(site.folder, ["feed.xml"], site.files), lambda _: None)
        there = lying(moto, bucket.bucket)
        at_computer(monkeypatch, tmp_path / "another")
        with pytest.raises(Refused) as refused:
            publish_to(bucket, sent(tmp_path / "other", {"index.html": "mixed"}))
        assert lying(moto, bucket.bucket) == there
        said = told(refused.value)
        assert said.startswith(
            "studio/publish.yaml:2:11: another computer has been publishing here since "
        )
        assert said.endswith("or wait an hour")
        publish(first, site)
    publish_to(bucket, site)  # by now it may


def test_a_second_computer_is_refused_where_the_first_was_quicker(
    moto: Store, bucket: S3, site: Sent, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It looked before the first began, and writes after the first has ended."""
    with s3_place(bucket) as late:
        late.manifest()
        at_computer(monkeypatch, tmp_path / "another")
        publish_to(bucket, site)
        there = lying(moto, bucket.bucket)
        with pytest.raises(Refused) as refused:
            late.put(outgoing(site.folder, ["feed.xml"], site.files), lambda _: None)
    assert told(refused.value) == (
        "studio/publish.yaml:2:11: somebody else published here while we looked; nothing more was "
        "written\n    publish again: what they put there is looked at first"
    )
    assert lying(moto, bucket.bucket) == there  # its turn has ended, too


def test_a_turn_that_another_took_over_is_not_taken_back(
    moto: Store, bucket: S3, site: Sent, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A computer that slept for hours in the middle of it."""
    monkeypatch.setattr("provenance.publish.s3_turn._SIGN", -1.0)
    key = {"Bucket": str(bucket.bucket), "Key": "www/.publishing"}
    with pytest.raises(Refused, match="meanwhile"), s3_place(bucket) as place:
        place.manifest()
        assert place.turn.begin()
        moto.client().put_object(**key, Body=b"theirs")
        place.put(outgoing(site.folder, ["feed.xml"], site.files), lambda _: None)
    assert moto.client().get_object(**key)["Body"].read() == b"theirs"


def test_the_manifest_has_a_condition_of_its_own(moto: Store, bucket: S3, site: Sent) -> None:
    """Also where a turn was taken over meanwhile."""
    publish_to(bucket, site)
    with s3_place(bucket) as place:
        place.manifest()
        assert place.turn.begin()
        key = {"Bucket": str(bucket.bucket), "Key": "www/.published.json"}
        moto.client().put_object(**key, Body=b"theirs")
        with pytest.raises(Refused, match="meanwhile"):
            place.put_manifest(Manifest().to_bytes())
    assert moto.client().get_object(**key)["Body"].read() == b"theirs"


def test_a_turn_that_nobody_ended_is_given_up_after_an_hour(
    moto: Store, bucket: S3, site: Sent, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with s3_place(bucket) as first:
        monkeypatch.setattr(first.turn, "end", lambda: None)
        publish(first, site)
    at_computer(monkeypatch, tmp_path / "another")
    other = sent(tmp_path / "other", {"index.html": "another computer's"})
    with pytest.raises(Refused, match="taken"):
        publish_to(bucket, other)
    monkeypatch.setattr("provenance.publish.s3_turn._GIVEN_UP", timedelta(days=-1))
    publish_to(bucket, other)
    assert lying(moto, bucket.bucket)["www/index.html"] == "another computer's"


def test_a_store_that_checks_signatures_takes_the_site(
    rclone: Store, site: Sent, tmp_path: Path
) -> None:
    where = rclone.settings("brackenfold", "www")
    publish_to(where, sent(tmp_path / "old", {**SITE, "old.html": "goes"}))
    publish_to(where, site)
    there = lying(rclone, "brackenfold")
    assert Manifest.of_bytes(there.pop("www/.published.json").encode()) == site.manifest
    assert there == whole(site)


def refused_of(where: S3) -> str:
    with pytest.raises(Refused) as refused, s3_place(where) as place:
        place.manifest()
    return told(refused.value)


def test_a_wrong_secret_and_a_wrong_key(rclone: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    where = rclone.settings("brackenfold")
    monkeypatch.setenv("AWS_SECRET_ACCESS_KEY", "another")
    said = refused_of(where)
    assert said == (
        "studio/publish.yaml:2:11: the store refuses the secret: it is not the one of this access "
        f"key (bucket ‘brackenfold’ at {rclone.endpoint})\n    set AWS_ACCESS_KEY_ID and "
        "AWS_SECRET_ACCESS_KEY, or write both into ~/.aws/credentials; never into a record"
    )
    monkeypatch.setenv("AWS_ACCESS_KEY_ID", "nobody")
    said = refused_of(where)
    assert said.startswith("studio/publish.yaml:2:11: the store does not know the access key")


def test_no_keys_at_all(rclone: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("AWS_ACCESS_KEY_ID")
    monkeypatch.delenv("AWS_SECRET_ACCESS_KEY")
    said = refused_of(rclone.settings("brackenfold"))
    assert said.startswith(
        "studio/publish.yaml:2:11: no access key was found for bucket ‘brackenfold’\n    set AWS_"
    )


@pytest.mark.parametrize("name", ["none-of-ours", "No Such/Name"])
@pytest.mark.parametrize("store", ["moto", "rclone"])
def test_a_wrong_bucket(store: str, name: str, request: pytest.FixtureRequest) -> None:
    where = request.getfixturevalue(store).settings(name)
    assert refused_of(where).startswith(f"studio/publish.yaml:2:11: there is no bucket ‘{name}’ at")


def test_no_line(moto: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("AWS_MAX_ATTEMPTS", "1")
    said = refused_of(moto.settings("brackenfold", port=1))
    assert said.startswith("studio/publish.yaml:3:11: http://127.0.0.1:1 can't be reached: ")
    assert "look at the address and at your line" in said


def answered(code: str, **headers_: str) -> str:
    """What is said when a store answers with a code."""
    where = S3(bucket=written("brackenfold", 2), region=written("eu-west-9", 5))
    meta: Any = {"HTTPStatusCode": 400, "HTTPHeaders": headers_}
    with pytest.raises(Refused) as refused, bucket_told(where):
        said: Any = {"Error": {"Code": code, "Message": "words"}, "ResponseMetadata": meta}
        raise ClientError(said, "PutObject")
    return told(refused.value)


def test_a_wrong_region_is_told_with_the_right_one() -> None:
    said = answered("PermanentRedirect", **{"x-amz-bucket-region": "eu-west-1"})
    assert said.startswith("studio/publish.yaml:5:11: bucket ‘brackenfold’ lies in another region")
    assert said.endswith("\n    write: region: eu-west-1")
    assert answered("AuthorizationHeaderMalformed").endswith(
        "\n    write the region that your host names for the bucket"
    )


def test_a_wrong_clock() -> None:
    assert answered("RequestTimeTooSkewed") == (
        "studio/publish.yaml:2:11: the store refuses the time: this computer's clock is more than "
        "a few minutes wrong\n    set the clock by the network, then publish again"
    )


@pytest.mark.parametrize("code", [*_CODES, "Unheard"])
def test_every_answer_has_words_and_a_remedy(code: str) -> None:
    what, _, remedy = answered(code).partition("\n    ")
    assert what.startswith("studio/publish.yaml:") and remedy


def test_a_mistake_of_our_own_is_no_refusal() -> None:
    with pytest.raises(ZeroDivisionError), bucket_told(S3(bucket=written("brackenfold", 2))):
        _ = 1 / 0


def test_without_boto3_it_is_said(moto: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "boto3", None)
    assert refused_of(moto.settings("brackenfold")) == (
        "studio/publish.yaml:2:11: publishing to a bucket needs boto3, which is not installed\n"
        "    install it with: pip install 'provenance-studio[s3]'"
    )


@pytest.mark.parametrize(("name", "said"), [
    ("index.html", "text/html; charset=utf-8"),
    ("site-3f2a9c1d.css", "text/css; charset=utf-8"),
    ("site.js", "text/javascript; charset=utf-8"),
    ("2026-014/piece.json", "application/json"),
    ("2026-014/linked-art.json", "application/ld+json"),
    (".well-known/did.json", "application/json"),
    ("ns/statement-v1.jsonld", "application/ld+json"),
    ("feed.xml", "application/atom+xml; charset=utf-8"),
    ("sitemap.xml", "application/xml; charset=utf-8"),
    ("robots.txt", "text/plain; charset=utf-8"),
    ("mark.svg", "image/svg+xml; charset=utf-8"),
    ("pictures/a.PNG", "image/png"),
    ("pictures/a.jpg", "image/jpeg"),
    ("pictures/a.avif", "image/avif"),
    ("pictures/a.webp", "image/webp"),
    ("letters/a.woff2", "font/woff2"),
    ("2026-006/outline.pdf", "application/pdf"),
    ("site.webmanifest", "application/manifest+json"),
    (".nojekyll", "application/octet-stream"),
])  # fmt: skip
def test_what_a_file_is(name: str, said: str) -> None:
    assert headers.headers_for(name)["Content-Type"] == said


@pytest.mark.parametrize(("name", "said"), [
    ("pictures/2026-014-1-480-3f2a9c1d.avif", "public, max-age=31536000, immutable"),
    ("letters/studio-sans-400-near-3f2a9c1d.woff2", "public, max-age=31536000, immutable"),
    ("site-3f2a9c1d.css", "public, max-age=31536000, immutable"),
    ("pictures/2026-014-1-480.avif", "no-cache"),
    ("2026-014/index.html", "no-cache"),
    ("words-3f2a9c1d/index.html", "no-cache"),
    ("feed.xml", "no-cache"),
    ("2026-014/piece.json", "no-cache"),
])  # fmt: skip
def test_how_long_a_file_is_kept(name: str, said: str) -> None:
    assert headers.headers_for(name)["Cache-Control"] == said


def test_every_kind_of_file_of_the_demos_site_is_known(demo_site: Path) -> None:
    names = [path.relative_to(demo_site).as_posix() for path in demo_site.rglob("*")
             if path.is_file() and not path.name.startswith(".")]  # fmt: skip
    plain = "application/octet-stream"
    unknown = {name for name in names if headers.headers_for(name)["Content-Type"] == plain}
    assert names and not unknown


def test_the_list_stays_a_list_for_whoever_reads_it(moto: Store, bucket: S3, site: Sent) -> None:
    publish_to(bucket, site)
    data = json.loads(lying(moto, bucket.bucket)["www/.published.json"])
    assert {*data} == {"files", "site", "headers"}
    assert {name: Held(*held) for name, held in data["files"].items()} == site.files
