"""A journal file: the sheet on the first line, an event on each further one; folded into the state."""

import json
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from .errors import BadInput, shown
from .events import Event
from .fold import fold
from .state import JobState


def replay_lines(lines: Iterable[str]) -> dict[str, Any]:
    """The state as JSON: what the job's pages would show after these events.

    Raises:
        BadInput: `line-not-json`, `sheet-missing`, `sheet-damaged`, `event-damaged`, or an event's own; the field is
            the line's number.
    """
    given = [(number, _read(number, line)) for number, line in enumerate(lines, 1) if line.strip()]
    if not given or not isinstance(given[0][1].get("sheet"), dict):
        raise BadInput("sheet-missing", "line 1", 'line 1 has no sheet; the first line must be {"sheet": {…}}')
    sheet = given[0][1]["sheet"]
    state = _folded(sheet, [], None, "sheet-damaged", "line 1")
    for number, entry in given[1:]:
        try:
            event = Event.from_dict(entry)
        except BadInput as error:
            raise error.inside(f"line {number}") from error
        state = _folded(sheet, [event], state, "event-damaged", f"line {number}")
    return asdict(state)


def _folded(sheet: dict[str, Any], events: list[Event], state: JobState | None, code: str, line: str) -> JobState:
    try:
        return fold(sheet, events, state)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        # A sheet or an event's data that lacks something: the fold believes what `act` and `make_sheet` made.
        message = f"{line} was not written by Baybook, or was changed since: {type(error).__name__} {error}"
        raise BadInput(code, line, message) from error


def journal_lines(sheet: dict[str, Any], events: Iterable[Event]) -> Iterable[str]:
    """The file that `replay_lines` reads."""
    yield json.dumps({"sheet": sheet}, ensure_ascii=False, separators=(",", ":"))
    for event in events:
        yield event.as_json()


def _read(number: int, line: str) -> dict[str, Any]:
    try:
        entry = json.loads(line)
    except ValueError as error:
        raise BadInput(
            "line-not-json", f"line {number}", f"line {number}={shown(line.strip())} is not JSON: {error}"
        ) from error
    if not isinstance(entry, dict):
        raise BadInput("line-not-json", f"line {number}", f"line {number}={shown(line.strip())} must be a JSON object")
    return entry
