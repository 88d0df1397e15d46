"""What a release changes, in the reader's words: a sentence for each thing, under the step it is about."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from webapp.core.changes import Change, Note, Part, changes
from webapp.core.changes.fields import FIELDS
from webapp.core.lengths import Unit
from webapp.core.wording import Wording
from webapp.library.stock import documents_in
from webapp.messages import POINT, Tongue


@dataclass
class Under:
    """Sentences under the step that they are about; `at` is empty for those about the file as a whole."""

    at: str
    lines: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Told:
    """A file that differs, as a page shows it."""

    place: str
    sort: str
    title: str
    state: str
    parts: list[Under]


def told(before: Mapping[str, bytes], after: Mapping[str, bytes], unit: Unit, speaking: Tongue) -> list[Told]:
    """What differs between two libraries' files, by their places; every file that differs is there."""
    differ = [place for place in before.keys() | after.keys() if before.get(place) != after.get(place)]
    kept = [{place: data for place, data in side.items() if _counts(place, differ)} for side in (before, after)]
    made = changes(documents_in(kept[0]), documents_in(kept[1]), differ, unit)
    return [Told(one.place, one.sort, _title(one, speaking), one.state, _parts(one.notes, speaking)) for one in made]


def both(before: Tongue, after: Tongue) -> Tongue:
    """A tongue that has the texts of both libraries: what was, and what will be."""
    if after.wording.plain:
        return after
    texts = {**before.wording.texts, **after.wording.texts}
    made = Tongue(after.code, Wording(texts, (), after.wording.point))
    made.wording.forms = after.wording.forms
    return made


def _counts(place: str, differ: Iterable[str]) -> bool:
    """Whether a file has to be read: it differs, or it may take in a fragment that does."""
    return place in differ or "/" not in place


def _title(one: Change, speaking: Tongue) -> str:
    if one.sort in ("catalogue", "fragments"):
        return speaking.say(f"changes-title-{one.sort}")
    return speaking.wording.of(one.title)


def _parts(notes: Iterable[Note], speaking: Tongue) -> list[Under]:
    made: dict[str, Under] = {}
    for note in notes:
        at = note.at if note.what in ("becomes", "set", "unset", "order") else ""
        made.setdefault(at, Under(speaking.wording.of(at))).lines.append(_sentence(note, speaking))
    return list(made.values())


def _sentence(note: Note, speaking: Tongue) -> str:
    given: dict[str, Any] = {"before": _shown(note.before, speaking), "after": _shown(note.after, speaking)}
    if note.what in ("becomes", "set", "unset", "order"):
        return speaking.say(f"changes-{note.what}", way=_way(note.way, speaking), **given)
    if note.what == "revision":
        return speaking.say("changes-revision", **given)
    if note.what == "step-order":
        return speaking.say("changes-step-order", after=given["after"])
    if note.what == "used-by":
        return speaking.say("changes-used-by", name=note.at, after=given["after"] or "–")
    if note.what == "translation":
        return speaking.say("changes-translation", text=note.at, before=note.before or "–", after=note.after or "–")
    if note.what in ("layout", "otherwise", "whole"):
        return speaking.say(f"changes-{note.what}")
    return speaking.say(f"changes-{note.what}", name=note.at)


def _way(way: Iterable[Part], speaking: Tongue) -> str:
    return " · ".join(_word(part, speaking) for part in way) or "–"


def _word(part: Part, speaking: Tongue) -> str:
    if part.field and part.name in FIELDS:
        return speaking.say(f"changes-field-{part.name}")
    return speaking.wording.of(part.name)


def _shown(text: str, speaking: Tongue) -> str:
    """A text of the library in the language spoken, or a figure with its decimal sign."""
    parts = [speaking.wording.of(one) for one in text.split(" → ")]
    return POINT.sub(speaking.wording.point, " → ".join(parts)) or "–"
