"""All finished jobs' times as columns in memory, from which a page's figures are worked out anew each time.

Chosen by measurement (tests/bench/times.py): with a hundred thousand jobs a filtered overview is worked out in a few
milliseconds and exactly, where the same question takes SQL a second or more, and no filter has to be foreseen.
"""

from webapp.storage.figures.asked import Asked
from webapp.storage.figures.columns import Figures
from webapp.storage.figures.found import Extra, Steps, Types, Whole
from webapp.storage.figures.held import figures

__all__ = ["Asked", "Extra", "Figures", "Steps", "Types", "Whole", "figures"]
