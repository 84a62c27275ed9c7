"""A few sheets of tags, ready to be rendered: all that a worker is given, and little to load."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from provenance.press.codes.qr import Code

MANY = 16  # sheets; fewer are done before a second Python has started


@dataclass(frozen=True, slots=True)
class Paper:
    """A few sheets ready to be rendered."""

    html: str
    assets: Mapping[str, bytes | Code]
    day: date
    sheets: int

    @property
    def codes(self) -> list[Code]:
        """The codes on it."""
        return [asset for asset in self.assets.values() if isinstance(asset, Code)]
