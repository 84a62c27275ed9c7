"""The door to WeasyPrint, and a small reader that looks at what came out of it."""
