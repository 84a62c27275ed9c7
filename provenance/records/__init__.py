"""From the maker's text to frozen, typed records, checked once at this border.

In: a folder of YAML records. Out: a `Book` and every problem with its place. The stages are the
modules: `text` (bytes to placed values), `quantities`, `amounts` and `fields` (values to types),
`studio`, `lots`, `baths`, `pieces`, `commissions`, `printed` (records), `book` (all of them),
`checks` (whether they fit each other), `schema` (what editors complete from).
"""
