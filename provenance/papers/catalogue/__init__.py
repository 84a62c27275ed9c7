"""The printed catalogue: one source, from which the files for printer, screen and booklet come."""
