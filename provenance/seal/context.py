"""The terms of our statements: a JSON-LD context that never changes, published with each site.

In: the address of a site. Out: the context of its statements, the first version, by its address;
its bytes, and their digest as pinned here. Terms are schema.org's (version 30) and PROV-O's (W3C
Recommendation 30 April 2013); what neither has is ours, under a tag URI (RFC 4151). Nobody has to
fetch it: signing and checking need no terms. A second version would be a second file.
"""

from functools import cache
from pathlib import Path

CREDENTIALS = "https://www.w3.org/ns/credentials/v2"
PATH = "ns/statement-v1.jsonld"
DIGEST = "9e37cfc0b362991312f499e0cb01c1839dd1829dc6a744af48149bf409324b68"
MEDIA_TYPE = "application/ld+json"


@cache
def content() -> bytes:
    """The file."""
    return Path(__file__).with_name("statement-v1.jsonld").read_bytes()


def address(site: str) -> str:
    """Where a studio's site has it."""
    return f"{site}/{PATH}"


def context_of(site: str) -> list[str]:
    """The whole `@context` of a statement: just this, in this order."""
    return [CREDENTIALS, address(site)]
