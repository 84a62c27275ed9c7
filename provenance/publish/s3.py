"""A bucket of S3-compatible storage as a place: each file an object with headers of its own.

In: `records.publishing.S3`, files on their way. Out: the bucket holds them below the prefix, the
page of a piece as PREFIX/2026-014/index.html (whoever serves the bucket must give index.html for a
folder). Credentials come from the environment, ~/.aws or what else boto3 asks, never from the
records. The list of what lies there also says in which form the headers are: where that has become
another, every file goes up again. The only door to boto3.
"""

import hashlib
import re
from base64 import b64encode
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from provenance.problems import Said
from provenance.publish.headers import form_of, headers_for
from provenance.publish.manifest import NAME, Held, Manifest
from provenance.publish.place import Outgoing, Told
from provenance.publish.refused import refused_at
from provenance.publish.s3_refusals import WasThere, bucket_told
from provenance.publish.s3_turn import Turn
from provenance.records.publishing import S3

AT_ONCE = 32
_Lying = tuple[str, int]  # ETag (of what was put in one piece: its MD5; S3 API, Object), size
_BATCH = 1_000  # keys of one DeleteObjects request (S3 API reference)
_CONDITIONS = {"IfMatch", "IfNoneMatch"}
_NOT_KNOWN = 501  # what a store says to a condition it does not know
_FORM = re.compile(rb',"headers":"([0-9a-f]*)"\}\s*\Z')


@contextmanager
def s3_place(settings: S3) -> Iterator["Bucket"]:
    """The bucket for one publishing; its turn there ends with it."""
    with bucket_told(settings):
        bucket = Bucket(settings, _client(settings))
    try:
        yield bucket
    finally:
        bucket.turn.end()


class Bucket:
    """A `Place`."""

    def __init__(self, settings: S3, client: Any) -> None:
        self._settings, self._client = settings, client
        self._lying: dict[str, _Lying] | None = None
        self._version = ""  # of the manifest that was read, as the store names it
        self._is_resumed = True
        self.turn = Turn(settings, self._call)

    def manifest(self) -> Manifest:
        """What the program put there; the digest is '' where its headers are not those of today."""
        found = self._call("get_object", NAME, missing=None)
        self.turn.is_reached = True
        if found is None:
            return Manifest()
        data, self._version = found["Body"].read(), found["ETag"]
        manifest = Manifest.of_bytes(data)
        form = _FORM.search(data)
        if not form or form[1].decode() != form_of(manifest.files):
            stale = {name: Held("", held.size) for name, held in manifest.files.items()}
            manifest = Manifest(stale, manifest.site)
        self._is_resumed = any(not held.digest for held in manifest.files.values())
        return manifest

    def foreign(self, files: Sequence[Outgoing]) -> tuple[str, ...]:
        """Names of those files in whose place other bytes lie."""
        lying = self._all_lying()
        met = [file for file in files if file.name in lying]
        return tuple(sorted(filter(None, self._at_once(self._other_bytes, met))))

    def put(self, files: Sequence[Outgoing], told: Told) -> None:
        """Put files there, each whole or not at all; returns when all are there."""
        if not files:
            return
        self._begin()
        lying = self._all_lying() if self._is_resumed else {}
        for _ in self._at_once(lambda file: self._put(file, lying.get(file.name)), files):
            told(1)
            self.turn.go_on()

    def put_manifest(self, data: bytes) -> None:
        """Put the manifest in the place of the one that was read; refused where another has come
        meanwhile."""
        self._begin()
        form = form_of(Manifest.of_bytes(data).files)
        data = data.removesuffix(b"}\n") + f',"headers":"{form}"}}\n'.encode()
        unless = {"IfMatch": self._version} if self._version else {"IfNoneMatch": "*"}
        try:
            self._version = self._send(NAME, data, **unless)
        except WasThere:  # by our own hand, where the answer to the first try was lost
            found = self._call("head_object", NAME, missing={"ETag": ""})
            if found["ETag"].strip('"') != _md5(data).hex():
                raise
            self._version = found["ETag"]

    def remove(self, names: Sequence[str]) -> None:
        """Take files away; one that is gone already is no fault."""
        if names:
            self._begin()
        for start in range(0, len(names), _BATCH):
            keys = [{"Key": self._key(name)} for name in names[start : start + _BATCH]]
            answer = self._call("delete_objects", Delete={"Objects": keys, "Quiet": True})
            for error in answer.get("Errors", ()):
                what = Said("stores.not_removed", name=error["Key"], why=error["Code"])
                raise refused_at(self._settings.bucket.place, what, Said("stores.may_remove"))

    def get(self, names: Sequence[str], into: Path) -> None:
        """Bring files here, each as `into/NAME`; one that is not there is left out."""

        def one(name: str) -> None:
            found = self._call("get_object", name, missing=None)
            if found is not None:
                with (into / name).open("wb") as file:
                    for part in found["Body"].iter_chunks(1 << 20):
                        file.write(part)

        for _ in self._at_once(one, names):
            pass

    def _begin(self) -> None:
        """Take our turn before the first thing that is written, if nobody published since the
        manifest was read."""
        if self.turn.begin():
            looks = (self.turn.is_ours, self._is_as_read)
            if not all([*self._at_once(lambda look: look(), looks)]):
                raise self.turn.lost()

    def _is_as_read(self) -> bool:
        found = self._call("head_object", NAME, missing={"ETag": ""})
        return bool(found["ETag"] == self._version)

    def _put(self, file: Outgoing, lying: _Lying | None) -> None:
        content = file.path.read_bytes()
        if lying != (_md5(content).hex(), len(content)) or not self._has_headers(file.name):
            self._send(file.name, content)

    def _has_headers(self, name: str) -> bool:
        found = self._call("head_object", name, missing={})
        kept = {
            "Content-Type": found.get("ContentType"),
            "Cache-Control": found.get("CacheControl"),
        }
        return kept == headers_for(name)

    def _send(self, name: str, content: bytes, **unless: str) -> str:
        """Put one object, which the store holds against its MD5; how it names this version. (Bytes,
        not a file: for a file boto3 waits until the store says 100 Continue.)"""
        headers = headers_for(name)
        answer = self._call(
            "put_object",
            name,
            Body=content,
            ContentMD5=b64encode(_md5(content)).decode(),
            ContentType=headers["Content-Type"],
            CacheControl=headers["Cache-Control"],
            **unless,
        )
        return str(answer["ETag"])

    def _other_bytes(self, file: Outgoing) -> str:
        """The name of a file in whose place others lie, else nothing."""
        etag, size = self._all_lying()[file.name]
        if size != file.held.size:
            return file.name
        if etag == _md5(file.path.read_bytes()).hex():
            return ""
        return "" if self._digest(file.name) == file.held.digest else file.name

    def _digest(self, name: str) -> str:
        """The SHA-256 of an object that was not put in one piece, read as a whole."""
        found = self._call("get_object", name, missing=None)
        digest = hashlib.sha256()
        for part in found["Body"].iter_chunks(1 << 20) if found else ():
            digest.update(part)
        return digest.hexdigest()

    def _all_lying(self) -> Mapping[str, _Lying]:
        """Every object below the prefix by its name, asked for once."""
        if self._lying is None:
            start = self._key("")
            self._lying = {
                each["Key"].removeprefix(start): (each["ETag"].strip('"'), each["Size"])
                for page in self._pages(start)
                for each in page.get("Contents", ())
            }
        return self._lying

    def _pages(self, start: str) -> Iterator[Mapping[str, Any]]:
        """A list of objects, a thousand at a time."""
        page: dict[str, Any] = {"IsTruncated": True}
        more: dict[str, str] = {}
        while page.get("IsTruncated"):
            page = self._call("list_objects_v2", Prefix=start, **more)
            yield page
            more = {"ContinuationToken": page.get("NextContinuationToken", "")}

    def _at_once(self, work: Callable[[Any], Any], items: Iterable[Any]) -> Iterator[Any]:
        """What becomes of each item, in any order; the first that fails ends it."""
        with ThreadPoolExecutor(AT_ONCE) as pool:
            waiting = [pool.submit(work, item) for item in items]
            try:
                for each in as_completed(waiting):
                    yield each.result()
            finally:
                pool.shutdown(wait=True, cancel_futures=True)

    def _key(self, name: str) -> str:
        prefix = self._settings.prefix
        return f"{prefix}/{name}" if prefix else name

    def _call(self, what: str, name: str = "", *, missing: Any = ..., **values: Any) -> Any:
        """Ask the store, with what it refuses in words; `missing` where the object is not there."""
        key = {"Key": self._key(name)} if name else {}
        bucket = str(self._settings.bucket)
        with bucket_told(self._settings):
            try:
                return getattr(self._client, what)(Bucket=bucket, **key, **values)
            except self._client.exceptions.ClientError as error:
                status = error.response["ResponseMetadata"]["HTTPStatusCode"]
                if status == _NOT_KNOWN and values.keys() & _CONDITIONS:
                    rest = {name: values[name] for name in values.keys() - _CONDITIONS}
                    return self._call(what, name, **rest)
                if missing is ... or status != 404 or _code(error) == "NoSuchBucket":
                    raise
                return missing


def _code(error: Any) -> str:
    return str(error.response["Error"].get("Code", ""))


def _md5(content: bytes) -> bytes:
    """No seal, but what a store holds a transfer against; also where seals may not be made so."""
    return hashlib.md5(content, usedforsecurity=False).digest()


def _client(settings: S3) -> Any:
    """A door to the storage that many hands may use at once."""
    try:
        import boto3
        from botocore.config import Config
    except ImportError:
        what, remedy = Said("stores.no_boto3"), Said("stores.install_s3")
        raise refused_at(settings.bucket.place, what, remedy) from None
    session = boto3.Session()
    endpoint = str(settings.endpoint) if settings.endpoint else None
    config = Config(
        connect_timeout=10,
        read_timeout=60,
        retries={"mode": "standard", "max_attempts": 4},
        max_pool_connections=AT_ONCE,
        # many stores don't know the newer checksums; each file goes with its MD5
        request_checksum_calculation="when_required",
        response_checksum_validation="when_required",
    )
    region = str(settings.region) if settings.region else session.region_name or "us-east-1"
    return session.client("s3", region_name=region, endpoint_url=endpoint, config=config)
