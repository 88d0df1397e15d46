"""Every word that a page shows comes from static/messages/LANGUAGE.ftl; the phone reads the same files.

What stands in English in the library, in a sheet or in a refusal is worded in the reader's language where it is shown
(core/wording.py), and kept in English: a sheet and its hash are the same whoever reads them.
"""

import re
from collections.abc import Callable, Mapping
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from fluent.runtime import FluentBundle, FluentResource
from fluent.syntax.ast import Resource

from webapp.core.wording import Wording
from webapp.paths import STATIC

ENGLISH = "en"
"""The language of the library, of sheets and of journals, and the one that steps in where a message is missing."""

MESSAGES = STATIC / "messages"


@dataclass(frozen=True, eq=False)
class Tongue:
    """A language to speak in: its code, and how the English texts of library, sheet and refusals read in it."""

    code: str = ENGLISH
    wording: Wording = field(default_factory=Wording)

    def say(self, name: str, /, **given: Any) -> str:
        """As the function below, in this language whoever asks."""
        return _say(self, name.replace("_", "-"), tuple(sorted(given.items())))


_ENGLISH = Tongue()
_spoken: ContextVar[Tongue] = ContextVar("tongue", default=_ENGLISH)


def speak(tongue: Tongue) -> None:
    """From here on `say` speaks this tongue, in this thread; a request begins by choosing."""
    _spoken.set(tongue)


def tongue() -> Tongue:
    return _spoken.get()


@lru_cache
def languages() -> dict[str, str]:
    """The codes of the languages there are, each with its own name for itself; English first."""
    codes = sorted((path.stem for path in MESSAGES.glob("*.ftl")), key=lambda code: (code != ENGLISH, code))
    return {code: plain_words(code)["language-name"] for code in codes}


@lru_cache
def bundle(language: str = ENGLISH) -> FluentBundle:
    """The messages of a language; what it lacks is there in English."""
    made = FluentBundle([language], use_isolating=False)
    for code in dict.fromkeys((ENGLISH, language)):
        made.add_resource(_parsed(code), allow_overrides=True)
    return made


@lru_cache
def _parsed(language: str) -> Resource:
    """A file of messages; English goes into every bundle, and takes a quarter of a second."""
    return FluentResource((MESSAGES / f"{language}.ftl").read_text(encoding="utf-8"))


def say(name: str, /, **given: Any) -> str:
    """The message of that name with its variables filled in. Names may be spelled with _ where - cannot stand.

    Raises:
        KeyError: where there is no such message, so that a test finds it rather than a technician.
    """
    return _spoken.get().say(name, **given)


english = _ENGLISH.say
"""The same in English, whoever asks: for what is kept, a sheet above all."""


POINT = re.compile(r"(?<=\d)\.(?=\d)")


def pointed(text: str) -> str:
    """Figures as a file writes them, `0.25 deg`, with the decimal sign of the language spoken."""
    return POINT.sub(tongue().wording.point, text)


def sentence(text: str) -> str:
    """A refusal, or a text of the library, in the language spoken."""
    return tongue().wording.sentence(text)


@lru_cache(maxsize=4096)
def _say(speaking: Tongue, name: str, given: tuple[tuple[str, Any], ...]) -> str:
    held, of = bundle(speaking.code), speaking.wording.of
    message = held.get_message(name)
    if message.value is None:
        raise KeyError(name)
    worded = {key: of(value) if isinstance(value, str) else value for key, value in given}
    text, trouble = held.format_pattern(message.value, worded)
    if trouble:
        raise KeyError(f"{name}: {trouble[0]}")
    return str(text)


@lru_cache
def plain_words(language: str = ENGLISH) -> Mapping[str, str]:
    """Every message that takes no variable, by name: what templates use as `t`."""
    held = bundle(language)
    words = {}
    for name, message in held._messages.items():  # the runtime has no public way to list them
        if message.value is not None:
            pattern = held.get_message(name).value
            text, trouble = held.format_pattern(pattern, {}) if pattern else ("", [name])
            if not trouble:
                words[name] = str(text)
    return words


Say = Callable[..., str]
