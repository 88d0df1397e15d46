"""What a scan means: the verdict on one label, given what is to be placed, what is placed, and the shop's kit."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from .errors import BadInput
from .kit import ROLES, Kit, Pair, Role, code_in, codes_for, name_in, name_of, open_pairs, stand_in, stands_for, trouble
from .labels import Label, read_label

Verdict = Literal[
    "match",
    "wrong-target",
    "right-target-wrong-spot",
    "already-placed",
    "not-part-of-this-job",
    "out-of-service",
    "label-of-another-kind",
    "not-one-of-our-labels",
    "unreadable",
]
ROLE_OF_KIND: dict[str, Role] = {"target": "target", "test-label": "target", "spot": "spot", "bay": "spot"}
OTHER: dict[Role, Role] = {"target": "spot", "spot": "target"}
UNREADABLE = ("label-empty", "label-garbled", "label-check-character")


@dataclass(frozen=True)
class ScanResult:
    """The verdict, the codes it is about, and what to do next.

    target, spot: codes; for ``right-target-wrong-spot`` the spot is the one where the target belongs, for
    ``already-placed`` the one where it is. Where several kit items would do, the expected name stands for the code.
    next: a code under ``do`` with the message's arguments (names as people say them) beside it.
    holding: the code that waits for its other half after this scan. placed: the pair this scan completed, if any.
    """

    verdict: Verdict
    target: str | None
    spot: str | None
    next: dict[str, Any]
    holding: str | None = None
    placed: dict[str, str | None] | None = None


def scan_verdict(
    expected: Sequence[Pair],
    placed: Sequence[Pair],
    kit: Kit,
    text: str,
    holding: str | None = None,
    today: str | None = None,
    job: Collection[str] | None = None,
) -> ScanResult:
    """Return what scanning this text means; never raises for what was scanned.

    expected: this step's pairs. placed: the pairs completed so far, as codes. holding: code of the half scanned just
    before, target or spot. today: YYYY-MM-DD, for inspections that are overdue (None: not judged). job: every target
    and spot name of the job, to tell a target of another step from a stranger (None: the step is all of the job).
    """
    scan = _Scan(expected, placed, kit, holding, today, job)
    try:
        label = read_label(text)
    except BadInput as error:
        if error.code in UNREADABLE:
            return scan.says("unreadable", do="scan-again")
        return scan.says("not-one-of-our-labels", do="not-ours")
    if label.code not in kit:
        return scan.says("not-one-of-our-labels", do="not-in-kit", scanned=label.code)
    role = scan.role_of(label)
    if role is None:
        return scan.says("label-of-another-kind", do="other-kind", kind=label.kind)
    return scan.of_target(label.code) if role == "target" else scan.of_spot(label.code)


class _Scan:
    """One scan and all that its verdict depends on."""

    def __init__(
        self,
        expected: Sequence[Pair],
        placed: Sequence[Pair],
        kit: Kit,
        holding: str | None,
        today: str | None,
        job: Collection[str] | None,
    ) -> None:
        self.expected, self.placed, self.kit, self.today, self.job = expected, placed, kit, today, job
        self.open = open_pairs(expected, placed, kit)
        self.held_role = next((role for role in ROLES if holding and self._halves(role, holding)), None)
        self.held = holding if self.held_role else None

    def role_of(self, label: Label) -> Role | None:
        """Return whether the label counts as a target or a spot here; None where its kind is not asked for."""
        kind = self.kit[label.code].get("kind", label.kind)
        if kind != label.kind:
            return None
        named = next((role for role in ROLES if self._asking(role, label.code, self.expected)), None)
        return named or (ROLE_OF_KIND.get(kind) if kind in self._kinds_asked() else None)

    def of_target(self, code: str) -> ScanResult:
        place = next((pair for pair in self.placed if pair.get("target") == code), None)
        if place:
            return self._already(code, place.get("spot"), code)
        if not self._asking("target", code, self.expected):
            return self._unwanted(code)
        if why := trouble(code, self.kit, self.today):
            return self._out_of_service(code, why, target=code)
        choices = self._asking("target", code, self.open)
        if not choices:
            return self.says("wrong-target", target=code, do="take-target", scanned=self._name(code))
        if any(pair.get("spot") is None for pair in choices):
            return self._complete(code, None)
        if self.held and self.held_role == "spot":
            return self._pair(code, self.held)
        spot, spot_name = code_in(choices[0], "spot", self.kit), name_in(choices[0], "spot", self.kit)
        advice = {"do": "scan-spot", "target": self._name(code), "spot": spot_name}
        return ScanResult("match", code, spot, advice, holding=code)

    def of_spot(self, code: str) -> ScanResult:
        target_held = self.held if self.held_role == "target" else None
        if not target_held and not self._asking("spot", code, self.expected):
            return self.says("not-part-of-this-job", spot=code, do="leave-spot", scanned=self._name(code))
        if why := trouble(code, self.kit, self.today):
            return self._out_of_service(code, why, spot=code)
        choices = self._asking("spot", code, self.open)
        if any(pair.get("target") is None for pair in choices):
            return self._complete(None, code)
        if target_held:
            return self._pair(target_held, code)
        if not choices:
            there = next((pair.get("target") for pair in self.placed if pair.get("spot") == code), None)
            return self._already(there, code, code)
        target, target_name = code_in(choices[0], "target", self.kit), name_in(choices[0], "target", self.kit)
        advice = {"do": "scan-target", "target": target_name, "spot": self._name(code)}
        return ScanResult("match", target, code, advice, holding=code)

    def says(self, verdict: Verdict, target: str | None = None, spot: str | None = None, **advice: Any) -> ScanResult:
        """Return a verdict that changes nothing: what was held is still held, and what is wanted still is."""
        return ScanResult(verdict, target, spot, {**advice, "wanted": self._wanted()}, self.held)

    def _pair(self, target: str, spot: str) -> ScanResult:
        """Judge a target and a spot that were scanned one after the other."""
        homes = self._halves("target", target)
        if any(stands_for(pair["spot"], spot, self.kit) for pair in homes):
            return self._complete(target, spot)
        words = {"target": self._name(target), "here": self._name(spot), "spot": name_in(homes[0], "spot", self.kit)}
        rightful = self._halves("spot", spot)
        advice = {"do": "move-target", **words}
        if rightful:
            advice = {"do": "swap-targets", **words, "other": name_in(rightful[0], "target", self.kit)}
        belongs = code_in(homes[0], "spot", self.kit)
        return ScanResult("right-target-wrong-spot", target, belongs, advice, holding=target)

    def _complete(self, target: str | None, spot: str | None) -> ScanResult:
        pair = {"target": target, "spot": spot}
        after = _Scan(self.expected, [*self.placed, pair], self.kit, None, self.today, self.job)
        advice: dict[str, Any] = {"do": "all-placed"}
        if after.open:
            advice = {"do": "next-pair", "left": len(after.open), "wanted": after._wanted()}
        return ScanResult("match", target, spot, advice, placed=pair)

    def _already(self, target: str | None, spot: str | None, scanned: str) -> ScanResult:
        where = self._name(spot) if target and spot else None
        what = self._name(target or scanned)
        return self.says("already-placed", target, spot, do="already-placed", scanned=what, where=where)

    def _unwanted(self, code: str) -> ScanResult:
        known_to_job = any(stands_for(name, code, self.kit) for name in self.job or ())
        if known_to_job or (self.job is None and self.held_role == "spot"):
            return self.says("wrong-target", target=code, do="take-target", scanned=self._name(code))
        return self.says("not-part-of-this-job", target=code, do="put-back", scanned=self._name(code))

    def _out_of_service(self, code: str, why: str, **codes: str) -> ScanResult:
        other = stand_in(code, self.kit, self.placed, self.today)
        instead = self._name(other) if other else None
        return self.says("out-of-service", **codes, do="replace", scanned=self._name(code), why=why, instead=instead)

    def _asking(self, role: Role, code: str, pairs: Sequence[Pair]) -> list[Pair]:
        return [pair for pair in pairs if stands_for(pair.get(role), code, self.kit)]

    def _halves(self, role: Role, code: str) -> list[Pair]:
        """Return the open pairs that ask for this code in this role and for something else in the other."""
        return [pair for pair in self._asking(role, code, self.open) if pair.get(OTHER[role]) is not None]

    def _kinds_asked(self) -> set[str]:
        kinds: set[str] = set()
        for role, name in ((role, pair.get(role)) for pair in self.expected for role in ROLES):
            if name is not None:
                kinds |= {self.kit[code].get("kind", role) for code in codes_for(name, self.kit)} or {role}
        return kinds

    def _wanted(self) -> str | None:
        """Return the name of the label to scan now; None when nothing is left."""
        if self.held and self.held_role:
            return name_in(self._halves(self.held_role, self.held)[0], OTHER[self.held_role], self.kit)
        if not self.open:
            return None
        first: Role = "spot" if self.open[0].get("target") is None else "target"
        return name_in(self.open[0], first, self.kit)

    def _name(self, code: str) -> str:
        return name_of(code, self.kit)
