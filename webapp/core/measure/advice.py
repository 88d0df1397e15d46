"""What to do with a stand once its pose is known: the moves in the order a person makes them, in whole millimetres.

Each entry is a plain dict with a code under ``do`` and the message's arguments beside it; the words are made
elsewhere, in the reader's language. Left and right are the vehicle's.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import floor, fsum, radians, sin
from typing import Any

from ..numbers import rounded
from .square import FRONT, TAPE_NAMES, TURN, Hubs, Pose, Squared, Tapes, square_stand, tapes_at

Advice = dict[str, Any]


def advise(
    track_mm: float, bar_mm: float, found: Squared, target: Pose | None, hubs: Hubs = FRONT
) -> tuple[Advice, ...]:
    """Return the moves from the pose found to the target's, and the four readings that will confirm them.

    Without a target the stand is squared and centred at the distance where it stands. A move that rounds to 0 mm is
    left out. Where the four tapes did not fit there is one piece of advice: measure again.
    """
    if found.pose is None:
        return ({"do": "measure-again"},)
    wanted = target or Pose(found.pose.distance_mm, 0.0, 0.0)
    expected = tapes_at(track_mm, bar_mm, wanted, hubs)
    readings = {name: whole_mm(getattr(expected, name)) for name in TAPE_NAMES}
    return (*_moves(bar_mm, found.pose, wanted, hubs), {"do": "expect", "tapes_mm": readings})


def _moves(bar_mm: float, here: Pose, there: Pose, hubs: Hubs) -> list[Advice]:
    turn = whole_mm(TURN[hubs] * bar_mm / 2 * (sin(radians(there.yaw_deg)) - sin(radians(here.yaw_deg))))
    slide = whole_mm(there.offset_mm - here.offset_mm)
    move = whole_mm(there.distance_mm - here.distance_mm)
    # Turned to the left, the left end comes back: nearer to a vehicle behind it, away from one ahead of it.
    left_end, right_end = ("nearer", "away") if turn > 0 else ("away", "nearer")
    moves: list[Advice] = []
    if turn:
        moves.append({"do": "turn", "left_end_mm": abs(turn), "left_end": left_end, "right_end": right_end})
    if slide:
        moves.append({"do": "slide", "mm": abs(slide), "to": "left" if slide > 0 else "right"})
    if move:
        moves.append({"do": "move", "mm": abs(move), "to": "farther" if move > 0 else "nearer"})
    return moves


def whole_mm(length_mm: float) -> int:
    """Round to whole millimetres, halves away from zero, so that left and right are treated alike.

    What a sum's last digits keep from being a half is a half too, so that phone and shop say the same.
    """
    return floor(rounded(abs(length_mm), 6) + 0.5) * (1 if length_mm >= 0 else -1)


@dataclass(frozen=True)
class OddOneOut:
    """The tape that was misread in the first set, or None and the reason why it cannot be named."""

    tape: str | None
    reason: str | None


def square_with_repeats(
    track_mm: float, bar_mm: float, tapes: Tapes, u: Tapes, repeats: Sequence[Tapes], hubs: Hubs = FRONT
) -> tuple[Squared, OddOneOut]:
    """Return the pose from the repeated sets, and which tape of the first set does not go with the rest.

    A tape is named where putting its repeated reading (the mean, if there are several) into the first set makes the
    four fit, and doing so with no other tape does. Reasons where none is named: ``first-set-fits``,
    ``no-single-tape``, ``more-than-one-tape``.
    """
    again = Tapes(*(fsum(getattr(r, name) for r in repeats) / len(repeats) for name in TAPE_NAMES))
    second = square_stand(track_mm, bar_mm, again, u, hubs)
    first = square_stand(track_mm, bar_mm, tapes, u, hubs)
    if first.fits:
        return (second if second.fits else first), OddOneOut(None, "first-set-fits")
    mended = {
        name: square_stand(track_mm, bar_mm, replace(tapes, **{name: getattr(again, name)}), u, hubs)
        for name in TAPE_NAMES
    }
    cured = [name for name in TAPE_NAMES if mended[name].fits]
    if len(cured) != 1:
        return second, OddOneOut(None, "more-than-one-tape" if cured else "no-single-tape")
    return (second if second.fits else mended[cured[0]]), OddOneOut(cured[0], None)
