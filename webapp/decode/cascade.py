"""The order in which a photo is looked at: cheap looks that read most photos first, costly ones for the rest."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from PIL import Image

from .copies import levelled_then_doubled, reduced, softened, turned
from .decoders import Decode, Sight, Symbology, zbar, zxing
from .patches import Patch, cut, patches


@dataclass(frozen=True)
class Scene:
    """An upright grey photo, and the patches of it that may hold a code (searched for once, when first needed)."""

    picture: Image.Image

    @cached_property
    def patches(self) -> tuple[Patch, ...]:
        return patches(self.picture)


View = Callable[[Scene], Iterable[Image.Image]]
"""A way to prepare the photo for the decoders: one picture or several parts of it."""


def whole(side_px: int | None = None, turn_deg: int = 0) -> View:
    """The whole photo, reduced to a longest side, turned."""
    return lambda scene: [turned(reduced(scene.picture, side_px), turn_deg)]


def close_up(zoom: float, cleared: Callable[[Image.Image], Image.Image] | None = None) -> View:
    """Every patch, enlarged, and cleared up if a way is given."""

    def view(scene: Scene) -> list[Image.Image]:
        cuts = [cut(scene.picture, patch, zoom) for patch in scene.patches]
        return cuts if cleared is None else [cleared(one) for one in cuts]

    return view


CASCADE: tuple[tuple[View, tuple[Decode, ...]], ...] = (
    (whole(1600), (zxing, zbar)),
    (close_up(1), (zxing, zbar)),
    (close_up(2), (zxing,)),
    (close_up(2, softened), (zxing, zbar)),
    (close_up(1, levelled_then_doubled), (zxing,)),
    (whole(), (zxing,)),
    *((whole(1600, turn_deg), (zbar, zxing)) for turn_deg in (75, 15, 45, 60, 30)),
    (whole(), (zbar,)),
)
"""Each view and who looks at it. Close-ups read most of what the whole photo does not give; turned copies are for long
linear codes in a photo too busy for a patch to stand out: these are readable only within 9 degrees or so.
"""


def looks(picture: Image.Image, wanted: frozenset[Symbology]) -> Iterator[list[Sight]]:
    """Look at an upright grey picture in the cascade's order; each look is taken only when asked for."""
    scene = Scene(picture)
    for view, decoders in CASCADE:
        pictures = list(view(scene))
        for decode in decoders:
            yield [sight for one in pictures for sight in decode(one, wanted)]
