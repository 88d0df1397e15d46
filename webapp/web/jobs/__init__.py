"""Jobs: today's list, intake, plan and checklist (Mustache, as on the phone), and the record (Jinja, online only)."""

from flask import Blueprint

pages = Blueprint("jobs", __name__, template_folder="templates")

from webapp.web.jobs import badge, checklist, dropping, intake, planning, records, today  # noqa: E402, F401 - the routes hang themselves on `pages`
