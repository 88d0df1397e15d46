"""What two phones did unheard of each other, and what the server decided otherwise, is told alike on both sides."""

from dataclasses import replace
from random import Random
from typing import Any

from tests.mirror.conftest import Mirror
from tests.mirror.playing import plain, random_history
from tests.mirror.taps import some_sheet
from webapp.core.crossing import Shown, crossings
from webapp.core.events import Event
from webapp.core.sheet import Sheet
from webapp.core.view import apart_view
from webapp.messages import say
from webapp.web import mustache

NAMES = {"AAA111": "Noor <Brandt>", "BBB222": "Ilya"}


def apart(dice: Random) -> tuple[Sheet, list[Event]]:
    """A job that two phones worked without a network between them."""
    sheet = some_sheet(dice)
    return sheet, [replace(one, round=0) for one in random_history(dice, sheet, 60).events]


def test_crossings_are_the_same_whatever_was_heard_of_first(mirror: Mirror) -> None:
    dice, why = Random("crossed"), set()
    for number in range(1000):
        if number >= 80 and len(why) == 3:  # a finish unheard of an open step is rare
            break
        sheet, events = apart(dice)
        wanted = plain(crossings(sheet, events))
        heard = dice.sample(events, len(events))
        assert mirror.out("crossed", {"sheet": sheet, "events": plain(heard)}) == wanted
        why |= {one["why"] for one in wanted}
    assert why == {"same-step", "job-ended", "ended-open"}


def test_what_is_to_be_looked_at_is_the_same_html_to_the_byte(mirror: Mirror) -> None:
    dice, kinds = Random("shown"), set()
    values: list[Any] = ["inside", None, False, 1.5, 1e-7, ["a", {"b": "<ö>"}], "x" * 300, {"z": 1, "a": [2.0]}]
    for _ in range(60):
        sheet, events = apart(dice)
        found = [Shown(one.event, one.why, other=one.other) for one in crossings(sheet, events)]
        decided = ("pin", "sheet-made", "result.parts[0].value")
        found += [Shown(dice.choice(events), what, dice.choice(values), dice.choice(values)) for what in decided]
        view = apart_view(sheet, found, NAMES, say)
        wanted = {"view": plain(view), "html": mustache.render("apart", view["apart"])}
        assert mirror.out("apart", {"sheet": sheet, "found": plain(found), "names": NAMES}) == wanted
        kinds |= {one.event.kind for one in found if one.other}
    assert {"measured", "chosen", "scanned", "resulted"} <= kinds
    assert apart_view(sheet, [], NAMES, say) == {}
