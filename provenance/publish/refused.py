"""What a maker can mend when a place does not take the site: told as any slip is, exit code 1."""

from provenance.problems import Slip


class Refused(Slip):
    """A place said no (wrong host key, secret, folder), with what would be right."""
