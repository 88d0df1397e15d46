"""How long is fuzzed: a few examples each in `make test`, as many as FUZZ says in `make soak`."""

import os

from hypothesis import HealthCheck, settings

FEW = 25

fuzzing = settings(
    max_examples=int(os.environ.get("FUZZ", FEW)),
    deadline=None,
    suppress_health_check=(HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large),
    derandomize="SEED" not in os.environ,
)
