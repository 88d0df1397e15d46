"""Records: what was recorded of a job that ended, on a page, on paper and as a file that proves itself."""

from flask import Blueprint

pages = Blueprint("records", __name__, template_folder="templates")

from webapp.web.records import amending, checking, files, making, page  # noqa: E402, F401 - the routes hang themselves on `pages`
