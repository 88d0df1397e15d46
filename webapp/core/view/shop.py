"""The pages around the jobs: what each has about it, and the few that say little more than one thing."""

from typing import Any

from ..sheet import Say
from ..vin import groups

View = dict[str, Any]
PAGES = (
    ("/", "nav-today"),
    ("/times", "nav-times"),
    ("/kit", "nav-kit"),
    ("/people", "nav-people"),
    ("/phones", "nav-phones"),
)
OFFICE_PAGES = (("/shops", "nav-shops"), ("/people", "nav-people"), ("/backups", "backups-title"))
"""Those of a head office, which has no jobs of its own."""


def shop_page(path: str, title: str, person: str | None, content: View, say: Say) -> View:
    """A page with its head: who works with this phone, and the ways to the other pages."""
    pages = [{"path": one, "word": say(word), "here": one == path} for one, word in PAGES]
    return {"path": path, "title": title, "who": person or say("nav-no-badge"), "pages": pages, **content}


def badge_view(
    person: str | None, role: str | None, say: Say, error: str | None = None, text: str = "", to: str = ""
) -> View:
    """Who is working? `person` and `role` are those of whoever has the phone now; `to` is where they go on to."""
    now = say("badge-now", name=person, role=say(f"role-{role}")) if person else None
    return {"badge": {"now": now, "error": error, "text": text, "to": to}}


def pin_view(name: str, badge: str, say: Say, error: str | None = None, to: str = "") -> View:
    """The PIN of whoever's `badge` was scanned, by its text; or, without one, of whoever had the phone when it was
    locked.
    """
    title, button = (say("pin-asks"), say("pin-button")) if badge else (say("pin-locked"), say("badge-button"))
    return {"pin": {"title": title, "button": button, "name": name, "badge": badge, "error": error, "to": to}}


def drop_view(facts: View, say: Say, error: View | None = None, reason: str = "") -> View:
    """Why a planned job is dropped; of one that was (`facts["plan"]["dropped"]`), why it was."""
    dropped = facts["plan"].get("dropped")
    return {
        "drop": {
            "url": f"/jobs/{facts['id']}",
            "heading": say("job-is-abandoned") if dropped else say("drop-title"),
            "order": facts["repair_order"] or say("today-no-order"),
            "vin": " ".join(groups(facts["vin"])),
            "dropped": dropped,
            "error": error["message"] if error else None,
            "wrong": bool(error and error["field"] == "reason"),
            "reason": reason,
        }
    }


def again_view(url: str, fields: list[tuple[str, str]], files: list[str], say: Say) -> View:
    """A form that was not taken, to be looked at and sent again with all that it says but a PIN and a file."""
    asked = list(dict.fromkeys(name for name, _value in fields if _is_secret(name)))
    kept = [{"name": name, "value": value} for name, value in fields if not _is_secret(name)]
    return {
        "again": {
            "url": url,
            "kept": kept,
            "shown": [one for one in kept if one["value"].strip()],
            "secrets": [{"name": name, "label": say("again-pin")} for name in asked],
            "files": [{"name": name, "label": say("again-file")} for name in files],
        }
    }


def _is_secret(name: str) -> bool:
    return name.endswith("pin")


def refused_view(heading: str, message: str) -> View:
    return {"refused": {"heading": heading, "message": message}}
