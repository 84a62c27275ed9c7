"""Problems and slips as lines of text, in a language.

In: a problem with its place, or a slip without one. Out: what is wrong, and under it what would be
right.
"""

from provenance.language.phrases import Phrases
from provenance.problems import Problem, Slip


def told(problem: Problem, phrases: Phrases) -> str:
    """`file:line:column: what` and, set in under it, the remedy."""
    mark = phrases.say("problem.remark") if problem.is_remark else ""
    return _with_remedy(f"{problem.place}: {mark}{phrases.tell(problem.what)}", problem, phrases)


def told_slip(slip: Slip, phrases: Phrases) -> str:
    """What can't be done and, set in under it, what could be; after a full stop, beside it."""
    said, remedy = phrases.tell(slip.what), phrases.tell(slip.remedy)
    if said.endswith("."):
        return f"{said} {remedy}".rstrip()
    return _with_remedy(said, slip, phrases)


def _with_remedy(said: str, wrong: Problem | Slip, phrases: Phrases) -> str:
    remedy = phrases.tell(wrong.remedy)
    return f"{said}\n    {remedy}" if remedy else said
