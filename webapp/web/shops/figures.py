"""From what was added up to the figures that the pages about all shops show, as a shop's own pages have them."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime

import numpy as np

from webapp.core.binned import WHOLE, Binned, Counts, shifted
from webapp.core.portions import Portion
from webapp.core.statistics import FEWEST, Summary, middle, summary
from webapp.storage.office.added import Sums
from webapp.storage.office.months import after
from webapp.web.times import wording
from webapp.web.times.figures import Bin, Effect, Group, Line, Section, bars, section, spans

Months = Sequence[tuple[date, Sums]]


def distribution(found: Sums) -> list[Bin]:
    """How many of the jobs that count took how long; none where there are too few."""
    if found.whole is None:
        return []
    edges = spans(found.whole.median)
    counts, _ = np.histogram(WHOLE.middles_s, [*edges, np.inf], weights=found.times)
    return bars(edges, counts)


def by_month(months: Months, *, sure: bool = True) -> list[Group]:
    """Medians of the months with enough jobs, the oldest first; none where there is but one."""
    groups = [
        Group(_ms(month), _ms(after(month)), found.counted, one)
        for month, found in months
        if found.counted and (one := middle(Binned(found.times), sure=sure))
    ]
    return groups if len(groups) > 1 else []


def _ms(day: date) -> int:
    return int(datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp() * 1000)


def month_rows(months: Months) -> list[tuple[str, int, str, str]]:
    """The trend as a table: the month, how many jobs count, their median and where that lies."""
    return [
        (
            wording.month_words(month),
            found.counted,
            wording.minutes(found.whole.median) if found.whole else "–",
            wording.interval_words(found.whole.median_interval) if found.whole else "–",
        )
        for month, found in months
    ]


@dataclass(frozen=True)
class Place:
    """A region or a shop beside the others: its key in the address, its name, and what its jobs came to."""

    key: str
    name: str
    sums: Sums


def side_by_side(found: Mapping[str, Sums], names: Mapping[str, str]) -> list[Place]:
    """In the order of their names, whatever their figures are."""
    made = [Place(key, names.get(key, key), sums) for key, sums in found.items()]
    return sorted(made, key=lambda one: (one.name.casefold(), one.key))


def widest_s(places: Iterable[Place]) -> float:
    """As far as the bars of all of them reach."""
    return max((one.sums.whole.p80 for one in places if one.sums.whole), default=0.0)


def own(found: Sums) -> Summary | None:
    return _summary(found.own)


def shared(found: Sums) -> Summary | None:
    return _summary(found.shared)


def _summary(counts: Counts) -> Summary | None:
    return summary(Binned(counts)) if int(counts.sum()) >= FEWEST else None


def of_revisions(found: Mapping[int, Sums]) -> Effect | None:
    """The newest revision of the procedure against the one before it; None where one has too few jobs."""
    told = sorted(revision for revision, sums in found.items() if revision and sums.counted)
    if len(told) < 2:
        return None
    return _effect("revision", (str(told[-2]), str(told[-1])), found[told[-2]].own, found[told[-1]].own)


def of_a_month(months: Months, begin: date) -> Effect | None:
    """The jobs before a month against those from it on; None where one side has too few."""

    def added(meant: Callable[[date], bool]) -> Counts:
        return sum((sums.own for month, sums in months if meant(month)), np.zeros(WHOLE.bins, np.int64))

    name = wording.month_words(begin)
    return _effect("day", (name, name), added(lambda month: month < begin), added(lambda month: month >= begin))


def _effect(what: str, names: tuple[str, str], before: Counts, after: Counts) -> Effect | None:
    compared, sides = shifted(before, after), (_summary(before), _summary(after))
    if compared is None or sides[0] is None or sides[1] is None:
        return None
    return Effect(what, *names, compared, (sides[0], sides[1]))


def portion(found: Iterable[Portion], kind: str) -> Section:
    """Where some of the time went, what took most of all first."""
    some = [one for one in found if one.kind == kind and one.n]
    return section(Line(one.name, one.n, one.found, one.seconds, again=one.again) for one in some)


def odd(found: Iterable[Portion]) -> list[Portion]:
    """Steps begun again, or at which a wrong label was scanned, the most often first."""
    return sorted((one for one in found if one.again or one.wrong), key=lambda one: -one.again - one.wrong)
