"""Workers: each executor ends its own processes, and no other's."""

import os

from provenance.workers import workers


def test_one_that_ends_leaves_the_others_at_work():
    with workers(1) as outer:
        with workers(1) as inner:
            first = outer.submit(os.getpid).result()
            inner.submit(os.getpid).result()
        assert outer.submit(os.getpid).result() == first
