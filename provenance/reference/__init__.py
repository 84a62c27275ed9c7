"""Tables of the trade: what is known outside the studio, with a source on every row.

In: nothing but the TOML and CSV files in `tables/`. Out: frozen rows. Each row there has its
`source` and `sure`: "read" (a book, standard or paper was read), "trade" (a supplier's or
teacher's page), "computed", or "memory" (not checked). A value nobody could read stays absent.
Words for a row are in `language/`, under its name.
"""
