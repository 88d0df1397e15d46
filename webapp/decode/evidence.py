"""What several looks at one photo add up to. The first text is never simply taken."""

from collections.abc import Iterator
from dataclasses import dataclass

from .accept import Accept
from .decoders import Sight
from .reading import Found, Reading

_CORRECTING = frozenset({"qr", "data-matrix"})
"""These carry Reed-Solomon codes, so one look is enough. Code 39 has no checksum, and Code 128's lets 1 in 103 by."""


@dataclass(frozen=True)
class Evidence:
    """The looks taken so far, each with all that it saw."""

    accept: Accept
    looks: tuple[tuple[Sight, ...], ...] = ()

    def after(self, look: list[Sight]) -> "Evidence":
        """Return the evidence with one more look."""
        return Evidence(self.accept, (*self.looks, tuple(look)))

    def settled(self) -> bool:
        """Say that no further look is needed: there is something to believe, and nothing left in the balance."""
        believed = self._believed()
        if len(believed) > 1 and not self.accept.several:
            return True  # more than one answer, and more looks would not make it fewer
        return bool(believed) and not self._in_the_balance()

    def reading(self) -> Reading:
        """Return the conclusion. Where a photo must have one answer, one that is still in the balance counts as well:
        beside a believed one as its rival, alone as an answer that a person must compare.
        """
        believed = self._believed()
        counted = believed if self.accept.several else believed + self._in_the_balance()
        found = tuple(self._found(value) for value in counted)
        return Reading(self.accept.wanted, found, sure=counted == believed, others=self._others())

    def _believed(self) -> tuple[str, ...]:
        return tuple(value for value in self._values() if self._is_believed(value))

    def _in_the_balance(self) -> tuple[str, ...]:
        return tuple(
            value
            for value in self._values()
            if not self._is_believed(value) and any(not sight.doubtful for _, sight in self._sights(value))
        )

    def _is_believed(self, value: str) -> bool:
        seen = list(self._sights(value))
        sound = [(look, sight) for look, sight in seen if not sight.doubtful]
        if not sound:
            return False
        return (
            any(sight.symbology in _CORRECTING for _, sight in sound)
            or self.accept.proves_itself(value)
            or len({look for look, _ in seen}) > 1
        )

    def _values(self) -> tuple[str, ...]:
        values = (self.accept.value(sight.text) for look in self.looks for sight in look)
        return tuple(dict.fromkeys(value for value in values if value is not None))

    def _sights(self, value: str) -> Iterator[tuple[int, Sight]]:
        for number, look in enumerate(self.looks):
            for sight in look:
                if self.accept.value(sight.text) == value:
                    yield number, sight

    def _found(self, value: str) -> Found:
        sights = [sight for _, sight in self._sights(value)]
        best = min(sights, key=lambda sight: sight.doubtful)
        return Found(best.text, best.symbology)

    def _others(self) -> tuple[Found, ...]:
        others = (
            Found(sight.text, sight.symbology)
            for look in self.looks
            for sight in look
            if not sight.doubtful and self.accept.value(sight.text) is None
        )
        return tuple(dict.fromkeys(others))
