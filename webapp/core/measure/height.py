"""The stand's scale setting for a target's height.

A target's centre is specified above the plane of the four tyre contact points, but a stand's scale starts at the
floor under the stand. Where the floor lies lower than that plane, the scale is set that much higher.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from ..errors import BadInput
from .floor import FloorPoint, Spot, SpotHeight, fit_plane
from .instruments import combined

CONTACTS = 4


@dataclass(frozen=True)
class StandHeight:
    """Set the scale to ``scale_mm``; ``fall_mm`` of it makes up for the floor (positive: the floor falls away)."""

    scale_mm: float
    fall_mm: float
    u_mm: float


def stand_height(
    centre_height_mm: float, contacts: Sequence[FloorPoint], spot: Spot, floor: SpotHeight, u_mm: float
) -> StandHeight:
    """Return the scale setting that puts the target's centre ``centre_height_mm`` above the contact plane.

    contacts: the floor's height read at the four tyre contact points, each with standard uncertainty u_mm.
    floor: the floor's height under the stand, from the same datum (a survey's spot, or one reading and its u).
    The contact plane is carried forward to the stand, so its uncertainty there grows with the distance.
    Raises BadInput unless there are four contacts that do not lie on one line.
    """
    if len(contacts) != CONTACTS:
        raise BadInput("four-contacts", "contacts", f"contacts has {len(contacts)} readings, but a vehicle stands on 4")
    plane = fit_plane(contacts)
    fall_mm = plane.height_mm(spot.x_mm, spot.y_mm) - floor.height_mm
    u_plane_mm = u_mm * sqrt(plane.leverage(spot.x_mm, spot.y_mm))
    return StandHeight(centre_height_mm + fall_mm, fall_mm, combined([u_plane_mm, floor.u_mm]))
