"""Papers of an exhibition: from its public facts, for those who hang it and those who come."""
