"""What a paired phone answers itself: what lies on it, and a colleague's code. Asked here, this browser is none."""

from flask import Response

from webapp.messages import say
from webapp.web.jobs.page import page
from webapp.web.pwa import pages


@pages.get("/phone/kept")
def show_kept() -> Response:
    return page("kept-title", {"unpaired": {"title": say("kept-title"), "lead": say("kept-unpaired")}})


@pages.get("/phone/vouch")
def show_vouch() -> Response:
    return page("vouch-title", {"unpaired": {"title": say("vouch-title"), "lead": say("vouch-unpaired")}})
