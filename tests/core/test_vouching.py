"""What two phones ask and answer by code; tests/cases/vouching.json, which the phone's rules are asked as well."""

from dataclasses import asdict, replace
from typing import Any

import pytest

from tests.core.cases import cases, check
from tests.sheets import APPRENTICE, SUPERVISOR, Hands, every_kind
from webapp.core.act import act
from webapp.core.events import Event
from webapp.core.standing import need_asked, standing
from webapp.core.vouching import (
    LONGEST_ASK,
    Answer,
    Ask,
    answer_said,
    ask_text,
    digest,
    key_for,
    read_answer,
    read_ask,
    unlike,
)

ANSWER = Answer("D" * 43, SUPERVISOR.code, "accepted", "", "2026-03-02T08:00:00.000Z", "phone-2", "began")


def held() -> Hands:
    """An apprentice at a hold point."""
    sheet = every_kind()
    sheet["steps"][0] |= {"hold": "everyone"}
    hands = Hands(sheet, APPRENTICE)
    hands.tap("confirm")
    return hands


def asked(hands: Hands) -> Ask:
    """What that hold point's phone would ask."""
    step = hands.state.current or ""
    stands = digest(standing(hands.sheet, hands.state, step))
    return Ask("event-9", "job-1", step, stands, APPRENTICE.code, "RO 1", "Orvane Wagon", "Do chock.")


def rule(given: dict[str, Any]) -> Any:
    """What a case asks."""
    do = given["do"]
    if do == "write-ask":
        return ask_text(Ask(**given["ask"] | {"told": tuple(given["ask"]["told"])}))
    if do == "read-ask":
        return asdict(read_ask(given["text"])) | {"told": list(read_ask(given["text"]).told)}
    if do == "write-answer":
        return answer_said(Answer(**given["answer"]))
    if do == "read-answer":
        answer, said, signature = read_answer(given["text"])
        return [asdict(answer), said, signature]
    if do == "key":
        return key_for(Answer(**given["answer"]), given["asked"], given["device"], given["phones"])
    hands = held()
    need_asked(replace(asked(hands), **given["ask"]), hands.sheet, hands.state, asked(hands).stands)
    return None


@pytest.mark.parametrize("case", cases("vouching"))
def test_asks_and_answers(case: dict[str, Any]) -> None:
    check(case, rule)


def test_what_is_written_is_read_again_and_no_longer_than_a_code_that_is_easily_read() -> None:
    ask = replace(asked(held()), told=("left 612 mm", "señal"))
    assert read_ask(ask_text(ask)) == ask
    long = replace(ask, told=tuple(f"reading {number} 1234.5 mm" for number in range(40)))
    assert len(ask_text(long)) <= LONGEST_ASK
    assert read_ask(ask_text(long)).told[-1] == "..."
    assert read_answer(f"{answer_said(ANSWER)} {'A' * 86}") == (ANSWER, answer_said(ANSWER), "A" * 86)


def test_what_stands_changes_with_whatever_is_done_at_the_step_and_with_the_step_before_a_countersign_step() -> None:
    hands = held()
    before = asked(hands)
    undo = {"do": "undo", "step": "work/chock", "attempt": "1", "reason": "Loose."}
    hands.keep(act(hands.sheet, hands.state, undo, hands.moment()))
    hands.tap("confirm")
    assert asked(hands).stands != before.stands
    signing = Hands(person=APPRENTICE)
    signing.to("sign")
    first = standing(signing.sheet, signing.state, "work/sign")
    assert "work/run" in first
    assert APPRENTICE.code in first
    other = Hands(person=APPRENTICE)
    other.to("run")
    other.tap("result", outcome="not-run", reason="The tool is out.")
    assert standing(other.sheet, other.state, "work/sign") != first


EVENT = Event(
    "event-9", "job-1", "phone-1", 3, "countersigned", "work/chock", 1, 1, "2026-03-02T08:00:10.000Z", 1.0, "b",
    APPRENTICE.code, {"by": SUPERVISOR.code},
)  # fmt: skip
RETURNED = {"kind": "returned", "data": {"by": SUPERVISOR.code, "reason": "Loose.", "steps": ["work/chock"]}}


@pytest.mark.parametrize(
    ("of_event", "of_answer", "why"),
    [
        ({}, {}, None),
        (RETURNED, {"verdict": "returned", "reason": "Loose."}, None),
        ({"id": "event-10"}, {}, "for another step"),
        ({"job": "job-2"}, {}, "for another step"),
        ({"step": "work/tyre"}, {}, "for another step"),
        ({"data": {"by": "AAA111"}}, {}, "said something else"),
        ({}, {"verdict": "returned", "reason": "Loose."}, "said something else"),
        (RETURNED, {"verdict": "returned", "reason": "Fine."}, "said something else"),
    ],
)
def test_an_answer_is_for_one_event_and_says_what_that_says(
    of_event: dict[str, Any], of_answer: dict[str, Any], why: str | None
) -> None:
    found = unlike(asked(held()), replace(ANSWER, **of_answer), replace(EVENT, **of_event))
    assert found is None if why is None else why in (found or "")
