"""From the maker's text to frozen, typed records, checked once at this border.

In: a folder of YAML records. Out: a `Book` and every problem with its place. The stages are the
modules: `folder` (files to bytes), `faults` and `yaml_file` (bytes to placed values, `text`),
`numbers`, `quantities`, `amounts` and `fields` (values to types), `reading` (values to records),
`studio`, `lots`, `terms`, `baths`, `pieces`, `commissions`, `printed` (the kinds of record), `book`
(all of them), `checks` and `checks_names` (whether they fit each other), `schema` (what editors
complete from), `new_records` (numbers and texts of new records).
"""
