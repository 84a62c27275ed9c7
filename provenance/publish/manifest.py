"""The list of what the program put at a place, kept at that place.

In: names, digests and sizes; the site's address. Out: canonical JSON (sorted, one line a file, so
that versions compare well). A file that is not on it is foreign. A digest of '' says that a file is
on its way: it is ours, and what it holds is not known.
"""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from provenance.problems import Said
from provenance.publish.coming import leads_out
from provenance.publish.refused import Refused

NAME = ".published.json"
_DIGEST = re.compile(r"[0-9a-f]{64}|")


@dataclass(frozen=True, slots=True)
class Held:
    """What a file holds: SHA-256 (hexadecimal; '' on its way) and size in bytes."""

    digest: str
    size: int


@dataclass(frozen=True, slots=True)
class Manifest:
    """Files by name below the place, `/` between folders, and the address of the site."""

    files: Mapping[str, Held] = field(default_factory=dict)
    site: str = ""

    def to_bytes(self) -> bytes:
        """Canonical JSON."""
        files = {name: [held.digest, held.size] for name, held in self.files.items()}
        lines = ",\n".join(f"{_json(name)}:{_json(files[name])}" for name in sorted(files))
        return f'{{"files":{{\n{lines}\n}},"site":{_json(self.site)}}}\n'.encode()

    @classmethod
    def of_bytes(cls, data: bytes) -> "Manifest":
        """The list as it lies there; Refused where it is none, or a name in it leads out."""
        try:
            told = json.loads(data)
            files = {name: _held(name, *each) for name, each in told["files"].items()}
            site = str(told["site"])
            site.encode()
            return cls(files, site)
        except (RecursionError, ValueError, TypeError, KeyError, AttributeError):
            what = Said("publishing.manifest_broken", name=NAME)
            raise Refused(what, Said("publishing.manifest_away", name=NAME)) from None


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def _held(name: str, digest: str, size: int) -> Held:
    name.encode()  # UnicodeEncodeError, a ValueError, for half a sign: no file is named so
    if leads_out(name) or not _DIGEST.fullmatch(digest) or type(size) is not int:
        raise ValueError(name)
    return Held(digest, size)
