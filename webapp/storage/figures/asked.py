"""Which finished jobs a question is about."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Asked:
    """Which finished jobs are meant; None asks for all. Instants as in the journal: `since` is in, `until` is out."""

    since: str | None = None
    until: str | None = None
    vehicle: str | None = None
    bay: str | None = None
    person: str | None = None
    placing: str | None = None
    revision: int | None = None
