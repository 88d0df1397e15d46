"""Made questions about texts, labels, VINs and scans: right ones, wrong ones, and those just between."""

from random import Random
from typing import Any

from hypothesis import strategies as some

from webapp.core.labels import LETTER_OF, Label, label_text
from webapp.core.vin import WORTH, check_digit

DAYS = ["2026-11-23", "2026-11-24", "2026-11-25"]
ODD = "ıſKİéß∞\u200b\ufeff\x1c\x85\u00a0\u202f\u2212😀Αаμ٣８'\\\"\n\t"
UNITS = ["", "mm", "deg", "°", "º", "kPa", "bar", "degC", "km/h", "%", "V", "lux"]

texts = some.text(some.sampled_from("aZ09-.,+ " + ODD) | some.characters(exclude_categories=["Cs"]), max_size=70)
numbers = some.one_of(
    some.integers(-(10**20), 10**20),
    some.floats(allow_nan=False, allow_infinity=False),
    some.floats(-20, 20).map(lambda value: round(value, 3)),
    some.sampled_from([0.0, -0.0, 5e-324, 1e-5, 1e-4, 1e15, 1e16, 2.0**53, 1.7976931348623157e308, 0.1 + 0.2]),
)


@some.composite
def typed_numbers(draw: some.DrawFn) -> str:
    """Mostly one number with a unit, as people type it."""
    whole = draw(some.from_regex(r"([0-9]{1,3}([  \u202f][0-9]{3}){0,2}|[0-9]{0,6})", fullmatch=True))
    part = draw(some.from_regex(r"([.,][0-9]{0,9})?", fullmatch=True))
    sign, unit = draw(some.sampled_from(["", "-", "+", "−", "- "])), draw(some.sampled_from([*UNITS, "mM", " x", "9"]))
    around = draw(some.sampled_from(["", " ", "\t", "\u2007", "\x1c", "\ufeff"]))
    return around + sign + whole + part + draw(some.sampled_from(["", " ", "  "])) + unit + around


@some.composite
def typed_spans(draw: some.DrawFn) -> str:
    """Feet, inches and fractions, mostly as a rule has them."""
    feet = draw(some.sampled_from(["", "", "4' ", "4'", "12 ft ", "4\u2032-"]))
    whole = draw(some.sampled_from(["", "12", "59", "0", "1 506", "5.5"]))
    gap = draw(some.sampled_from([" ", "-", "", " - ", "\u202f"]))
    part = draw(
        some.sampled_from(["", "3/8", "1/16", "63/64", "9/8", "2/4", "3/7", "03/8", "1 / 2", "\u00bd", "\u215c"])
    )
    unit = draw(some.sampled_from(["", '"', " in", "''", " \u2033", " Inches", " mm", " cm", "'", " ft"]))
    return draw(some.sampled_from(["", "-", "\u2212 ", " "])) + feet + whole + gap + part + unit


readings = some.fixed_dictionaries(
    {
        "value": typed_numbers()
        | typed_spans()
        | texts
        | numbers
        | some.sampled_from(
            [
                None,
                True,
                "0" * 40,
                "0" * 41,
                "nan",
                "-Infinity",
                "inf5",
                "infé",
                "İnf",
                "∞ mm",
                "٣",
                "0.001",
                "1e3",
                "9" * 41,
            ]
        ),
        "unit": some.sampled_from(["mm", "mm", "deg", "degC", "%", "", "bar"]),
        "shop": some.sampled_from(["mm", "in"]),
        "low": some.sampled_from([0.001, -10, -30000.0, 1e-9]),
        "high": some.sampled_from([10, 0.5, 30000, 1e9]),
        "outer": some.sampled_from(["points[2]", "tapes_mm"]),
    }
)

CODES = some.from_regex(r"[A-Z0-9]([A-Z0-9-]{0,18}[A-Z0-9])?", fullmatch=True)
labels = some.fixed_dictionaries(
    {"kind": some.sampled_from([*LETTER_OF, "wheel", "constructor"]), "code": CODES | texts | some.just("-A")}
)


@some.composite
def label_texts(draw: some.DrawFn) -> str:
    """A label's text, whole or with one character changed, dropped or added."""
    whole = label_text(Label(draw(some.sampled_from(list(LETTER_OF))), draw(CODES)))
    at = draw(some.integers(0, len(whole)))
    slip = draw(some.sampled_from(["", "", "A", "7", ".", "-", "é", "\n"]))
    made = whole[:at] + slip + whole[at + draw(some.integers(0, 1)) :]
    return draw(some.sampled_from([whole, made, made.lower(), f" {whole}\x1f", whole + "X"]))


scanned = some.fixed_dictionaries({"text": label_texts() | texts | some.sampled_from([None, 5, 5.5, True])})


@some.composite
def vin_texts(draw: some.DrawFn) -> str:
    """A VIN, right or wrong by one character, as a scanner or a keyboard brings it."""
    vin = "".join(draw(some.lists(some.sampled_from("14K" + "".join(WORTH)), min_size=17, max_size=17)))
    if draw(some.booleans()):
        vin = vin[:8] + check_digit(vin) + vin[9:]
    if draw(some.booleans()):
        at = draw(some.integers(0, 16))
        vin = vin[:at] + draw(some.sampled_from("IOQАіΒμſß-*８😀ǅ")) + vin[at + draw(some.integers(0, 1)) :]
    before, after = (
        draw(some.sampled_from(["", "I", "*", "\ufeff", "\x1c ", "i"])),
        draw(some.sampled_from(["", "*", "\r\n", "\0"])),
    )
    return before + draw(some.sampled_from([vin, vin.lower(), f"{vin[:3]} {vin[3:9]}\u2003{vin[9:]}"])) + after


vins = some.fixed_dictionaries({"text": vin_texts() | texts | some.sampled_from([None, 12345, False, 1e22])})


@some.composite
def patterns(draw: some.DrawFn) -> dict[str, str]:
    """A pattern made of a VIN's own characters, of unknown ones and of others."""
    vin = "".join(draw(some.lists(some.sampled_from("".join(WORTH)), min_size=17, max_size=17)))
    body = "".join(draw(some.sampled_from([character, character, "?"])) for character in vin)
    slip = draw(some.sampled_from(["", "", "", "I", "Z", "😀", "*"]))
    cut = draw(some.integers(0, 17))
    return {
        "pattern": draw(some.sampled_from([body, body[:cut] + "*", body[:cut] + slip + "*", slip + body[1:]])),
        "vin": vin,
    }


KINDS = ["target", "spot", "bay", "badge", "test-label"]
IS = {"target": ["panel", "board"], "spot": ["stand", "mark"]}
NAMES = ["A-1", "7", "12", "B2", "S-9", "S-10", "T", "constructor"]


def _kit(dice: Random) -> dict[str, dict[str, Any]]:
    """Some items: most of them fit for use, and now and then one of which less is known."""
    kit = {}
    for code in dice.sample(NAMES[:-1], dice.randint(2, 7)):
        kind = dice.choice(["target", "spot"] * 5 + [*KINDS, None])
        item = {
            "kind": kind,
            "is": dice.choice([*IS.get(kind or "", ["badge"]), None]),
            "name": dice.choice([f"the {code}", f"the {code}", "", None]),
            "condition": dice.choice(["good"] * 9 + ["damaged"]),
            "inspection_due": dice.choice([None] * 7 + DAYS),
        }
        kit[code] = {key: item[key] for key in item if dice.random() < 0.9}
    return kit


def _name(dice: Random, kit: dict[str, dict[str, Any]], role: str) -> str:
    """What a step asks for: mostly what is in the kit, by its code or by what it is."""
    ours = [code for code, item in kit.items() if item.get("kind", role) == role]
    if not ours or dice.random() < 0.1:
        return dice.choice([*NAMES, *IS[role]])
    code = dice.choice(ours)
    return dice.choice([code, kit[code].get("is") or code])


def _pairs(dice: Random, kit: dict[str, dict[str, Any]]) -> list[dict[str, Any]]:
    pairs: list[dict[str, Any]] = []
    for _ in range(dice.randint(1, 4)):
        pair: dict[str, Any] = {role: _name(dice, kit, role) for role in IS}
        if dice.random() < 0.2:
            pair[dice.choice(list(IS))] = None
        pairs.append(pair | ({"target_name": "the left one"} if dice.random() < 0.1 else {}))
    return pairs


def _label(dice: Random, kit: dict[str, dict[str, Any]], named: str | None) -> str:
    """The label of what a step asks for, now and then of another item, or of none."""
    if dice.random() < 0.08:
        return dice.choice(
            [label_text(Label("badge", "T")), label_text(Label("target", "X")), "BAY.T.A.A", "https://a.b"]
        )
    ours = [code for code in kit if named in (code, kit[code].get("is"))]
    code = dice.choice(ours or list(kit)) if dice.random() < 0.8 else dice.choice(list(kit))
    return label_text(Label(kit[code].get("kind") or "target", code))


def _look_into_kit(seed: int) -> dict[str, Any]:
    dice = Random(seed)
    kit = _kit(dice)
    codes = [*kit, None]
    placed = [{role: dice.choice(codes) for role in IS} for _ in range(dice.randint(0, 4))]
    return {"kit": kit, "expected": _pairs(dice, kit), "placed": placed, "today": dice.choice([None, *DAYS])}


def _scan(seed: int) -> dict[str, Any]:
    """Some scans of one step, one after the other: pair by pair, with a swap or a stranger now and then."""
    dice = Random(seed)
    kit = _kit(dice)
    expected = _pairs(dice, kit)
    asked = [pair[role] for pair in expected for role in dice.sample(list(IS), 2)]
    if dice.random() < 0.3:
        dice.shuffle(asked)
    job = None if dice.random() < 0.5 else dice.choices([*NAMES, "board", "panel"], k=3)
    texts = [_label(dice, kit, name) for name in asked]
    return {"kit": kit, "expected": expected, "texts": texts, "today": dice.choice([None, *DAYS]), "job": job}


SEEDS = some.integers(0, 2**32)
looks_into_kits = SEEDS.map(_look_into_kit)
scans = SEEDS.map(_scan)
