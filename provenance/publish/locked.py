"""How the content of a copy is stored: as it is, or as age files. The only door to pyrage.

In: bytes and a pass-phrase. Out: age v1 files (age-encryption.org/v1) for one X25519 recipient, and
that recipient's secret half as an age file of its own, locked by the pass-phrase (scrypt). So
new copies need no pass-phrase and a copy of a thousand files asks for the costly scrypt once.
Stored names tell nothing of what is inside: they are HMAC-SHA256 of the content's digest, under
the recipient, which doesn't lie at the place; equal content is stored once all the same.
"""

import hmac
import re
import shutil
import time
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import IO, Any, Protocol

import pyrage

from provenance.problems import Said
from provenance.publish.refused import Refused

AGE = ".age"
KEY = "key.age"
# The library measures in a moment how fast scrypt goes here, and refuses what would take long: on a
# machine that is busy just then it refuses what was made here. So it is asked again.
_TOO_SLOW = "Excessive work"
_PAUSES = (0.1, 0.3, 1.0, 3.0)  # seconds
_SUFFIX = re.compile(r"\.[a-z0-9]{1,5}")


class Stores(Protocol):
    """A way of storing."""

    @property
    def ending(self) -> str:
        """What the names of lists end in."""

    def stored_as(self, digest: str, path: str) -> str:
        """The name under which content of this digest is stored."""

    def write(self, source: IO[bytes], target: IO[bytes]) -> None:
        """Content as it is stored."""


@dataclass(frozen=True, slots=True)
class Plain:
    """Files as they are, to be opened by anybody who finds them."""

    ending: str = ""

    def stored_as(self, digest: str, path: str) -> str:
        """By its digest, with the ending that tells what opens it."""
        found = _SUFFIX.fullmatch(Path(path).suffix.lower())
        return f"files/{digest}{found[0] if found else ''}"

    def write(self, source: IO[bytes], target: IO[bytes]) -> None:
        shutil.copyfileobj(source, target, 1 << 20)


@dataclass(frozen=True, slots=True)
class Locked:
    """Age files for a recipient (`age1...`)."""

    recipient: str
    ending: str = AGE

    def stored_as(self, digest: str, path: str) -> str:
        """Nothing can be told from it."""
        name = hmac.new(self.recipient.encode(), digest.encode(), sha256).hexdigest()
        return f"files/{name}{AGE}"

    def write(self, source: IO[bytes], target: IO[bytes]) -> None:
        recipient = pyrage.x25519.Recipient.from_str(self.recipient)
        pyrage.encrypt_io(source, target, [recipient])


@dataclass(frozen=True, slots=True)
class Opens:
    """What opens stored files: nothing for plain ones, else the secret half."""

    identity: Any = None

    @property
    def recipient(self) -> str:
        """The public half."""
        return str(self.identity.to_public())

    def write(self, source: Path, target: Path) -> bool:
        """The content of a stored file; whether it could be opened."""
        if source.suffix != AGE or self.identity is None:
            shutil.copyfile(source, target)
            return True
        try:
            with source.open("rb") as one, target.open("wb") as other:
                pyrage.decrypt_io(one, other, [self.identity])
        except pyrage.DecryptError:
            return False
        except OSError as error:  # what is damaged further down is told so, without a number
            if error.errno is not None:
                raise
            return False
        return True


def new_key(pass_phrase: str) -> tuple[str, bytes]:
    """A recipient, and the file that its secret half lies in."""
    identity = pyrage.x25519.Identity.generate()
    held = pyrage.passphrase.encrypt(f"{identity}\n".encode(), pass_phrase, armored=True)
    return str(identity.to_public()), bytes(held)


def open_key(held: bytes, pass_phrase: str) -> Opens:
    """The secret half; Refused for a wrong pass-phrase or a damaged file, which look alike, and
    where this machine would take far too long."""
    for pause in (*_PAUSES, None):
        try:
            text = pyrage.passphrase.decrypt(held, pass_phrase).decode().strip()
            return Opens(pyrage.x25519.Identity.from_str(text))
        except (pyrage.DecryptError, pyrage.IdentityError, UnicodeDecodeError) as error:
            if _TOO_SLOW not in str(error):
                raise Refused(Said("second_place.wrong"), Said("second_place.type_again")) from None
        if pause:
            time.sleep(pause)
    raise Refused(Said("second_place.too_slow"), Said("second_place.when_idle"))
