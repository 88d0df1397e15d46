"""Which label a person scans next, as the text that its code holds."""

from collections.abc import Sequence
from typing import Any

from webapp.core.kit import Kit, codes_for, trouble
from webapp.core.labels import Label, label_text
from webapp.core.state import StepState


def next_label(
    pairs: Sequence[dict[str, Any]], was: StepState, kit: Kit, today: str, bay: str | None, wrong: bool
) -> str:
    """Return the next label's text: the open pair's target, then its spot; with `wrong`, the spot of another pair.

    Where two phones work at one step, a spot may be in hand instead: then its target comes next.
    """
    done = {one["pair"] for one in was.placed}
    left = [pair for number, pair in enumerate(pairs) if number not in done]
    pair, half = left[0], "target"
    for held, other in (("spot", "target"), ("target", "spot")):
        if found := next((one for one in left if was.holding and was.holding in codes_for(one[held], kit)), None):
            pair, half = found, other
    if wrong and half == "spot":
        pair = next((one for one in left if one is not pair), pair)
    name = pair[half] or pair["spot"]
    fit = [code for code in codes_for(name, kit) if trouble(code, kit, today) is None]
    code = bay if bay in fit else fit[0]
    return label_text(Label(kit[code]["kind"], code))
