"""What was said at a step, in sentences: for whoever sees it again, and for a supervisor who vouches for it."""

from typing import Any

from ..sheet import Say


def facts(step: dict[str, Any], was: Any, say: Say) -> list[str]:
    found = []
    if was.option:
        label = next((one["label"] for one in step["options"] if one["value"] == was.option), was.option)
        found.append(say("fact-option", option=label))
    found.extend(say("fact-placed", target=one["target"] or "–", spot=one["spot"] or "–") for one in was.placed)
    if was.measured:
        found.append(say(f"verdict-{was.measured['verdict']}"))
    if was.outcome:
        found.append(say(f"outcome-{was.outcome['outcome']}"))
    if was.reason:
        found.append(was.reason)
    if was.countersigned_by:
        found.append(say("fact-countersigned", by=was.countersigned_by))
    return found
