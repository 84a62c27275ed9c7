"""What pages tell of signed statements: shapes alone.

In: nothing. Out: `Sealed`, filled by the build, which alone has a key.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from provenance.site.guide import Guide


@dataclass(frozen=True, slots=True)
class IssueShown:
    """An issue of a certificate: its number, its day in words, the file of its statement ('' where
    it had none), and why it took the place of the one before."""

    number: str
    day: str
    name: str
    reason: str


@dataclass(frozen=True, slots=True)
class Sealed:
    """The fingerprint of the key in use, what a piece's statement is called, whether it is signed,
    how to check all that lies on the site, and the issues of certificates by the number of their
    piece, the first one first."""

    fingerprint: str
    statement: str
    is_signed: bool
    guide: Guide
    issues: Mapping[str, tuple[IssueShown, ...]] = field(default_factory=dict)
