"""A day in the shop, played through: vehicles come, wait for a bay, a technician and a stand, are worked and leave.

What a vehicle takes is drawn from the shop's own finished jobs as a whole, so that what hangs together in a job stays
together. The day begins with an empty shop. A vehicle in a bay keeps it to its end; while its job is paused the
technician works elsewhere, and comes back before anything new is begun.
"""

from collections.abc import Generator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import simpy
from numpy.typing import NDArray

Floats = NDArray[np.float64]
GOES_ON, BEGINS = 0, 1
"""Who goes on with a job comes before who begins one."""
RESOURCES = ("bays", "technicians", "stands")


@dataclass(frozen=True)
class Capacity:
    """How many of each there are."""

    bays: int
    technicians: int
    stands: int


@dataclass(frozen=True)
class Work:
    """What one vehicle takes, in seconds: the shared set-up and closing, its pauses, and each calibration's own steps
    with whether they take a stand."""

    shared_s: float
    pauses_s: float
    own_s: tuple[tuple[float, bool], ...]


@dataclass
class Vehicle:
    """One vehicle of the day: when it came, when the work on it began and ended, and how long it waited for a stand.

    None where that had not come about when the day ended.
    """

    came_s: float
    began_s: float | None = None
    done_s: float | None = None
    stand_wait_s: float = 0.0


@dataclass(frozen=True)
class Day:
    """What became of the day. `busy` says for each of `RESOURCES` which part of its time it was in use."""

    vehicles: tuple[Vehicle, ...]
    busy: dict[str, float]

    @property
    def finished(self) -> int:
        return sum(one.done_s is not None for one in self.vehicles)

    @property
    def not_begun(self) -> int:
        return sum(one.began_s is None for one in self.vehicles)

    @property
    def in_bay(self) -> int:
        return len(self.vehicles) - self.finished - self.not_begun

    @property
    def waits_s(self) -> Floats:
        """How long each vehicle waited for the work on it to begin; infinite where it did not begin that day."""
        return np.array([np.inf if one.began_s is None else one.began_s - one.came_s for one in self.vehicles])


class _Use:
    """Who uses a resource, and for how long all in all."""

    def __init__(self, env: simpy.Environment, count: int) -> None:
        self.env, self.count = env, count
        self.resource = simpy.PriorityResource(env, count)
        self.since: dict[Any, float] = {}
        self.used_s = 0.0

    def take(self, priority: int = BEGINS) -> Any:
        return self.resource.request(priority)

    def taken(self, request: Any) -> None:
        self.since[request] = self.env.now

    def give_back(self, request: Any) -> None:
        self.used_s += self.env.now - self.since.pop(request)
        self.resource.release(request)

    def busy(self) -> float:
        used_s = self.used_s + sum(self.env.now - since for since in self.since.values())
        return used_s / (self.count * self.env.now) if self.env.now else 0.0


class _Shop:
    def __init__(self, env: simpy.Environment, capacity: Capacity) -> None:
        self.env = env
        self.bays, self.technicians, self.stands = (_Use(env, getattr(capacity, name)) for name in RESOURCES)

    def serve(self, vehicle: Vehicle, work: Work) -> Generator[Any, Any, None]:
        """Everything that one vehicle goes through."""
        yield self.env.timeout(vehicle.came_s)
        bay = self.bays.take()
        yield bay
        self.bays.taken(bay)
        technician = self.technicians.take()
        yield technician
        self.technicians.taken(technician)
        vehicle.began_s = self.env.now
        yield self.env.timeout(work.shared_s)
        if work.pauses_s:
            self.technicians.give_back(technician)
            yield self.env.timeout(work.pauses_s)
            technician = self.technicians.take(GOES_ON)
            yield technician
            self.technicians.taken(technician)
        for seconds, on_stand in work.own_s:
            yield from self._calibrate(vehicle, seconds, on_stand)
        vehicle.done_s = self.env.now
        self.technicians.give_back(technician)
        self.bays.give_back(bay)

    def _calibrate(self, vehicle: Vehicle, seconds: float, on_stand: bool) -> Generator[Any, Any, None]:
        if not on_stand:
            yield self.env.timeout(seconds)
            return
        asked_s, stand = self.env.now, self.stands.take()
        yield stand
        self.stands.taken(stand)
        vehicle.stand_wait_s += self.env.now - asked_s
        yield self.env.timeout(seconds)
        self.stands.give_back(stand)


def play(capacity: Capacity, comes_s: Sequence[float] | Floats, works: Sequence[Work], hours_s: float) -> Day:
    """Play one day: the vehicles that come at these seconds after opening, with what each takes, until it closes."""
    env = simpy.Environment()
    shop = _Shop(env, capacity)
    vehicles = [Vehicle(float(came_s)) for came_s in comes_s]
    for vehicle, work in zip(vehicles, works, strict=True):
        env.process(shop.serve(vehicle, work))
    env.run(until=hours_s)
    return Day(tuple(vehicles), {name: getattr(shop, name).busy() for name in RESOURCES})
