"""Every word that a page shows comes from static/messages/LANGUAGE.ftl; the phone reads the same files."""

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any

from fluent.runtime import FluentBundle, FluentResource

from webapp.paths import STATIC

LANGUAGE = "en"


@lru_cache
def bundle(language: str = LANGUAGE) -> FluentBundle:
    made = FluentBundle([language], use_isolating=False)
    made.add_resource(FluentResource((STATIC / "messages" / f"{language}.ftl").read_text(encoding="utf-8")))
    return made


def say(name: str, /, **given: Any) -> str:
    """The message of that name with its variables filled in. Names may be spelled with _ where - cannot stand.

    Raises:
        KeyError: where there is no such message, so that a test finds it rather than a technician.
    """
    return _say(name.replace("_", "-"), tuple(sorted(given.items())))


@lru_cache(maxsize=4096)
def _say(name: str, given: tuple[tuple[str, Any], ...]) -> str:
    held = bundle()
    message = held.get_message(name)
    if message.value is None:
        raise KeyError(name)
    text, trouble = held.format_pattern(message.value, dict(given))
    if trouble:
        raise KeyError(f"{name}: {trouble[0]}")
    return str(text)


@lru_cache
def plain_words(prefix: str = "") -> Mapping[str, str]:
    """Every message that takes no variable and begins with the prefix, by name: what templates use as `t`."""
    held = bundle()
    words = {}
    for name, message in held._messages.items():  # the runtime has no public way to list them
        if name.startswith(prefix) and message.value is not None:
            pattern = held.get_message(name).value
            text, trouble = held.format_pattern(pattern, {}) if pattern else ("", [name])
            if not trouble:
                words[name] = str(text)
    return words


Say = Callable[..., str]
