"""What a release changes, in the reader's words: a sentence for each thing, under the step it is about."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import zip_longest
from typing import Any

from webapp.core.changes import Change, Note, Part, changes
from webapp.core.changes.fields import FIELDS
from webapp.core.lengths import Unit
from webapp.core.wording import Wording
from webapp.library.stock import documents_in
from webapp.messages import POINT, Tongue

ON_THE_WAY = ("becomes", "set", "unset", "order")
"""Notes about a place within a step, or within the file."""
OPENS = ("specs", "figures")


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
    was, now = (documents_in(one) for one in kept)
    made = changes(was, now, differ, unit)
    words = _Words(speaking, {**_titles(was), **_titles(now)})
    return [Told(one.place, one.sort, words.title(one), one.state, words.parts(one.notes)) for one in made]


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
    return place in differ or not place.startswith(("translations/", "vehicles/"))


def _titles(documents: Mapping[str, Any]) -> dict[str, str]:
    """What people call a procedure, by its name."""
    said = (one for one in documents.values() if isinstance(one, dict))
    return {str(one["procedure"]): str(one["title"]) for one in said if one.get("procedure") and one.get("title")}


@dataclass(frozen=True)
class _Words:
    """The words for notes, in the language spoken."""

    speaking: Tongue
    titles: Mapping[str, str]

    def title(self, one: Change) -> str:
        if one.sort in ("catalogue", "fragments"):
            return self.speaking.say(f"changes-title-{one.sort}")
        return self.speaking.wording.of(one.title)

    def parts(self, notes: Iterable[Note]) -> list[Under]:
        made: dict[str, Under] = {}
        for note in notes:
            at = note.at if note.what in ON_THE_WAY else ""
            made.setdefault(at, Under(self.speaking.wording.of(at))).lines.append(self._sentence(note))
        return list(made.values())

    def _sentence(self, note: Note) -> str:
        say, before, after = self.speaking.say, self._shown(note.before), self._shown(note.after)
        if note.what in ON_THE_WAY:
            return say(f"changes-{note.what}", way=self._way(note.way), before=before, after=after)
        if note.what == "revision":
            return say("changes-revision", before=before, after=after)
        if note.what == "step-order":
            return say("changes-step-order", after=after)
        if note.what == "used-by":
            return say("changes-used-by", name=note.at, after=after)
        if note.what == "translation":
            return say("changes-translation", text=note.at, before=note.before or "–", after=note.after or "–")
        if note.what in ("layout", "otherwise", "whole"):
            return say(f"changes-{note.what}")
        return say(f"changes-{note.what}", name=self._named(note.at))

    def _way(self, way: Sequence[Part]) -> str:
        """The way to a place; what only says that names follow is left out before them."""
        parts = [
            one for one, after in zip_longest(way, way[1:]) if one.name not in OPENS or after is None or after.field
        ]
        return " · ".join(map(self._word, parts)) or "–"

    def _word(self, part: Part) -> str:
        known = part.field and part.name in FIELDS
        return self.speaking.say(f"changes-field-{part.name}") if known else self._named(part.name)

    def _named(self, name: str) -> str:
        return self.speaking.wording.of(self.titles.get(name, name))

    def _shown(self, text: str) -> str:
        """A text of the library in the language spoken, or a figure with its decimal sign."""
        parts = [self.speaking.wording.of(one) for one in text.split(" → ")]
        return POINT.sub(self.speaking.wording.point, " → ".join(parts)) or "–"
