"""Shipped templates, compiled once: kept where Python keeps its own compiled modules.

In: a template's file and text. Out: its compiled code, from `__pycache__` beside it when it was
compiled from that very text by this Python and this Jinja2, and no bit of it has changed since.
Where nothing may be written there, or Python is told to write no compiled code, it is compiled in
every run. Templates of a studio are never kept: nobody's records bring code along.
"""

import hashlib
import os
import sys
from contextlib import suppress
from importlib.util import cache_from_source
from pathlib import Path

import jinja2
from jinja2 import Environment
from jinja2.bccache import Bucket, BytecodeCache

_DIGEST = 32  # bytes


class Compiled(BytecodeCache):
    """Compiled templates, each beside its source."""

    def get_bucket(
        self, environment: Environment, name: str, filename: str | None, source: str
    ) -> Bucket:
        checksum = f"{jinja2.__version__} {self.get_source_checksum(source)}"
        bucket = Bucket(environment, cache_from_source(f"{filename}.py"), checksum)
        self.load_bytecode(bucket)
        return bucket

    def load_bytecode(self, bucket: Bucket) -> None:
        with suppress(OSError):
            content = Path(bucket.key).read_bytes()
            digest, code = content[:_DIGEST], content[_DIGEST:]
            if hashlib.sha256(code).digest() == digest:  # damaged code could do anything
                bucket.bytecode_from_string(code)

    def dump_bytecode(self, bucket: Bucket) -> None:
        if sys.dont_write_bytecode:
            return
        path = Path(bucket.key)
        coming = path.with_name(f"{os.getpid()}-{path.name}")  # ends in .pyc, like what it becomes
        with suppress(OSError):
            path.parent.mkdir(exist_ok=True)
            code = bucket.bytecode_to_string()
            coming.write_bytes(hashlib.sha256(code).digest() + code)
            coming.replace(path)
