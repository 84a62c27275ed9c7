"""Stock on any day."""
