"""The table of what the library holds: of each procedure its steps, what proves them, and the time it usually takes."""

from collections.abc import Iterator

from webapp.core.measure.judged import AXIS_POINTS
from webapp.core.measure.square import TAPE_NAMES
from webapp.core.plan import expected_s, usual_answers
from webapp.core.procedure import Library, Procedure

BEGIN, END = "<!-- table -->", "<!-- end of table -->"
HEAD = ("Procedure", "Sort", "Steps", "Scans", "Readings", "Hold points", "Cautions", "Usual time, min")
SORTS = ("day", "set-up", "calibration", "closing")


def table(library: Library) -> str:
    """Return the table as Markdown: every step of every way counts; the time is that of the usual answers."""
    known = usual_answers(library.procedures.values())
    ordered = sorted(library.procedures.values(), key=lambda one: (SORTS.index(one.sort), one.procedure))
    rows = [_row(one, known) for one in ordered]
    total = ["All", "", *(str(sum(int(row[at]) for row in rows)) for at in range(2, len(HEAD)))]
    numbers = ["---", "---", *["---:"] * (len(HEAD) - 2)]
    return "\n".join(f"| {' | '.join(cells)} |" for cells in (HEAD, numbers, *rows, total))


def put_in(text: str, made: str) -> str:
    """Return the document with this table between its two marks."""
    before, _, rest = text.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n{made}\n{END}{after}"


def _row(one: Procedure, known: dict[str, str]) -> list[str]:
    steps = one.steps
    counts = (
        len(steps),
        sum(step.kind == "scan" for step in steps),
        sum(_readings(one)),
        sum(step.hold != "none" or step.kind == "countersign" for step in steps),
        sum(len(step.caution) for step in steps),
        round(expected_s(one, known) / 60),
    )
    return [f"{one.title} (`{one.procedure}`)", one.sort, *map(str, counts)]


def _readings(one: Procedure) -> Iterator[int]:
    """How many readings each of its steps asks for."""
    fixed = {"square": len(TAPE_NAMES), "axis": 2 * len(AXIS_POINTS) + len(("toe left", "toe right"))}
    for measure in (step.measure for step in one.steps if step.measure):
        yield len(measure.readings) or len(measure.points) or fixed.get(measure.method, 0)
