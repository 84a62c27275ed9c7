"""One report, four writers: terminal, paper, JSON and CSV."""
