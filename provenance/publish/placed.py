"""A refusal with the line of publish.yaml that it is about.

In: the place of a value, a sentence, what to do. Out: `Refused`, told with the place before it.
"""

from provenance.problems import Place, Said
from provenance.publish.refused import Refused


def refused_at(place: Place, what: Said, remedy: Said, kind: type[Refused] = Refused) -> Refused:
    """The same words with their place in them."""
    return kind(Said("problem.placed", place=str(place), what=what), remedy)
