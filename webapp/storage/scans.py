"""What was scanned, and where somebody waited for equipment, in the jobs that were finished between two instants."""

import json
from collections.abc import Iterator

from sqlalchemy import select
from sqlmodel import Session

from webapp.core.handling import Told
from webapp.storage.tables import EventRow, Job

_job, _event = Job.__table__, EventRow.__table__  # type: ignore[attr-defined]
KINDS = ("scanned", "paused", "resumed")
AT_ONCE = 5000


def told_between(db: Session, since: str | None, until: str | None) -> Iterator[Told]:
    """The events of these kinds, job by job, each job's in order; fetched as they are taken."""
    meant = [_job.c.phase == "finished"]
    if since:
        meant.append(_job.c.finished_at >= since)
    if until:
        meant.append(_job.c.finished_at < until)
    query = (
        select(*(_event.c[name] for name in ("job", "kind", "step", "mono_s", "boot", "data")))
        .where(_event.c.kind.in_(KINDS), _event.c.job.in_(select(_job.c.id).where(*meant)))
        .order_by(_event.c.job, _event.c.server_seq)
    )
    with db.connection().execute(query, execution_options={"yield_per": AT_ONCE}) as found:
        for job, kind, step, mono_s, boot, data in found:
            yield Told(job, kind, step, mono_s, boot, json.loads(data))
