"""A manager's routes: deciding about what was kept aside, and bringing in a journal that a phone saved to a file.

A page's form says with `to` where it goes on: what came of it, or why it was refused, is then told on that page.
"""

from collections import Counter
from collections.abc import Callable
from functools import wraps
from typing import Any

from flask import flash, jsonify, redirect, request, session
from sqlmodel import Session
from werkzeug.exceptions import RequestEntityTooLarge
from werkzeug.wrappers import Response

from webapp.core import errors
from webapp.messages import say
from webapp.storage import asides, people
from webapp.storage import engine as storage
from webapp.sync.bring import LARGEST_FILE, Imported, bring_in, import_journal, leave_out, read_journal, to_bring
from webapp.sync.intake import Taken
from webapp.sync.replies import engine
from webapp.sync.routes import exchange, library, said_of, shop_now

LONGEST_WHY = 200
LONGEST_TYPED = 400
"""Of a reason that was refused, so much is sent back to be mended: it travels in the browser's cookie."""
LARGEST_REFUSED = 4 * LARGEST_FILE
"""A file that is too large is read all the same: else the browser would tell of a broken connection, and not why."""
MOST_TOLD = 5


def _told_on_page(route: Callable[..., Response]) -> Callable[..., Response]:
    """Send a page's form back with the refusal, and with the reason that was typed."""

    @wraps(route)
    def answered(*given: Any, **named: Any) -> Response:
        try:
            return route(*given, **named)
        except errors.BaybookError as error:
            if not (to := _onwards()):
                raise
            number = named.get("number")
            flash(error.message, f"refused {number}" if number else "refused")
            if number:
                flash(request.form.get("reason", "")[:LONGEST_TYPED], f"reason {number}")
                flash(request.form.get("all", ""), f"all {number}")
            return redirect(to, 303)

    return answered


def _onwards() -> str | None:
    """The page of this shop to go on to."""
    to = request.args.get("to") or request.form.get("to", "")
    return to if to.startswith("/") and not to.startswith(("//", "/\\")) else None


def _manager(db: Session) -> str:
    """The badge scanned in this browser. Raises NotAllowed (`needs-manager`) unless it is a manager's."""
    person = people.at_work(db, session.get("person") or "", session.get("device"))
    if person is None or person.role != "manager":
        what = "Only a manager decides this: scan a manager's badge in this browser first"
        raise errors.NotAllowed("needs-manager", "badge", what)
    return person.code


@exchange.post("/asides/<int:number>")
@_told_on_page
def decide_aside(number: int) -> Response:
    """A manager's decision about what was kept aside: do=bring-in or do=leave-out, with the reason; with all=yes about
    everything of that phone that waits for the same reason.
    """
    do = request.form.get("do", "")
    if do not in ("bring-in", "leave-out"):
        raise errors.BadInput("do-unknown", "do", f"do={errors.shown(do)} must be bring-in or leave-out")
    with storage.session(engine()) as db:
        by, why = _manager(db), _reason()
        numbers = asides.alike(db, number) if request.form.get("all") else [number]
    if len(numbers) > 1:
        return _decide_all(numbers, do, by, why)
    taken = _decide(number, do, by, why)
    said = {"aside": number, "decision": do, **(said_of(taken) if taken else {})}
    return _answer(said, say("arrivals-did-bring-in") if taken else say("arrivals-did-leave-out"))


def _decide(number: int, do: str, by: str, why: str) -> Taken | None:
    with storage.session(engine()) as db:
        comes = to_bring(db, number, by) if do == "bring-in" else None
        shop, known = shop_now(db, comes, by, why), library(db)
    with storage.writing(engine()) as db:
        if comes:
            return bring_in(db, number, shop, known)
        leave_out(db, number, shop)
    return None


def _decide_all(numbers: list[int], do: str, by: str, why: str) -> Response:
    """One after the other, since each stands on those before it; what cannot come in stays aside."""
    left: dict[int, errors.BaybookError] = {}
    for number in numbers:
        try:
            if taken := _decide(number, do, by, why):
                said_of(taken)
        except errors.BaybookError as error:
            left[number] = error
    said = {"asides": numbers, "decision": do, "left": [{"aside": one, **why.as_dict()} for one, why in left.items()]}
    told = [why.message for why in list(left.values())[:MOST_TOLD]]
    return _answer(said, say("arrivals-did-all", count=len(numbers) - len(left), left=len(left)), *told)


def _reason() -> str:
    why = " ".join(request.form.get("reason", "").split())
    if not 1 <= len(why) <= LONGEST_WHY:
        raise errors.BadInput("reason", "reason", f"reason has {len(why)} characters; say in 1 to {LONGEST_WHY} why")
    return why


@exchange.post("/imports")
@_told_on_page
def take_import() -> Response:
    """A journal that a phone saved to a file, as the form's file `journal`, brought in by a manager."""
    text = _file()
    with storage.session(engine()) as db:
        by = _manager(db)
        journal = read_journal(text, by)
        shop, known = shop_now(db, journal.batch, by), library(db)
    with storage.writing(engine()) as db:
        found = import_journal(db, journal, shop, known)
    unread = [{"line": number, **error.as_dict()} for number, error in found.unread]
    said = {"batches": [said_of(one) for one in found.taken], "photos": found.photos, "unread": unread}
    return _answer(said, *_told(found))


def _file() -> str:
    try:
        upload = request.files.get("journal")
        data = upload.read() if upload else b""
        size = len(data)
    except RequestEntityTooLarge:
        upload, data, size = None, b"", request.content_length or 0
    if size > LARGEST_FILE:
        what = f"journal has {size} bytes; at most {LARGEST_FILE} are read: have the phone send its photos first"
        raise errors.BadInput("file-too-large", "journal", what)
    if upload is None or not upload.filename:
        raise errors.BadInput("file-missing", "journal", "journal is empty; choose the file that the phone saved")
    return data.decode("utf-8", "replace")


def _told(found: Imported) -> list[str]:
    """What came of a file, in sentences; of its unreadable lines the first few."""
    counts = Counter(answer.status for taken in found.taken for answer in taken.answers)
    names = ("kept", "known", "aside", "refused")
    sentences = [say("arrivals-imported", **{name: counts[name] for name in names}, photos=len(found.photos))]
    refused = [job.why.message for taken in found.taken for job in taken.jobs if job.why]
    return sentences + refused[:MOST_TOLD] + [error.message for _number, error in found.unread[:MOST_TOLD]]


def _answer(said: dict[str, Any], *sentences: str) -> Response:
    if not (to := _onwards()):
        return jsonify(said)
    for sentence in sentences:
        flash(sentence, "done")
    return redirect(to, 303)
