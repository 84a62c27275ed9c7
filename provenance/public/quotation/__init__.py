"""What a client may read of a quotation, and a passer-by of the stand card."""
