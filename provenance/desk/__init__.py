"""The desk: a maker's records and what becomes of them, in the browser of their own machine."""
