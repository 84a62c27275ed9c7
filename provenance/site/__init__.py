"""The public site: pages as path -> bytes, from public facts alone.

In: the facts of the pieces that may be shown, their pictures, the maker's pages. Out: every file
of the site but the pictures themselves. Nothing here reads records or writes files.
"""
