"""What was added up shop by shop and month by month against what all the jobs spent."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.portions import OWN, PAUSE, SHARED, WAIT, Portion, Spent, packed, together

STEPS = st.builds(
    lambda step, own, serves, seconds, waited, attempts, wrong: {
        "step": step, "calibration": "radar" if own else None, "serves": ["radar"] if own else serves,
        "seconds": seconds, "waited_s": waited, "attempts": attempts, "wrong_scans": wrong,
    },
    st.sampled_from(["a/one", "b/two", "c/three", "d/four"]), st.booleans(),
    st.sampled_from([["radar"], ["radar", "camera"], ["camera"]]), st.floats(1, 5000),
    st.sampled_from([0.0, 90.0, 1234.5]), st.integers(1, 3), st.integers(0, 2),
)  # fmt: skip
JOBS = st.builds(
    lambda steps, pauses: {"steps": steps, "pauses_s": pauses},
    st.lists(STEPS, max_size=6, unique_by=lambda one: one["step"]),
    st.dictionaries(st.sampled_from(["parts", "break"]), st.floats(0, 4000), max_size=2),
)


def spent(jobs: list[dict[str, object]]) -> list[Portion]:
    made = Spent()
    for one in jobs:
        made.add("radar", one, estimated=False)
    return made.portions()


@given(st.lists(st.lists(JOBS, max_size=4), max_size=5))
def test_portions_add_up_however_they_were_kept(shops: list[list[dict[str, object]]]) -> None:
    found, expected = together(packed(spent(jobs)) for jobs in shops), spent([one for jobs in shops for one in jobs])
    assert [(one.kind, one.name, one.again, one.wrong) for one in found] == [
        (one.kind, one.name, one.again, one.wrong) for one in expected
    ]
    for one, other in zip(found, expected, strict=True):
        assert np.array_equal(one.counts, other.counts)
        assert abs(one.seconds - other.seconds) < 1e-6 * max(1, other.seconds)


def test_a_job_is_taken_apart() -> None:
    made = Spent()
    own = {"step": "radar/square", "calibration": "radar", "serves": ["radar"], "seconds": 300.0, "waited_s": 60.0}
    shared = {"step": "ready/tyres", "calibration": None, "serves": ["radar", "camera"], "seconds": 80.0}
    other = {"step": "camera/hang", "calibration": "camera", "serves": ["camera"], "seconds": 99.0, "waited_s": 9.0}
    odd, plain = {"attempts": 2, "wrong_scans": 1}, {"attempts": 1, "wrong_scans": 0, "waited_s": 0.0}
    job = {"steps": [own | odd, plain | shared, plain | other], "pauses_s": {"parts": 600.0, "break": 0.0}}
    made.add("radar", job, estimated=False)
    made.add("radar", job, estimated=True)
    found = {(one.kind, one.name): one for one in made.portions()}
    assert found.keys() == {
        (OWN, "radar/square"), (SHARED, "ready/tyres"), (WAIT, "radar/square"), (PAUSE, "parts"),
    }  # fmt: skip
    assert {name: (one.n, one.seconds) for name, one in found.items()} == {
        (OWN, "radar/square"): (1, 300.0),
        (SHARED, "ready/tyres"): (1, 40.0),
        (WAIT, "radar/square"): (2, 120.0),
        (PAUSE, "parts"): (2, 1200.0),
    }
    assert (found[OWN, "radar/square"].again, found[OWN, "radar/square"].wrong) == (2, 2)
    assert found[OWN, "radar/square"].found is None  # one job is too few
