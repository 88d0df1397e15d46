"""How many generated photos are read, how many wrongly, and how long it takes: each decoder alone, and the cascade.

The rates are of generated photos and compare decoders with each other; they are no rates of the field. Times are of
one process, opening the photo included. Half of the photos mix all flaws, half have one or two at their worst.
"""

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from statistics import median, quantiles
from time import perf_counter
from typing import Any

from tests.decode.flaws import GRADES, SETTINGS
from tests.decode.photos import Photo, series
from webapp.decode import ANY, LABEL, VIN, decode_photo
from webapp.decode.decoders import SYMBOLOGIES, Decode, zbar, zxing
from webapp.decode.photo import open_photo

Answer = tuple[list[str], bool]
"""The texts handed on, and whether they are handed on as sure."""


@dataclass(frozen=True)
class Outcome:
    photo: Photo
    texts: tuple[str, ...]
    sure: bool
    took_s: float

    @property
    def right(self) -> bool:
        return self.photo.text in self.texts

    @property
    def wrong(self) -> tuple[str, ...]:
        return tuple(text for text in self.texts if text != self.photo.text)


def alone(decode: Decode) -> Callable[[Photo], Answer]:
    """Return a reader that believes all that one decoder sees in the photo as it is."""
    return lambda photo: ([sight.text for sight in decode(open_photo(photo.data), frozenset(SYMBOLOGIES))], True)


def asked_for(photo: Photo) -> Answer:
    """Read the photo as the job's pages do: asked for a label or for a VIN, on the budget of a page."""
    reading = decode_photo(photo.data, LABEL if photo.kind == "label" else VIN)
    return [found.text for found in reading.found] if len(reading.found) == 1 else [], reading.sure


def whatever_it_is(photo: Photo) -> Answer:
    """Read the photo as `baybook decode` does."""
    return [found.text for found in decode_photo(photo.data, ANY).found], True


READERS: dict[str, Callable[[Photo], Answer]] = {
    "pyzbar_alone": alone(zbar),
    "zxing_cpp_alone": alone(zxing),
    "cascade": asked_for,
    "cascade_any": whatever_it_is,
}


def run(n: int = 300, seed: int = 2024) -> dict[str, Any]:
    """Return the figures of each reader on the same `n` photos."""
    outcomes: dict[str, list[Outcome]] = {name: [] for name in READERS}
    for photo in _photos(n, seed):
        for name, reader in READERS.items():
            started_s = perf_counter()
            texts, sure = reader(photo)
            outcomes[name].append(Outcome(photo, tuple(texts), sure, perf_counter() - started_s))
    figures = {name: _figures(of_reader) for name, of_reader in outcomes.items()}
    print(_table(figures), file=sys.stderr)
    return {"photos": n, "seed": seed, "settings": list(SETTINGS), "readers": figures}


def _photos(n: int, seed: int) -> Iterator[Photo]:
    share = n // len(SETTINGS)
    for setting in SETTINGS:
        yield from series(share if setting != SETTINGS[-1] else n - share * (len(SETTINGS) - 1), seed, setting)


def _figures(outcomes: list[Outcome]) -> dict[str, Any]:
    took_ms = [outcome.took_s * 1000 for outcome in outcomes]
    wrong = [outcome for outcome in outcomes if outcome.wrong]
    return {
        "read_percent": {grade: _read_percent([o for o in outcomes if o.photo.grade == grade]) for grade in GRADES},
        "misread_sure": sum(outcome.sure for outcome in wrong),
        "misread_to_be_compared": sum(not outcome.sure for outcome in wrong),
        "right_to_be_compared": sum(outcome.right and not outcome.sure for outcome in outcomes),
        "misreads": [[o.photo.name, o.photo.symbology, o.photo.text, *o.wrong] for o in wrong],
        "ms_median": round(median(took_ms), 1),
        "ms_p95": round(quantiles(took_ms, n=20)[-1], 1),
    }


def _read_percent(outcomes: list[Outcome]) -> float:
    return round(100 * sum(outcome.right for outcome in outcomes) / max(1, len(outcomes)), 1)


def _table(figures: dict[str, Any]) -> str:
    lines = [f"{'reader':<16} {'easy':>6} {'medium':>6} {'hard':>6}  misread  unsure  ms median / p95"]
    for name, of_reader in figures.items():
        read = of_reader["read_percent"]
        lines.append(
            f"{name:<16} {read['easy']:>6} {read['medium']:>6} {read['hard']:>6}  "
            f"{of_reader['misread_sure']:>7}  {of_reader['right_to_be_compared']:>6}  "
            f"{of_reader['ms_median']:>6} / {of_reader['ms_p95']}"
        )
    return "\n".join(lines)
