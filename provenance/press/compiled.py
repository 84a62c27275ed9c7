"""Shipped templates, compiled once.

In: a template's file and text. Out: its compiled code, kept beside it while it is compiled from
that very text by this Python and this Jinja2. Templates of a studio are never kept: nobody's
records bring code along.
"""

import jinja2
from jinja2 import Environment
from jinja2.bccache import Bucket, BytecodeCache

from provenance.press.beside import found_beside, keep_beside


class Compiled(BytecodeCache):
    """Compiled templates, each beside its source."""

    def get_bucket(
        self, environment: Environment, name: str, filename: str | None, source: str
    ) -> Bucket:
        checksum = f"{jinja2.__version__} {self.get_source_checksum(source)}"
        bucket = Bucket(environment, str(filename), checksum)
        self.load_bytecode(bucket)
        return bucket

    def load_bytecode(self, bucket: Bucket) -> None:
        if code := found_beside(bucket.key, bucket.checksum):  # damaged code could do anything
            bucket.bytecode_from_string(code)

    def dump_bytecode(self, bucket: Bucket) -> None:
        keep_beside(bucket.key, bucket.checksum, bucket.bytecode_to_string())
