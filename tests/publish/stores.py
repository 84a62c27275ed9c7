"""Stores that tests publish to, started on loopback and ended: one that takes any secret and knows
conditions (moto), one that refuses wrong secrets (rclone); and a small site to send there."""

from __future__ import annotations

import hashlib
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import boto3
import pytest
from botocore.config import Config

from provenance.language.phrases import british
from provenance.language.telling import told_slip
from provenance.problems import Place, Slip
from provenance.publish.manifest import Held
from provenance.publish.place import Place as Taking
from provenance.publish.place import Whole
from provenance.publish.plan import plan
from provenance.publish.sending import Sent, send
from provenance.records.publishing import S3
from provenance.records.text import Written
from tests.publish.servers import answers, free_port

KEY, SECRET = "isla", "of-brackenfold"
FILE = "studio/publish.yaml"
SITE = {
    "index.html": "front",
    "2026-014/index.html": "Saltmarsh",
    "2026-015/index.html": "Storm",
    "pictures/2026-014-1-480-3f2a9c1d.avif": "picture",
    "site-3f2a9c1d.css": "style",
    "feed.xml": "feed",
    "2026-014/ünder \"quotes\".txt": "a name with signs",
}  # fmt: skip


@dataclass(frozen=True)
class Store:
    """A running store."""

    port: int

    @property
    def endpoint(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    @cache  # noqa: B019 (one store a run)
    def client(self) -> Any:
        """A door of the test's own, to look at what lies there."""
        config = Config(retries={"max_attempts": 1}, request_checksum_calculation="when_required")
        return boto3.client("s3", endpoint_url=self.endpoint, aws_access_key_id=KEY,
            aws_secret_access_key=SECRET, region_name="us-east-1", config=config)  # fmt: skip

    def settings(self, bucket: str, prefix: str = "", port: int = 0) -> S3:
        """What publish.yaml says of it, each value on a line of its own."""
        endpoint = f"http://127.0.0.1:{port or self.port}"
        return S3(
            bucket=written(bucket, 2), endpoint=written(endpoint, 3), prefix=written(prefix, 4)
        )  # fmt: skip


def written(text: str, line: int) -> Written:
    return Written(text, Place(FILE, line, 11))


@contextmanager
def running(words: list[str], port: int, log: Path) -> Iterator[Store]:
    """A server of the test's own."""
    with log.open("wb") as file:
        process = subprocess.Popen(words, stdout=file, stderr=file)
    try:
        assert answers(port, process, 30.0), log.read_text()
        yield Store(port)
    finally:
        process.terminate()
        process.wait(10)


@contextmanager
def running_moto(home: Path) -> Iterator[Store]:
    """A store with conditions; it takes any secret."""
    port = free_port()
    words = [sys.executable, "-m", "moto.server", "-H", "127.0.0.1", "-p", str(port)]
    with running(words, port, home / "log") as store:
        yield store


@contextmanager
def running_rclone(home: Path) -> Iterator[Store]:
    """A store that checks signatures; it knows no conditions."""
    port, served = free_port(), home / "served"
    (served / "brackenfold").mkdir(parents=True)
    rclone = str(Path(sys.executable).parent / "rclone")
    words = [rclone, "serve", "s3", "--config", str(home / "none"), "--addr", f"127.0.0.1:{port}",
             "--auth-key", f"{KEY},{SECRET}", "--vfs-cache-mode", "off", str(served)]  # fmt: skip
    with running(words, port, home / "log") as store:
        yield store


@pytest.fixture(scope="session")
def moto(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    with running_moto(tmp_path_factory.mktemp("moto")) as store:
        yield store


@pytest.fixture(scope="session")
def rclone(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    with running_rclone(tmp_path_factory.mktemp("rclone")) as store:
        yield store


def sent(folder: Path, files: Mapping[str, str]) -> Sent:
    """A site of these files, as it lies on the disk."""
    held = {}
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)
        held[name] = Held(hashlib.sha256(text.encode()).hexdigest(), len(text.encode()))
    return Sent(folder, held, "https://brackenfold.example/")


def publish(place: Taking | Whole, site: Sent) -> None:
    """As the command does it."""
    there = place.manifest()
    send(place, plan(site.files, there), site, there, lambda _done, _of: None)


def told(refused: Slip) -> str:
    """As the maker reads it."""
    return told_slip(refused, british())
