"""Who may vouch for what waits, and the page as they see it."""

from typing import Any

from ..kinds.common import Person
from ..kinds.countersign import may_countersign

View = dict[str, Any]


def for_witness(page: View, reader: Person | None) -> View:
    """The page with the ways to accept and to send back, for a supervisor whose work it is not."""
    vouch = (page.get("step") or {}).get("vouch")
    if vouch is None or not may_vouch(reader, vouch["doer"]):
        return page
    return page | {"step": page["step"] | {"vouch": vouch | {"mine": True}}}


def may_vouch(reader: Person | None, doer: str | None) -> bool:
    return reader is not None and may_countersign(reader) and doer is not None and reader.code != doer
