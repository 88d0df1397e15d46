"""Jobs: today's list, intake, plan and checklist, as on the phone (Mustache)."""

from flask import Blueprint

pages = Blueprint("jobs", __name__)

from webapp.web.jobs import badge, checklist, dropping, intake, planning, today  # noqa: E402, F401 - the routes hang themselves on `pages`
