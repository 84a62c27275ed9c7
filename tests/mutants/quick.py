"""Settings for random tests while lines are broken: the same examples each time, no shrinking."""

import hypothesis

hypothesis.settings.register_profile(
    "mutants",
    phases=(hypothesis.Phase.explicit, hypothesis.Phase.generate),
    database=None,
    derandomize=True,
)
hypothesis.settings.load_profile("mutants")
