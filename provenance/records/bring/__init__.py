"""Earlier work out of a table: what its columns mean, what its rows say, the records they make."""
