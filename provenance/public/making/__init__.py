"""The making of a piece as works and things, for exports."""
