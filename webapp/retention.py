"""What is kept no longer than the shop has set: every night the vehicles and photos of old jobs are erased."""

from datetime import UTC, datetime, timedelta

from webapp.config import Settings
from webapp.storage import privacy
from webapp.storage.engine import writing
from webapp.storage.migrate import opened

BY = "retention"


def retain(settings: Settings, now: datetime) -> str:
    """Erase what is due, and return what was done, in a sentence."""
    said, left, count = instant(now), [], 0
    days = {privacy.VEHICLE: settings.keep_vehicle_days, privacy.PHOTOS: settings.keep_photos_days}
    with opened(settings.database_url) as made:
        with writing(made) as db:
            for what, kept in days.items():
                if not kept:
                    continue
                due = privacy.ended_before(db, instant(now - timedelta(days=kept)), what)
                settled = [job for job in due if privacy.is_settled(db, job)]
                left += privacy.erase(db, settled, [what], BY, f"kept for {kept} days", said)
                count += len(settled)
        if count:
            privacy.forget_files(settings.data, settings.photos, left)
            privacy.press(made)
    return f"Personal data of {count} jobs was erased, since it was kept for as long as this shop keeps it."


def instant(at: datetime) -> str:
    return at.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
