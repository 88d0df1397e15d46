"""A countersign that another phone gave by code: its signature and who had begun it are checked when it comes home."""

from dataclasses import dataclass, field, replace
from typing import Any

import pytest

from tests.cast import ADA, ILYA, NOOR, Someone
from tests.sheets import every_kind
from tests.sync.conftest import Exchange
from tests.sync.phone import Phone
from tests.sync.test_decisions import told
from tests.sync.test_pins import seal
from tests.sync.test_sign_ins import AT, beside
from tests.sync.test_sign_ins import told as told_shop
from webapp.core.act import Draft
from webapp.core.events import new_id
from webapp.core.standing import standing
from webapp.core.vouched import unproven
from webapp.core.vouching import Answer, Ask, answer_said, ask_text, digest
from webapp.storage.devices import keys, revoke
from webapp.storage.differences import differences_of
from webapp.storage.engine import session, writing
from webapp.storage.keys import encoded, sign

STEP, EVENT, BEGAN = "work/chock", new_id(77), new_id(1)


@dataclass
class Codes:
    """An apprentice's phone at a hold point, and a supervisor's own; either can be told something else."""

    at: Exchange
    job: str = ""
    asks: Phone = field(default_factory=Phone)
    answers: Phone = field(default_factory=Phone)

    def __post_init__(self) -> None:
        sheet = every_kind()
        sheet["steps"][0] = sheet["steps"][0] | {"hold": "apprentice"}
        self.job = self.at.job(sheet)
        self.asks = self.at.phone(self.job, person=ILYA)
        self.answers = self.at.phone(person=ADA, name="Ada's phone")
        assert self.asks.tap(self.job, do="confirm")

    def begin(self, someone: Someone = ADA, pin: str = "", **more: Any) -> None:
        """Somebody begins the supervisor's phone, and the shop hears of it."""
        sealed = seal(self.at, self.answers, pin or someone.pin, BEGAN)
        one = {"id": BEGAN, "person": someone.badge, "at": AT, "seq": 1, "seal": sealed, **more}
        assert told_shop(self.at, self.answers, one)["answers"][0]["right"] is (not pin)

    def ask(self, **told: Any) -> str:
        stands = digest(standing(self.asks.jobs[self.job].sheet, self.asks.state(self.job), STEP))
        ask = Ask(EVENT, self.job, STEP, stands, ILYA.badge, "RO 1", "Orvane Wagon", "Do chock.")
        return ask_text(replace(ask, **told))

    def answer(self, ask: str, key: Any = None, **told: Any) -> str:
        answer = Answer(digest(ask), ADA.badge, "accepted", "", AT, self.answers.device, BEGAN)
        said = answer_said(replace(answer, **told))
        return f"{said} {encoded(sign(key or self.answers.key, said.encode()))}"

    def bring(self, answer: Any, kind: str = "countersigned", **data: Any) -> list[str]:
        """The event with that answer, brought home; what stands beside it then."""
        turn = self.asks.state(self.job).step(STEP).turn
        about = {"by": ADA.badge, "answer": answer, **data}
        self.asks.keep(self.job, Draft(kind, STEP, 1, turn, about), id=EVENT)
        said = self.asks.send(self.at.client)
        assert [one["status"] for one in said["answers"]] == ["kept", "kept"]
        return [what for what, _by, _why in told(self.at, self.job)]

    def good(self) -> dict[str, str]:
        ask = self.ask()
        return {"asked": ask, "text": self.answer(ask)}

    def why(self) -> str:
        ((_what, _by, why),) = told(self.at, self.job)
        return str(why)

    def unproven(self) -> tuple[str, ...]:
        with session(self.at.engine) as db:
            return unproven(self.at.state(self.job), differences_of(db, self.job))


@pytest.fixture
def codes(at: Exchange) -> Codes:
    return Codes(at)


def test_an_answer_signed_by_a_phone_that_the_supervisor_had_begun_holds(codes: Codes) -> None:
    codes.begin()
    assert codes.bring(codes.good()) == []
    assert codes.at.state(codes.job).step(STEP).countersigned_by == ADA.badge
    assert codes.unproven() == ()


def test_work_is_sent_back_by_an_answer_too(codes: Codes) -> None:
    codes.begin()
    ask = codes.ask()
    answer = codes.answer(ask, verdict="returned", reason="Loose.")
    given = {"asked": ask, "text": answer}
    assert codes.bring(given, "returned", reason="Loose.", steps=[STEP]) == []
    assert codes.at.state(codes.job).step(STEP).returned == {"by": ADA.badge, "reason": "Loose."}


def test_an_answer_is_read_to_the_byte(codes: Codes) -> None:
    codes.begin()
    good = codes.good()
    said, _, signature = good["text"].rpartition(" ")
    other = said.replace(".000Z", ".001Z")
    assert other != said
    assert codes.bring(good | {"text": f"{other} {signature}"}) == ["answer"]
    assert "not signed by Ada's phone" in codes.why()
    assert codes.unproven() == (STEP,)


def cut(codes: Codes) -> Any:
    good = codes.good()
    return good | {"text": good["text"][:-1]}


def forged(codes: Codes) -> Any:
    ask = codes.ask()
    return {"asked": ask, "text": codes.answer(ask, key=codes.asks.key)}


def own_phone(codes: Codes) -> Any:
    ask = codes.ask()
    return {"asked": ask, "text": codes.answer(ask, key=codes.asks.key, device=codes.asks.device)}


def unknown_phone(codes: Codes) -> Any:
    ask, stranger = codes.ask(), Phone()
    return {"asked": ask, "text": codes.answer(ask, key=stranger.key, device="phone-00000000000000ff")}


def of_other(**told: Any) -> Any:
    def made(codes: Codes) -> Any:
        ask = codes.ask(**told)
        return {"asked": ask, "text": codes.answer(ask)}

    return made


def played_again(codes: Codes) -> Any:
    """An answer of yesterday's, beside today's ask."""
    return {"asked": codes.ask(), "text": codes.answer(codes.ask(event=new_id(5)))}


def other_verdict(codes: Codes) -> Any:
    ask = codes.ask()
    return {"asked": ask, "text": codes.answer(ask, verdict="returned", reason="Loose.")}


def of_somebody_else(codes: Codes) -> Any:
    ask = codes.ask()
    return {"asked": ask, "text": codes.answer(ask, by=NOOR.badge)}


@pytest.mark.parametrize(
    ("made", "why"),
    [
        (cut, "base64url"),
        (forged, "not signed by Ada's phone"),
        (own_phone, "comes from the phone that asked"),
        (unknown_phone, "no phone of this shop"),
        (of_other(event=new_id(5)), "for another step"),
        (of_other(job="another job"), "for another step"),
        (of_other(step="work/tyre"), "for another step"),
        (of_other(stands="A" * 43), "other work than what stood"),
        (of_other(doer=NOOR.badge), "other work than what stood"),
        (played_again, "to another code"),
        (other_verdict, "said something else"),
        (of_somebody_else, "said something else"),
        (lambda codes: codes.good() | {"asked": "?"}, "not the code of a step"),
        (lambda codes: codes.good() | {"text": "?"}, "not a supervisor's answer"),
    ],
    ids=lambda one: one if isinstance(one, str) else None,
)
def test_an_answer_that_is_not_this_events_stands_beside_it_and_keeps_the_job_from_its_end(
    codes: Codes, made: Any, why: str
) -> None:
    codes.begin()
    assert codes.bring(made(codes)) == ["answer"]
    assert why in codes.why()
    assert codes.unproven() == (STEP,)


def test_whoever_did_the_work_cannot_answer_for_it_on_another_phone(codes: Codes) -> None:
    codes.begin(ILYA)
    ask = codes.ask()
    answer = {"asked": ask, "text": codes.answer(ask, by=ILYA.badge)}
    assert "witness-role" in codes.bring(answer, by=ILYA.badge)


def test_a_phone_that_was_turned_away_answers_no_more_and_no_phone_takes_its_key_along(codes: Codes) -> None:
    codes.begin()
    device = codes.answers.device
    assert set(codes.asks.ask(codes.at.client, "/sync/shelf")["phones"]) == {codes.asks.device, device}
    with writing(codes.at.engine) as db:
        revoke(db, device, ADA.badge, "2026-03-02T09:00:00.000Z")
    assert codes.bring(codes.good()) == ["answer"]
    assert "no phone of this shop" in codes.why()
    assert set(codes.asks.ask(codes.at.client, f"/sync/jobs/{codes.job}/packet")["phones"]) == {codes.asks.device}


def test_the_keys_that_phones_take_along_are_public_ones(codes: Codes) -> None:
    with session(codes.at.engine) as db:
        known = keys(db)
    assert codes.asks.ask(codes.at.client, "/sync/shelf")["phones"] == known
    assert all(set(one) == {"name", "x", "y"} for one in known.values())


def test_somebody_else_had_begun_that_phone(codes: Codes) -> None:
    codes.begin(NOOR)
    assert codes.bring(codes.good()) == ["answer"]
    assert "not begun with this person's PIN" in codes.why()


def test_a_beginning_that_is_told_late_settles_what_waits_for_it(codes: Codes) -> None:
    assert codes.bring(codes.good()) == ["answer-waits"]
    assert codes.unproven() == (STEP,)
    assert beside(codes.at, codes.asks, codes.job) == ["answer-waits"]
    codes.begin(begun=True)
    assert told(codes.at, codes.job) == []
    assert codes.unproven() == ()


def test_a_beginning_with_a_wrong_pin_that_is_told_late_leaves_a_difference(codes: Codes) -> None:
    assert codes.bring(codes.good()) == ["answer-waits"]
    codes.begin(pin="1111", begun=True)
    assert [what for what, _by, _why in told(codes.at, codes.job)] == ["answer"]
    assert "not begun with this person's PIN" in codes.why()
    assert codes.unproven() == (STEP,)


@pytest.mark.parametrize("answer", ["text", {}, {"asked": "a"}, {"asked": "a", "text": 7}, None])
def test_what_is_no_answer_at_all_is_kept_aside(codes: Codes, answer: Any) -> None:
    turn = codes.asks.state(codes.job).step(STEP).turn
    codes.asks.keep(codes.job, Draft("countersigned", STEP, 1, turn, {"by": ADA.badge, "answer": answer}), id=EVENT)
    said = codes.asks.send(codes.at.client)["answers"][1]
    assert said["status"] == "aside"
    assert said["error"]["field"] == "data.answer"
