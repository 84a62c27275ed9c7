"""Light guidance, its words, and its dyes."""
