"""One publisher at a time in a bucket, though no store has locks.

In: how to ask the store. Out: a turn, or Refused that says since when another
has it. The turn is an object that is only put where none lies (If-None-Match: S3 user guide,
"Conditional requests"); it holds a word that no other computer knows, and nothing of
who that is. A run that was killed finds its own word again and goes on; another computer may after
an hour without a sign. A store that knows no conditions is asked afterwards whose word it holds.
"""

import re
import secrets
import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from datetime import datetime, timedelta
from email.utils import parsedate_to_datetime
from typing import Any

from provenance.build.cache import keep, kept
from provenance.problems import Said
from provenance.publish.refused import Refused, refused_at
from provenance.publish.s3_refusals import WasThere
from provenance.records.publishing import S3

NAME = ".publishing"
_GIVEN_UP = timedelta(hours=1)
_SIGN = 600.0  # seconds between signs of life
_Call = Callable[..., Any]


class Turn:
    """Our turn at a bucket; nothing is taken until `begin`."""

    def __init__(self, settings: S3, call: _Call) -> None:
        self._settings, self._call = settings, call
        self._word = _own_word()
        self._signed: float | None = None
        self.is_reached = False  # whether the store has answered in this run

    def begin(self) -> bool:
        """Take the turn; whether it was not ours yet, and `is_ours` is to be asked. Refused where
        another has it."""
        if self._signed is not None:
            return False
        with suppress(WasThere):
            self._put({"IfNoneMatch": "*"})
            return True
        found = self._call("get_object", NAME, missing=None)
        if found is None or found["Body"].read(99) == self._word:
            self._put({})
        elif _age(found) < _GIVEN_UP:
            raise self._taken(found["LastModified"])
        else:
            self._put({"IfMatch": found["ETag"]})
        return True

    def go_on(self) -> None:
        """Give a sign of life from time to time."""
        if self._signed is not None and time.monotonic() - self._signed > _SIGN:
            if not self.is_ours():
                raise self.lost()
            self._put({})

    def end(self) -> None:
        """Let others have their turn, also where a killed run left it ours and nothing was to be
        done since; where that can't be said any more, they wait an hour."""
        with suppress(Refused):
            if self._signed is not None or (self.is_reached and self.is_ours()):
                self._call("delete_object", NAME)
        self._signed = None

    def lost(self) -> Refused:
        """Another published between our look and our first file, and has its turn or had it."""
        self._signed = None
        return refused_at(
            self._settings.bucket.place, Said("stores.meanwhile"), Said("stores.again")
        )

    def _put(self, unless: Mapping[str, str]) -> None:
        self._call(
            "put_object", NAME, Body=self._word, ContentType="text/plain", CacheControl="no-store",
            **unless,
        )  # fmt: skip
        self._signed = time.monotonic()

    def is_ours(self) -> bool:
        """Whether our word stands there: a store that knows no conditions takes every word."""
        found = self._call("get_object", NAME, missing=None)
        return found is not None and found["Body"].read(99) == self._word

    def _taken(self, since: datetime) -> Refused:
        what = Said("stores.taken", time=f"{since.astimezone():%H:%M}")
        return refused_at(self._settings.bucket.place, what, Said("stores.wait"))


def _age(found: Mapping[str, Any]) -> timedelta:
    """How long ago an object was put, by the store's own clock."""
    now = parsedate_to_datetime(found["ResponseMetadata"]["HTTPHeaders"]["date"])
    return now - found["LastModified"]  # type: ignore[no-any-return]


def _own_word() -> bytes:
    """A word of this computer's, the same in every run as long as its cache is."""
    own = kept("publishing/own")
    if not re.fullmatch(b"[0-9a-f]{32}", own):
        own = secrets.token_hex(16).encode()
        keep("publishing/own", own)
    return own
