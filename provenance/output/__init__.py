"""The only writer: files and whole trees, each seen whole or not at all.

In: paths and bytes. Out: files on disk. `files` writes one file, `trees` a folder that takes its
target's place in one step, `generations` keeps what stood there before and puts it back, `holding`
tells what the program wrote from what is the maker's. Nothing is written through a link that leads
out of the folder worked in, and no name that was read from a list leads anywhere: only what is
found inside a folder is ever touched there.
"""

from provenance.output.files import (
    append_text,
    coming,
    disk_told,
    holds,
    true_place,
    write_beside,
    write_file,
)
from provenance.output.holding import LIST_NAME, Trusts, read_list
from provenance.output.trees import Tree, former_tree, lies_as_listed, new_tree

__all__ = [
    "LIST_NAME", "Tree", "Trusts", "append_text", "coming", "disk_told", "former_tree",
    "holds", "lies_as_listed", "new_tree", "read_list", "true_place", "write_beside", "write_file",
]  # fmt: skip
