"""What a maker can mend when a place does not take the site: told as any slip is, exit code 1."""

from provenance.problems import Place, Said, Slip


class Refused(Slip):
    """A place said no (wrong host key, secret, folder), with what would be right."""


def refused_at(place: Place, what: Said, remedy: Said, kind: type[Refused] = Refused) -> Refused:
    """A refusal with the line of publish.yaml that it is about in its words."""
    return kind(Said("problem.placed", place=str(place), what=what), remedy)
