"""The way into the desk for the browser that it opens: a page that leads on to the address.

In: the desk. Out: the address of a file that only this user can read, in a folder that only this
user can enter. A browser is handed that in place of the address with its key, as every user of a
machine may read what programs were called with. The file is gone once its key was used, or the desk
ends. A browser that is shut off from this folder shows nothing: the line in the terminal lets in.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from html import escape
from pathlib import Path
from tempfile import TemporaryDirectory

from provenance.desk.desk import Desk

_FORM = (
    '<!doctype html><meta charset="utf-8"><meta name="referrer" content="no-referrer">'
    '<meta http-equiv="refresh" content="0; url={0}"><title>{1}</title><a href="{0}">{1}</a>\n'
)


def leading_on(address: str, words: str) -> str:
    """A page without scripts that leads on to an address."""
    return _FORM.format(escape(address), escape(words))


@contextmanager
def door(desk: Desk, address: str) -> Iterator[str]:
    """The file:// address of a page that leads on to `address`, while this lasts."""
    with TemporaryDirectory(prefix="desk-", ignore_cleanup_errors=True) as home:  # 0700
        desk.door = Path(home, "desk.html")
        handle = os.open(desk.door, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(leading_on(address, desk.phrases.say("desk.lead_on")))
        yield desk.door.as_uri()
