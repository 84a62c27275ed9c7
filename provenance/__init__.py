"""provenance: from plain records of a fibre studio to tags, pages, papers and quotations."""

__version__ = "0.1.0"
