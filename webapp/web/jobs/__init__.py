"""Jobs: today's list, intake and plan (Jinja, online only), and the checklist (Mustache, the same on the phone)."""

from flask import Blueprint

pages = Blueprint("jobs", __name__, template_folder="templates")

from webapp.web.jobs import badge, checklist, dropping, intake, planning, records, today  # noqa: E402, F401 - the routes hang themselves on `pages`
