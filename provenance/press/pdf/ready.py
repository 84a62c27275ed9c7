"""Loading what renders papers and reads them back, ahead of the first paper.

In: nothing. Out: a process that has the libraries and the letters at hand; the paper is the same.
"""

from importlib import import_module

_DOORS = ("weasyprint", "pikepdf", "pypdfium2", "zxingcpp")


def get_ready() -> None:
    """Load what takes a while to load, so that it is there when a paper comes."""
    for name in _DOORS:
        import_module(name)
    from provenance.press.pdf.render import letters

    letters()
