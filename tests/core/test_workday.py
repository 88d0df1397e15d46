"""A day's play against queueing theory, for the cases that have a formula, and against days worked out by hand."""

from math import exp, factorial, inf

import numpy as np
import pytest

from webapp.core.workday import Capacity, Day, Work, play

MANY = 20_000
FOREVER = 1e12


def setup(seconds: float) -> Work:
    return Work(float(seconds), 0.0, ())


def busy_shop(capacity: Capacity, works: list[Work], between_s: float, seed: int) -> Day:
    """So many vehicles one after another, coming as a Poisson process, until the last has left."""
    comes_s = np.cumsum(np.random.default_rng(seed).exponential(between_s, len(works)))
    return play(capacity, comes_s, works, FOREVER)


def waits(day: Day, warm_up: int = 1000) -> tuple[float, float]:
    """The mean wait and its standard error, from means of batches, so that neighbours' likeness counts."""
    found = day.waits_s[warm_up:]
    batches = np.array([batch.mean() for batch in np.array_split(found, 20)])
    return float(found.mean()), float(batches.std(ddof=1) / np.sqrt(len(batches)))


def erlang_c(servers: int, load: float) -> float:
    """The chance that who comes has to wait (Erlang, 1917)."""
    last = load**servers / factorial(servers) * servers / (servers - load)
    return last / (sum(load**k / factorial(k) for k in range(servers)) + last)


@pytest.mark.parametrize(("servers", "rho"), [(1, 0.6), (2, 0.75), (4, 0.8)])
def test_with_exponential_times_the_wait_is_that_of_erlang_c(servers: int, rho: float) -> None:
    service_s, load = 3600.0, servers * rho
    works = [setup(one) for one in np.random.default_rng(100 + servers).exponential(service_s, MANY)]
    day = busy_shop(Capacity(servers, servers, 1), works, service_s / load, seed=servers)
    mean, error = waits(day)
    theory = erlang_c(servers, load) * service_s / (servers - load)
    assert abs(mean - theory) < 3 * error
    assert error < 0.12 * theory


@pytest.mark.parametrize("short_of", ["bays", "technicians", "stands"])
def test_with_any_times_at_one_server_the_wait_is_pollaczek_and_khinchines(short_of: str) -> None:
    """Whichever of the three there is one of, the others being plenty."""
    times = np.random.default_rng(2).lognormal(np.log(2400), 0.5, MANY)
    mean_s, second = 2400 * exp(0.125), 2400**2 * exp(0.5)
    between_s = mean_s / 0.7
    enough = {"bays": 60, "technicians": 60, "stands": 60}
    works = [Work(0.0, 0.0, ((float(one), True),)) if short_of == "stands" else setup(one) for one in times]
    day = busy_shop(Capacity(**(enough | {short_of: 1})), works, between_s, seed=3)
    if short_of == "stands":
        found = np.array([one.stand_wait_s for one in day.vehicles])[1000:]
        batches = np.array([batch.mean() for batch in np.array_split(found, 20)])
        mean, error = float(found.mean()), float(batches.std(ddof=1) / np.sqrt(20))
    else:
        mean, error = waits(day)
    theory = second / between_s / (2 * (1 - 0.7))
    assert abs(mean - theory) < 3 * error
    assert error < 0.12 * theory


def test_the_vehicles_in_the_shop_are_as_many_as_come_in_the_time_that_each_stays() -> None:
    """Little's law: L = lambda W, whatever the times, with pauses and stands."""
    dice = np.random.default_rng(4)
    works = [
        Work(float(a), float(b), ((float(c), True), (300.0, False)))
        for a, b, c in zip(
            dice.exponential(1800, 3000), dice.exponential(600, 3000), dice.exponential(900, 3000), strict=True
        )
    ]
    day = busy_shop(Capacity(3, 2, 1), works, 1800, seed=5)
    came = np.array([one.came_s for one in day.vehicles])
    left = np.array([one.done_s for one in day.vehicles], float)
    horizon_s = left.max()
    moments = np.random.default_rng(6).uniform(0, horizon_s, 20_000)
    in_shop = np.mean([((came <= at) & (left > at)).sum() for at in moments])
    assert in_shop == pytest.approx(len(came) / horizon_s * (left - came).mean(), rel=0.03)


def test_how_busy_each_is_follows_from_what_is_worked() -> None:
    works = [Work(600.0, 300.0, ((900.0, True), (100.0, False)))] * 40
    day = play(Capacity(2, 3, 4), np.arange(40) * 3000.0, works, 120_000.0)
    assert day.finished == 40
    assert day.busy["bays"] == pytest.approx(40 * 1900 / (2 * 120_000))
    assert day.busy["technicians"] == pytest.approx(40 * 1600 / (3 * 120_000))
    assert day.busy["stands"] == pytest.approx(40 * 900 / (4 * 120_000))


def test_a_small_day_comes_out_as_worked_out_by_hand() -> None:
    """One bay, one technician: 1000 s each; the second waits 900 s, the third is in its bay at closing, one waits."""
    day = play(Capacity(1, 1, 1), [0, 100, 1500, 1600], [setup(1000)] * 4, 2500)
    assert [(one.began_s, one.done_s) for one in day.vehicles] == [(0, 1000), (1000, 2000), (2000, None), (None, None)]
    assert (day.finished, day.in_bay, day.not_begun) == (2, 1, 1)
    assert day.waits_s.tolist() == [0, 900, 500, inf]
    assert day.busy["bays"] == 1


def test_while_a_job_is_paused_its_technician_begins_another_and_comes_back_first() -> None:
    works = [Work(100, 500, ((100, False),)), setup(1000), setup(50)]
    day = play(Capacity(3, 1, 1), [0, 10, 20], works, 10_000)
    # The first pauses from 100 to 600; the second is worked from 100 to 1100, then the first goes on before the third.
    assert [one.began_s for one in day.vehicles] == [0, 100, 1200]
    assert [one.done_s for one in day.vehicles] == [1200, 1100, 1250]


def test_a_stand_is_waited_for_by_who_needs_one_alone() -> None:
    works = [Work(0, 0, ((600, True),)), Work(0, 0, ((600, True),)), Work(0, 0, ((600, False),))]
    day = play(Capacity(3, 3, 1), [0, 0, 0], works, 10_000)
    assert [one.stand_wait_s for one in day.vehicles] == [0, 600, 0]
    assert [one.done_s for one in day.vehicles] == [600, 1200, 600]
