"""What a phone has to load before it shows a job's step."""

from tests.bench.offline import LARGEST_SCRIPTS, script_bytes


def test_the_scripts_before_the_first_step_are_small() -> None:
    assert 0 < sum(script_bytes().values()) <= LARGEST_SCRIPTS
