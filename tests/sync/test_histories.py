"""Random histories of two phones, a server and a bad network; whatever happened, in the end all hold the same.

A network that drops, delays, repeats, reorders and cuts; a server that is killed before any statement of a transaction,
at its commit or right after it; phones that die with what was on its way to them, or while they write down what others
did, and whose clocks jump; two phones and the server's own pages on the same jobs. The oracle is what the phones have
on their disks.

    HISTORIES=20000 SEED=7 pytest tests/sync/test_histories.py      # `make soak`

Histories come by the hundreds from a seed, and the test's name says which: SEED=7 HISTORIES=200 plays those of seed-7
again. A seed that fails is added to tests/cases/histories.json, and is played first in every run from then on.
"""

import copy
import json
import os
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import HealthCheck, seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, precondition, rule, run_state_machine_as_test
from sqlalchemy import event
from sqlalchemy.engine import Engine

from tests.cast import ILYA, NOOR
from tests.sync.conftest import Exchange, Opened
from tests.sync.phone import Phone, Request
from webapp.core.act import Draft
from webapp.storage import arrivals, progress
from webapp.storage.differences import differences_of
from webapp.storage.engine import session

HISTORIES = int(os.environ.get("HISTORIES", "200"))
SEED = int(os.environ.get("SEED", "1"))
FROM_ONE_SEED = 200
"""So many in one test: a long run can be shared out among processes, and a failing seed is soon played again."""

CASES = Path(__file__).parents[1] / "cases" / "histories.json"
STEPS = 40
PHONES = st.sampled_from((0, 1))
JOBS = st.sampled_from((0, 1))
LONGEST_JUMP_S = 20 * 3600


class Killed(Exception):
    """The server's process ended here."""


class Kill:
    """Ends the server at its n-th statement from now, or at the commit."""

    def __init__(self, engine: Engine, after: int | None) -> None:
        self.left = after
        self.hooks = (engine, "before_cursor_execute", self._statement), (engine, "commit", self._commit)

    def __enter__(self) -> None:
        for hook in self.hooks:
            event.listen(*hook)

    def __exit__(self, *_about: object) -> None:
        for hook in self.hooks:
            event.remove(*hook)

    def _statement(self, *_about: Any) -> None:
        if self.left is not None:
            self.left -= 1
            if self.left < 0:
                raise Killed

    def _commit(self, _connection: Any) -> None:
        if self.left is None or self.left < 50:
            raise Killed


class Begun:
    """The shop in which every history begins: two jobs, two paired phones that hold both. Made once, then copied."""

    def __init__(self, opened: Opened, folder: Path) -> None:
        self.opened = opened
        self.at = at = opened(folder)
        self.jobs = [at.job(), at.job()]
        self.phones = [at.phone(name="A", person=NOOR), at.phone(name="B", person=ILYA)]
        for phone in self.phones:
            for job in self.jobs:
                phone.fetch(at.client, job)
        self.database = opened.keep(at, folder / "begun")

    def again(self) -> tuple[Exchange, list[Phone]]:
        progress.forget()
        arrivals.forget()
        return self.opened.begin_again(self.at, self.database), [_as_it_was(phone) for phone in self.phones]


def _as_it_was(phone: Phone) -> Phone:
    again = copy.copy(phone)
    again.lines = dict(phone.lines)
    again.jobs = {job: replace(held, others=dict(held.others)) for job, held in phone.jobs.items()}
    return again


class Histories(RuleBasedStateMachine):
    begun: Begun

    def __init__(self) -> None:
        super().__init__()
        self.at, self.phones = self.begun.again()
        self.jobs = self.begun.jobs
        self.requests: list[tuple[Phone, Request]] = []
        self.answers: list[tuple[Phone, Any]] = []
        self.promised: dict[str, int] = {}

    # --- work

    @rule(phone=PHONES, job=JOBS, dice=st.integers(0, 2**16), times=st.sampled_from(range(3, 13)))
    def work(self, phone: int, job: int, dice: int, times: int) -> None:
        self.phones[phone].dice = Random(dice)
        for _ in range(times):
            self.phones[phone].work(self.jobs[job])

    @rule(job=JOBS)
    def somebody_notes_at_the_server(self, job: int) -> None:
        self.at.tap(self.jobs[job], Draft("noted", None, 1, 0, {"text": "Seen."}))

    @rule(phone=PHONES, seconds=st.integers(-LONGEST_JUMP_S, LONGEST_JUMP_S))
    def a_clock_jumps(self, phone: int, seconds: int) -> None:
        self.phones[phone].ahead_s = float(seconds)

    @rule(phone=PHONES)
    def a_phone_is_switched_off_and_on(self, phone: int) -> None:
        """What is on its disk stays; what was on its way to it is lost, whatever came of it at the server."""
        one = self.phones[phone]
        one.boot += "'"
        one.mono_s = 5.0
        self.answers = [(whose, answer) for whose, answer in self.answers if whose is not one]

    @rule(phone=PHONES, job=JOBS, keeps=st.integers(0, 8))
    def a_phone_dies_while_it_writes_down_what_others_did(self, phone: int, job: int, keeps: int) -> None:
        one, name = self.phones[phone], self.jobs[job]
        said = one.ask(self.at.client, f"/sync/jobs/{name}/events?after={one.jobs[name].last}")
        one.hear(name, said["events"][:keeps])
        self.a_phone_is_switched_off_and_on(phone)

    # --- the network

    @precondition(lambda self: any(phone.lines for phone in self.phones))
    @rule(phone=PHONES, skip=st.sampled_from((0, 1, 1, 1, 2, 3)), count=st.sampled_from(range(1, 16)))
    def a_batch_sets_out(self, phone: int, skip: int, count: int) -> None:
        """What is not acknowledged, or only a part of it, or some that was sent before."""
        one = self.phones[phone]
        seqs = sorted(one.lines)
        begin = max(0, one.acknowledged - 1 + skip)
        if wanted := seqs[begin : begin + count]:
            self.requests.append((one, one.batch(wanted)))

    @precondition(lambda self: self.requests)
    @rule(which=st.integers(0, 50), again=st.booleans())
    def a_batch_arrives(self, which: int, again: bool) -> None:
        phone, request = self.requests[which % len(self.requests)]
        if not again:
            self.requests.remove((phone, request))
        self._take(phone, request)

    @precondition(lambda self: self.requests)
    @rule(which=st.integers(0, 50), keeps=st.floats(0, 0.99))
    def a_batch_is_cut(self, which: int, keeps: float) -> None:
        _phone, request = self.requests.pop(which % len(self.requests))
        body = request.body[: int(len(request.body) * keeps)]
        answer = Request(request.method, request.path, body, request.headers).arrive(self.at.client)
        assert answer.status_code == 401

    @precondition(lambda self: self.requests)
    @rule(which=st.integers(0, 50))
    def a_batch_is_lost(self, which: int) -> None:
        self.requests.pop(which % len(self.requests))

    @precondition(lambda self: self.answers)
    @rule(which=st.integers(0, 50), lost=st.booleans())
    def an_answer_arrives_or_is_lost(self, which: int, lost: bool) -> None:
        phone, answer = self.answers.pop(which % len(self.answers))
        if not lost:
            phone.heard(answer)

    @rule(phone=PHONES, job=JOBS)
    def a_phone_hears_what_others_did(self, phone: int, job: int) -> None:
        self.phones[phone].pull(self.at.client, self.jobs[job])

    # --- the server ends

    @precondition(lambda self: self.requests)
    @rule(which=st.integers(0, 50), after=st.one_of(st.none(), st.integers(0, 20)))
    def the_server_is_killed_while_it_takes_a_batch(self, which: int, after: int | None) -> None:
        phone, request = self.requests[which % len(self.requests)]
        with suppress(Killed), Kill(self.at.engine, after):
            self._take(phone, request)
        self._restart()

    @precondition(lambda self: self.requests)
    @rule(which=st.integers(0, 50))
    def the_server_is_killed_right_after_a_commit(self, which: int) -> None:
        _phone, request = self.requests.pop(which % len(self.requests))
        assert request.arrive(self.at.client).status_code == 200  # nobody hears it
        self._restart()

    def _restart(self) -> None:
        self.at.engine.dispose()
        progress.forget()
        arrivals.forget()
        self._every_acknowledged_event_is_there_once()

    def _take(self, phone: Phone, request: Request) -> None:
        answer = request.arrive(self.at.client)
        assert answer.status_code == 200, answer.text
        said = answer.get_json()
        self.promised[phone.device] = max(self.promised.get(phone.device, 0), said["highest"])
        assert said["highest"] >= self.promised[phone.device], "an acknowledged event was taken back"
        self._every_acknowledged_event_is_there_once()
        self.answers.append((phone, answer))

    # --- what must hold

    def _every_acknowledged_event_is_there_once(self) -> None:
        events = [event for job in self.jobs for event in self.at.events(job)]
        for phone in self.phones:
            seqs = sorted(event.seq for event in events if event.device == phone.device)
            assert seqs == list(range(1, len(seqs) + 1))
            assert len(seqs) >= self.promised.get(phone.device, 0)

    def teardown(self) -> None:
        """The network heals: within one sync both sides hold the same, and say so."""
        try:
            for phone in self.phones:
                said = phone.send(self.at.client)
                while said["highest"] < len(phone.lines):
                    said = phone.send(self.at.client)
            for job in self.jobs:
                self._agreed(job)
        finally:
            self.at.engine.dispose()

    def _agreed(self, job: str) -> None:
        expected = self.at.state(job)
        assert self.at.remembered(job) == expected
        for phone in self.phones:
            assert phone.pull(self.at.client, job)["digest"] == phone.digest(job)
            assert phone.state(job) == expected
        with session(self.at.engine) as db:
            lines = {(one.device, one.seq): one.line for one in arrivals.lines_of(db, job)}
            told = [one for one in differences_of(db, job) if one.other is None]
        own = {
            (phone.device, event.seq): phone.lines[event.seq]
            for phone in self.phones
            for event in phone.events(job)
            if event.device == phone.device
        }
        assert {place: line for place, line in lines.items() if place[0] != "server"} == own
        assert told == [], "phones that decide rightly are told of differences"


def _seeds() -> list[Any]:
    """What failed once, then the histories of this run: (seed, how many)."""
    kept = [(case["seed"], case["histories"]) for case in json.loads(CASES.read_text())]
    whole, rest = divmod(HISTORIES, FROM_ONE_SEED)
    counts = [FROM_ONE_SEED] * whole + [rest] * bool(rest)
    return [
        pytest.param(number, count, id=f"seed-{number}")
        for number, count in dict([*kept, *((SEED + n, count) for n, count in enumerate(counts))]).items()
    ]


def _keep_case(number: int, histories: int) -> None:
    kept = json.loads(CASES.read_text())
    if (case := {"seed": number, "histories": histories}) not in kept:
        CASES.write_text(json.dumps([*kept, case], indent=2) + "\n")


@pytest.mark.parametrize(("number", "histories"), _seeds())
def test_whatever_happens_all_hold_the_same_in_the_end(opened: Opened, number: int, histories: int) -> None:
    # In memory where the system has such a folder: these servers are killed, but no power is cut (see test_power_loss).
    memory = Path("/dev/shm")
    how = settings(
        max_examples=histories,
        stateful_step_count=STEPS,
        deadline=None,
        database=None,
        print_blob=True,
        suppress_health_check=list(HealthCheck),
    )
    with TemporaryDirectory(dir=memory if memory.is_dir() else None) as folder:
        machine = seed(number)(type("Histories", (Histories,), {"begun": Begun(opened, Path(folder))}))
        try:
            run_state_machine_as_test(machine, settings=how)
        except Exception:
            _keep_case(number, histories)
            raise
