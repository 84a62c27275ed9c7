"""Hours of a new piece, learnt from finished ones."""
