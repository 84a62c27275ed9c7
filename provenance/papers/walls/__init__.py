"""The outline of a work on paper, for the wall it is to hang on."""
