"""What lies on this phone: a paired phone answers that itself. Asked here, the browser keeps nothing."""

from flask import Response

from webapp.web.jobs.page import page
from webapp.web.pwa import pages


@pages.get("/phone/kept")
def show_kept() -> Response:
    return page("kept-title", {"unpaired": True})
