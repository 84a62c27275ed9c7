"""`python -m provenance`."""

from provenance.commands.main import run

run()
