"""Make-believe work for the demo shop: people who go through a sheet as a person would, mishaps included.

Every tap is decided by `webapp.core.act`, as on a page; only hands, eyes and the scan tool are made up here.
"""

from .cards import Cards
from .mishaps import Mishaps, mishaps_of
from .retold import Pattern, Telling, pattern, retell
from .technician import Cast, Technician
from .visits import Visit, about, visits

__all__ = [
    "Cards",
    "Cast",
    "Mishaps",
    "Pattern",
    "Technician",
    "Telling",
    "Visit",
    "about",
    "mishaps_of",
    "pattern",
    "retell",
    "visits",
]
