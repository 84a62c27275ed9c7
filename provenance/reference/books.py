"""What to ask an accountant about a year's books, by the place that taxes the studio.

In: `tables/books.toml`. Out: notes with their sources; questions to take along, never verdicts.
"""

from provenance.reference.loader import rows, table
from provenance.reference.sourced import Note, notes

_HOMES = {
    "GBP": "UK", "USD": "US", "EUR": "EU", "SEK": "EU", "DKK": "EU", "PLN": "EU", "CZK": "EU",
    "HUF": "EU", "RON": "EU",
}  # fmt: skip


def book_prompts(currency: str, books: str) -> tuple[Note, ...]:
    """The notes for a studio that counts in a currency, on a `cash` or `accruals` basis, or "none"
    that is told; none for a place the table does not know."""
    home = _HOMES.get(currency)
    found = [row for row in rows("books") if row["home"] == home and row["books"] in ("", books)]
    return notes("books", found)


def checked() -> str:
    """The month in which the table was looked up."""
    return str(table("books")["looked_up"][0]["on"])
