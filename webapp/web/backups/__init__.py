"""How old the newest copy of the shop is that was tried out, and what was in it."""

from datetime import UTC, datetime

from flask import Blueprint, render_template

from webapp.storage import copied
from webapp.web import db, moment
from webapp.web.rights import need_supervisor
from webapp.web.who import current_person

pages = Blueprint("backups", __name__, url_prefix="/backups", template_folder="templates")

OLD_DAYS = 7
"""Older than this, a copy is told to be old: what phones still hold does not go back further."""


@pages.get("")
def show() -> str:
    need_supervisor()
    with db.session() as held:
        newest = copied.newest(held)
    days = (datetime.now(UTC) - datetime.fromisoformat(newest["at"])).days if newest else None
    shop = db.settings()
    return render_template(
        "backups/newest.html",
        newest=newest,
        at=f"{moment.local(newest['at']):%Y-%m-%d %H:%M}" if newest else "",
        days=days,
        old=days is None or days >= OLD_DAYS,
        to=shop.backup_to,
        daily=shop.backup_at,
        key=shop.backup_key,
        manager=(person := current_person()) is not None and person.role == "manager",
    )
