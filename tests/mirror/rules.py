"""The server's rules by the names that rules.do.mjs has for the phone's: one JSON object in, JSON out."""

import math
from collections.abc import Callable
from dataclasses import asdict
from fractions import Fraction
from typing import Any

from webapp.core.drawing.lettering import figure
from webapp.core.drawing.move import stand_move
from webapp.core.drawing.svg import px
from webapp.core.errors import BadInput, shown
from webapp.core.kit import codes_for, name_in, open_pairs, stand_in, stands_for, trouble
from webapp.core.labels import Label, label_text, read_label
from webapp.core.measure.advice import whole_mm
from webapp.core.measure.decide import decide, repeats_to_settle
from webapp.core.measure.hull import convex_hull, surrounds
from webapp.core.measure.instruments import combined, instrument_of, repeated
from webapp.core.measure.judged import fields, judge, read_all
from webapp.core.measure.outlier import odd_one
from webapp.core.measure.reading import Range, read_exact
from webapp.core.measure.square import Pose, Tapes, square_stand, tapes_at
from webapp.core.measure.student import exceeds, widening
from webapp.core.numbers import number, rounded
from webapp.core.scan import scan_verdict
from webapp.core.vin import check_digit, check_pattern, groups, matches, read_vin

Given = dict[str, Any]


def _say(name: str, **given: object) -> str:
    """A message as its name and what it was given, so that every word of a drawing is told."""
    return " ".join([name, *(f"{key}={given[key]}" for key in sorted(given))])


def _lowest(exact: Fraction) -> str:
    return f"{exact.numerator}/{exact.denominator}"


def _exactly(value: float | None) -> Fraction | None:
    return None if value is None else Fraction(repr(value))


def _write_number(given: Given) -> Any:
    value, decimals = given["value"], given["decimals"]
    return {
        "number": number(value),
        "shown": shown(value),
        "rounded": rounded(value, decimals),
        "whole_mm": whole_mm(value),
        "px": px(value),
        "figure": figure(value, decimals),
    }


def _read_value(given: Given) -> Any:
    try:
        exact = read_exact(given["value"], "reading", Range(given["unit"], given["low"], given["high"]), given["shop"])
    except BadInput as error:
        raise error.inside(given["outer"]) from None
    return {"exact": _lowest(exact), "value": float(exact)}


def _read_vin(given: Given) -> Any:
    vin = read_vin(given["text"], "vin")
    return {**asdict(vin), "valid": vin.valid, "groups": groups(vin.text), "wanted": check_digit(vin.text)}


def _match_pattern(given: Given) -> Any:
    check_pattern(given["pattern"])
    return matches(given["pattern"], given["vin"])


def _look_into_kit(given: Given) -> Any:
    kit, expected, placed, today = given["kit"], given["expected"], given["placed"], given["today"]
    return {
        "open": open_pairs(expected, placed, kit),
        "codes": [[codes_for(pair["target"], kit), codes_for(pair["spot"], kit)] for pair in expected],
        "stands": [[stands_for(pair["target"], code, kit) for code in sorted(kit)] for pair in expected],
        "names": [
            name_in(pair, role, kit) for pair in expected for role in ("target", "spot") if pair[role] is not None
        ],
        "trouble": [[trouble(code, kit, today), stand_in(code, kit, placed, today)] for code in sorted(kit)],
    }


def _scan_labels(given: Given) -> Any:
    said: list[Any] = []
    placed: list[Any] = []
    holding = None
    for text in given["texts"]:
        found = scan_verdict(given["expected"], placed, given["kit"], text, holding, given["today"], given["job"])
        said.append(asdict(found))
        holding = found.holding
        placed += [found.placed] if found.placed else []
    return said


def _sum_up(given: Given) -> Any:
    values = given["values"]
    return {
        "fsum": number(math.fsum(values)),
        "combined": combined(values),
        "repeated": asdict(repeated(values)),
        "binary": _lowest(Fraction(values[0])),
    }


def _few(given: Given) -> Any:
    odd = odd_one(given["values"], given["u"])
    exceeded = exceeds(given["u"] * 1.2, given["u"], given["freedom"])
    return {"odd": odd, "widening": widening(given["freedom"]), "exceeds": exceeded}


def _accurate(given: Given) -> Any:
    return instrument_of(given["kind"], given).u(given["reading"])


def _surround(given: Given) -> Any:
    points = [(x, y) for x, y in given["points"]]
    return {"hull": convex_hull(points), "inside": surrounds(points, tuple(given["spot"]))}


def _decide_on(given: Given) -> Any:
    value, u, low, high = (_exactly(given[name]) for name in ("value", "u", "low", "high"))
    assert value is not None
    assert u is not None
    decision = decide(value, u, low, high)
    return {**asdict(decision), "repeats": repeats_to_settle(value, given["u_instrument"], given["s"], low, high)}


def _square_up(given: Given) -> Any:
    tapes, u = Tapes(**given["tapes"]), Tapes(**given["u"])
    return asdict(square_stand(given["track_mm"], given["bar_mm"], tapes, u, given["hubs"]))


def _stand_at(given: Given) -> Any:
    return asdict(tapes_at(given["track_mm"], given["bar_mm"], Pose(**given["pose"]), given["hubs"]))


def _measure_step(given: Given) -> Any:
    measure = given["measure"]
    sets = [read_all(measure, typed) for typed in given["typed"]]
    asked = [[name, label, allowed.unit, allowed.low, allowed.high] for name, label, allowed in fields(measure)]
    return {"fields": asked, "sets": sets, "found": judge(measure, sets)}


def _move_stand(given: Given) -> Any:
    found = given["found"]
    return stand_move({**found, **(found.get("pose") or {})}, given["target"], _say, hubs=given["hubs"])


RULES: dict[str, Callable[[Given], Any]] = {
    "write_number": _write_number,
    "quote": lambda given: shown(given["value"]),
    "read_value": _read_value,
    "read_label": lambda given: asdict(read_label(given["text"])),
    "label_text": lambda given: label_text(Label(**given)),
    "read_vin": _read_vin,
    "match_pattern": _match_pattern,
    "look_into_kit": _look_into_kit,
    "scan_labels": _scan_labels,
    "sum_up": _sum_up,
    "tail_of_normal": lambda given: math.erfc(given["x"]),
    "few": _few,
    "accurate": _accurate,
    "surround": _surround,
    "decide_on": _decide_on,
    "square_up": _square_up,
    "measure_step": _measure_step,
    "move_stand": _move_stand,
    "stand_at": _stand_at,
}
