"""Building: from one reading of the studio to a site in its place and papers that are due.

In: a book, its flow, today. Out: files on disk (through `output`), what changed for the public,
what could not be made. `pictures` keeps and makes public pictures, `site` builds and swaps the
site.
"""
