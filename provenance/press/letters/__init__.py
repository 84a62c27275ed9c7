"""The two type families: their files, and how wide words are in them."""
