"""A countersign from phone to phone, without the shop: what the one asks, what the other answers, each a code's text.

The ask names the event that it is for, the step, and by `stands` what was done there (core.standing); the answer names
the ask's text by its digest and is signed with the key of the phone that gives it. Both texts go into the event as they
were read, so that nobody spells them anew. So an answer counts for one event, at one step as it stood, and for nothing
else.
Digests are SHA-256 in base64url without padding; texts are ASCII, since readers guess at any other letters.
"""

import base64
import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import astuple, dataclass
from typing import Any

from .errors import BadInput, NotAllowed, shown
from .events import Event

ASK, ANSWER = "baybook-ask-1", "baybook-answer-1"
KIND_OF = {"accepted": "countersigned", "returned": "returned"}
LONGEST_ASK = 425
"""What the 13th version of a code holds: 69 modules a side, which a phone reads off another's screen at once."""
LONGEST_REASON = 160
LONGEST_READ = 4_000
CUT = "..."

_code: Callable[[Any], str] = json.JSONEncoder(ensure_ascii=True, separators=(",", ":")).encode


@dataclass(frozen=True)
class Ask:
    """`event` is the id of the event to come; `stands` the digest of `standing`; `doer` the badge of whose work it is.

    The rest is for whoever reads it on a phone that does not hold the job: the order, the vehicle, the step's sentence
    in English, and what was answered and read there, in words.
    """

    event: str
    job: str
    step: str
    stands: str
    doer: str
    order: str
    vehicle: str
    do: str
    told: tuple[str, ...] = ()


@dataclass(frozen=True)
class Answer:
    """`ask` is the digest of the asked text, `verdict` accepted or returned, `sign_in` how `by` began the phone."""

    ask: str
    by: str
    verdict: str
    reason: str
    at: str
    device: str
    sign_in: str


def digest(text: str) -> str:
    return base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest()).rstrip(b"=").decode()


def ask_text(ask: Ask) -> str:
    """The text for the code. What does not fit is cut off, the last that was told first, and `CUT` says so."""
    parts, told, letters = astuple(ask)[:-2], list(ask.told), ask.do
    while True:
        do = letters + (CUT if len(letters) < len(ask.do) else "")
        kept = [*told, CUT] if len(told) < len(ask.told) else told
        text = _code([ASK, *parts, do, kept])
        if len(text) <= LONGEST_ASK or not (told or letters):
            return text
        if told:
            told.pop()
        else:
            letters = letters[:-1]


def read_ask(text: object, field: str = "asked") -> Ask:
    """Raises BadInput (`ask-unreadable`)."""
    parts = _parts(text, ASK, 10)
    if parts is None or not isinstance(parts[-1], list) or not all(isinstance(one, str) for one in parts[-1]):
        message = f"{field} is not the code of a step that waits; scan it from your colleague's phone again"
        raise BadInput("ask-unreadable", field, message)
    _tag, event, job, step, stands, doer, order, vehicle, do, told = parts
    return Ask(event, job, step, stands, doer, order, vehicle, do, tuple(told))


def answer_said(answer: Answer) -> str:
    """What is signed. Raises BadInput (`reason-too-long`) for a reason that makes the code too large to be read."""
    if (over := len(_code(answer.reason)) - 2 - LONGEST_REASON) > 0:
        message = f"reason is too long for the code by {over}; say it shorter"
        raise BadInput("reason-too-long", "reason", message)
    return _code([ANSWER, *astuple(answer)])


def read_answer(text: object, field: str = "answer") -> tuple[Answer, str, str]:
    """The answer, what of it was signed, and the signature in base64url. Raises BadInput (`answer-unreadable`)."""
    said, _, signature = text.rpartition(" ") if isinstance(text, str) else ("", "", "")
    parts = _parts(said, ANSWER, 8)
    if parts is None or not isinstance(parts[-1], str) or parts[3] not in KIND_OF or not signature:
        message = f"{field} is not a supervisor's answer; scan the code that their phone shows now"
        raise BadInput("answer-unreadable", field, message)
    return Answer(*parts[1:]), said, signature


def _parts(text: object, tag: str, count: int) -> list[Any] | None:
    """The parts of such a code, all but the last of them texts."""
    if not isinstance(text, str) or len(text) > LONGEST_READ or not text.startswith(f'["{tag}",'):
        return None
    try:
        parts = json.loads(text)
    except (ValueError, RecursionError):
        return None
    sound = isinstance(parts, list) and len(parts) == count and all(isinstance(one, str) for one in parts[:-1])
    return parts if sound else None


def key_for(answer: Answer, asked: str, device: str, phones: Mapping[str, Any]) -> dict[str, Any]:
    """The key that must have signed the answer: {"name", "x", "y"} of `phones`, by the names of the shop's phones.

    `asked` is the digest of what was asked on the phone `device`. Raises NotAllowed: `answer-other`, `answer-own-phone`
    or `answer-phone-unknown`.
    """
    if answer.ask != asked:
        message = "answer is to another code than the one asked here; have this one scanned and answered"
        raise NotAllowed("answer-other", "answer", message)
    if answer.device == device:
        message = "answer comes from the phone that asked; the supervisor answers on a phone of their own"
        raise NotAllowed("answer-own-phone", "answer", message)
    if answer.device not in phones:
        message = f"answer comes from {shown(answer.device)}, no phone of this shop as known here; use badge and PIN"
        raise NotAllowed("answer-phone-unknown", "answer", message)
    return dict(phones[answer.device])


def unlike(ask: Ask, answer: Answer, event: Event) -> str | None:
    """Why these cannot be the ask and the answer of that event."""
    if (ask.event, ask.job, ask.step) != (event.id, event.job, event.step):
        return "the answer was given for another step"
    told = answer.by, KIND_OF[answer.verdict], answer.reason
    if told != (event.data.get("by"), event.kind, event.data.get("reason", "")):
        return "the supervisor's phone said something else"
    return None
