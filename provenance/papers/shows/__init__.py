"""Papers of an exhibition: labels, texts, lists, reports, each in the order the works hang in."""
