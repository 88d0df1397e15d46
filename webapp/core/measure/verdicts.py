"""What a set of readings can come to, and what each verdict does to the step."""

SETTLES_STEP = ("inside", "recorded")
ASKS_REPEAT = ("too-close-to-call", "does-not-fit", "read-again")
"""`read-again`: kept for the mean, since whoever measures wants another reading of the same thing before a verdict."""
WORST_FIRST = ("does-not-fit", "outside", "too-close-to-call", "inside", "recorded", "read-again")

RULE = {"name": "guard band w = U", "edition": "JCGM 106:2012, ISO 14253-1:2017", "coverage": 2}
"""The rule that decides, as every decision keeps it."""
