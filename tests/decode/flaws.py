"""What is wrong with a photo, in figures: three grades, and two ways of mixing the flaws."""

import random
from dataclasses import dataclass, replace

GRADES = ("easy", "medium", "hard")
SETTINGS = ("mixed", "single")


@dataclass(frozen=True)
class Flaws:
    """One photo's flaws. Blur, motion and noise are measured in the final photo."""

    module_px: float  # pixels of the photo to one module of the code
    turn_deg: float  # within the picture's plane
    tilt_deg: float  # away from the camera, about the label's horizontal axis
    pan_deg: float  # away from the camera, about the label's vertical axis
    defocus_px: float  # standard deviation of a Gaussian
    motion_px: float  # length of the streak
    light: float  # brightness of white paper, 1 = full scale
    shade: float  # how much darker the dark side is, 0 to 1
    glare: float  # brightness that a reflection adds at its middle, 1 = full scale
    noise: float  # standard deviation, grey levels of 255
    cover: float  # part of the code's width that a thumb or dirt covers
    jpeg_quality: int

    def closer(self, times: float) -> "Flaws":
        """Return the same flaws seen from closer by: the code, its blur and its streak all grow."""
        return replace(
            self,
            module_px=self.module_px * times,
            defocus_px=self.defocus_px * times,
            motion_px=self.motion_px * times,
        )


# Each flaw: its range in easy, medium and hard photos. Blur and motion are in modules here, so that a larger
# code is blurred as badly as a small one.
_RANGES: dict[str, tuple[tuple[float, float], tuple[float, float], tuple[float, float]]] = {
    "module_px": ((3.5, 8.0), (2.4, 6.0), (1.8, 5.0)),
    "turn_deg": ((0, 8), (0, 20), (0, 45)),
    "tilt_deg": ((0, 15), (0, 30), (0, 45)),
    "pan_deg": ((0, 15), (0, 30), (0, 45)),
    "defocus": ((0.0, 0.22), (0.05, 0.4), (0.1, 0.6)),
    "motion": ((0.0, 0.3), (0.0, 0.6), (0.0, 1.0)),
    "light": ((0.6, 1.0), (0.35, 0.95), (0.15, 0.7)),
    "shade": ((0.0, 0.3), (0.0, 0.5), (0.0, 0.7)),
    "glare": ((0.0, 0.0), (0.0, 0.5), (0.0, 1.0)),
    "noise": ((1, 4), (2, 8), (3, 12)),
    "cover": ((0, 0), (0, 0.01), (0, 0.04)),
    "jpeg_quality": ((80, 95), (50, 90), (25, 80)),
}
_WORSE_WHEN_LOW = ("module_px", "light", "jpeg_quality")


def flaws_of(grade: str, setting: str, chance: random.Random) -> Flaws:
    """Draw a photo's flaws. `mixed`: all over their whole range; `single`: one or two at their worst, the rest mild."""
    badness = {name: chance.random() for name in _RANGES}
    if setting == "single":
        badness = {name: value * 0.45 for name, value in badness.items()}
        for name in chance.sample(list(_RANGES), 2):
            badness[name] = 0.75 + 0.25 * chance.random()
    value = {name: _at(name, grade, badness[name]) for name in _RANGES}
    module_px = value["module_px"]
    return Flaws(
        module_px=module_px,
        turn_deg=value["turn_deg"] * chance.choice((-1, 1)) + chance.choice((0, 0, 0, 90, 180, 270)),
        tilt_deg=value["tilt_deg"] * chance.choice((-1, 1)),
        pan_deg=value["pan_deg"] * chance.choice((-1, 1)),
        defocus_px=value["defocus"] * module_px,
        motion_px=value["motion"] * module_px,
        light=value["light"],
        shade=value["shade"],
        glare=value["glare"],
        noise=value["noise"],
        cover=value["cover"],
        jpeg_quality=round(value["jpeg_quality"]),
    )


def _at(name: str, grade: str, badness: float) -> float:
    low, high = _RANGES[name][GRADES.index(grade)]
    part = 1 - badness if name in _WORSE_WHEN_LOW else badness
    return low + (high - low) * part
