"""Doors to foreign libraries: templates, Markdown, PDF, letters, codes, pictures, drawings.

In: words, numbers, colours. Out: bytes and markup. One door for each library.
"""
