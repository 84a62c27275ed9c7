"""The material flow: gathered from records, carried, traced."""
