"""The gallery certificate: what it says, its page, its Object ID."""
