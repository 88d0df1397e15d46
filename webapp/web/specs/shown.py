"""What the pages of a vehicle's figures show: its parts, and the fields of a part's form."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from webapp.core.procedure import Library
from webapp.core.quantity import LARGEST, units_of
from webapp.library.asked import Asked, asked, set_up_of
from webapp.library.own import Fault
from webapp.messages import pointed, say
from webapp.web.specs.differences import in_short
from webapp.web.specs.forms import NUMBERS, OUTLINE, SIZES, Document, quantity

LACKS = re.compile("lacks (?:the figure )?'([^']*)'")
LINES = ("centreline", "thrust-line")
REFERENCES = (*LINES, "bumper", "hub", "emblem")


@dataclass(frozen=True)
class Row:
    """A figure on the form. `numbers` are the fields that it has, by what each is of it; `step` is what it is for."""

    name: str
    step: str
    unit: str
    units: list[str]
    numbers: dict[str, str]
    short: str
    reference: str
    source: str
    revision: str
    said: list[str]
    open: bool


@dataclass(frozen=True)
class Part:
    """A part of a vehicle, with its figures in short, and what is still wrong in it."""

    id: str
    title: str
    source: str = ""
    figures: dict[str, str] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    @property
    def lacks(self) -> list[str]:
        """The fields in which something is still to be filled in."""
        names = [LACKS.match(one.message) for one in self.faults if not one.given]
        ends = [field_of(one).rpartition(".")[2] for one in self.faults if not one.given]
        return list(dict.fromkeys((found[1] if found else end) for found, end in zip(names, ends, strict=True)))

    @property
    def wrong(self) -> list["Wrong"]:
        """The fields in which something stands that cannot be."""
        return [Wrong(field_of(one) or self.title, one.message) for one in self.faults if one.given]


@dataclass(frozen=True)
class Wrong:
    field: str
    message: str


def parts(library: Library, document: Document, found: Iterable[Fault]) -> list[Part]:
    """The parts of a vehicle in the order in which they are filled in."""
    wrong: dict[str, list[Fault]] = {}
    for one in found:
        wrong.setdefault(part_of(one), []).append(one)

    def made(part: str, title: str, owner: Document, figures: Mapping[str, str]) -> Part:
        return Part(part, title, str(owner.get("source", "")), dict(figures), wrong.get(part, []))

    about = {name: pointed(str(size)) for name, size in document.get("outline", {}).items()}
    asks = {one["name"]: ", ".join(o["value"] for o in one["options"]) for one in document.get("qualifiers", [])}
    every = [
        made("about", say("specs-part-about"), {}, about),
        made("questions", say("specs-part-questions"), {}, asks),
    ]
    every.append(made("figures", say("specs-part-figures"), document, shorts(document)))
    for number, one in enumerate(document.get("variants", [])):
        every.append(made(f"variant-{number}", variant_title(one), {}, shorts(one)))
    for name, spec in document["specs"].items():
        every.append(made(f"spec-{name}", title_of(library, name), spec, shorts(spec) | _places(spec)))
    return every


def title_of(library: Library, procedure: str) -> str:
    return library.procedures[procedure].title if procedure in library.procedures else procedure


def variant_title(variant: Document) -> str:
    """For which answers a variant's figures hold."""
    answers = [
        f"{name}: {value if isinstance(value, str) else ', '.join(value)}" for name, value in variant["only-if"].items()
    ]
    return say("specs-part-variant", answers=", ".join(answers))


def shorts(owner: Document) -> dict[str, str]:
    return {name: in_short(figure) for name, figure in owner.get("figures", {}).items()}


def _places(spec: Document) -> dict[str, str]:
    return {
        f"{one.get('target')} → {one.get('spot')}": ", ".join(
            f"{key} {pointed(str(one[key]))}" for key in SIZES if key in one
        )
        for one in spec.get("placements", [])
    }


def part_of(fault: Fault) -> str:
    """The part in which a fault is put right."""
    match fault.path:
        case ("specs" | "variants" as sort, str() | int() as which, *_):
            return f"{sort.removesuffix('s')}-{which}"
        case ("figures" | "source", *_):
            return "figures"
        case ("qualifiers", *_):
            return "questions"
    return "about"


def field_of(fault: Fault) -> str:
    """The field of its part's form that a fault is about; empty where it is about the whole part."""
    path = fault.path[2:] if fault.path[:1] in (("specs",), ("variants",)) else fault.path
    return "vin" if path[:1] == ("vin",) else ".".join(str(one) for one in path)


def rows(
    wanted: Iterable[Asked], figures: Document, said: Mapping[str, list[str]], form: Mapping[str, str]
) -> list[Row]:
    """The figures of a part: those that its procedures take, then what else stands there.

    `said` are the faults by field, `form` what was typed where that is shown again.
    """
    known = {one.name: one for one in wanted}
    names = [*known, *(name for name in figures if name not in known)]
    return [_row(name, known.get(name), figures.get(name, {}), said, form) for name in names]


def _row(name: str, one: Asked | None, figure: Document, said: Mapping[str, list[str]], form: Mapping[str, str]) -> Row:
    at = f"figures.{name}"
    split = {key: _split(str(figure[key])) for key in NUMBERS if figure.get(key)}
    units = (
        units_of(one.unit) if one and one.unit in LARGEST else list(dict.fromkeys(unit for _, unit in split.values()))
    )
    unit = form.get(f"{at}.unit") or next((unit for _, unit in split.values() if unit), units[0] if units else "")
    usual = NUMBERS if one is None else NUMBERS[1:] if one.limits else NUMBERS[:1]
    shown = [key for key in NUMBERS if key in usual or key in split]
    # In one unit a field has the bare number; what is in another has it written out.
    numbers = {key: form.get(f"{at}.{key}", _bare(split[key], unit) if key in split else "") for key in shown}
    told = list(
        dict.fromkeys(
            text
            for key in ("", *(f".{one}" for one in (*NUMBERS, "reference", "source", "revision")))
            for text in said.get(at + key, [])
        )
    )
    rest = {key: form.get(f"{at}.{key}", str(figure.get(key, ""))) for key in ("reference", "source", "revision")}
    short = in_short({key: quantity(text, unit) for key, text in numbers.items() if text})
    open_ = bool(told) or not short
    return Row(
        name,
        one.step if one else "",
        unit,
        list(dict.fromkeys([*units, *([unit] if unit else [])])),
        numbers,
        short,
        **rest,
        said=told,
        open=open_,
    )


def _split(text: str) -> tuple[str, str]:
    number, _, unit = text.partition(" ")
    return number, unit.strip()


def _bare(split: tuple[str, str], unit: str) -> str:
    number, own = split
    return pointed(number if own == unit else f"{number} {own}".strip())


def wanted_by(library: Library, document: Document, part: str, shipped: Library) -> list[Asked]:
    """The figures that a part's procedures take."""
    specs = document["specs"]
    if part.startswith("spec-"):
        name = part.removeprefix("spec-")
        own = document.get("figures", {})
        taken = asked([library.procedures[name]] if name in library.procedures else [])
        return [one for one in taken if one.name not in own or one.name in specs[name].get("figures", {})]
    shared = asked(set_up_of(library, specs))
    if part.startswith("variant-"):
        return [one for one in shared if one.name in document.get("figures", {})]
    # What other vehicles give once for all of their calibrations is asked for once here too.
    once = {name for one in shipped.vehicles.values() for name in one.figures}
    taken = asked(library.procedures[name] for name in specs if name in library.procedures)
    spread = {name for spec in specs.values() for name in spec.get("figures", {})}
    there = {one.name for one in shared}
    return shared + [one for one in taken if one.name in once and one.name not in there | spread]


def placement_rows(
    library: Library, document: Document, name: str, said: Mapping[str, list[str]], form: Mapping[str, str]
) -> list[dict[str, Any]]:
    """The targets' places of a calibration: those there are, else those that another vehicle has, and one more."""
    if form:
        count = sum(1 for key in form if key.startswith("placements.") and key.endswith(".target"))
        given = [
            {key: form.get(f"placements.{n}.{key}", "") for key in ("target", "spot", *SIZES)} for n in range(count)
        ]
    else:
        given = [
            {"target": one.get("target", ""), "spot": one.get("spot", "")}
            | {key: _bare(_split(str(one[key])), unit) if one.get(key) else "" for key, unit in SIZES.items()}
            for one in document["specs"][name].get("placements", [])
        ] or _usual(library, name)
        given.append({"target": "", "spot": "", **dict.fromkeys(SIZES, "")})
    keys = ("target", "spot", *SIZES)
    return [
        row
        | {"said": [text for key in ("", *(f".{k}" for k in keys)) for text in said.get(f"placements.{n}{key}", [])]}
        for n, row in enumerate(given)
    ]


def _usual(library: Library, name: str) -> list[dict[str, Any]]:
    """Which targets this calibration places where, as another vehicle has it; the figures are this one's own."""
    other = next((one.specs[name] for one in library.vehicles.values() if name in one.specs), None)
    empty = dict.fromkeys(SIZES, "")
    return [{"target": one.target, "spot": one.spot, **empty} for one in other.placements] if other else []


def about_fields(document: Document, form: Mapping[str, str]) -> dict[str, str]:
    """The fields of the part `about`, as they stand in the document or were typed."""
    known = {name: str(document.get(name, "")) for name in ("maker", "model", "years")}
    known["vin"] = "\n".join(str(one) for one in document.get("vin", []))
    sizes = document.get("outline", {})
    known |= {f"outline.{name}": _bare(_split(str(sizes[name])), "mm") if name in sizes else "" for name in OUTLINE}
    return known | {name: form[name] for name in known if name in form}


def questions(shipped: Library, document: Document) -> list[Document]:
    """The questions that may be asked of a vehicle: its own, and those that the library's vehicles know."""
    made: dict[str, Document] = {}
    own = list(document.get("qualifiers", []))
    library = [one.model_dump(exclude_none=True) for v in shipped.vehicles.values() for one in v.qualifiers]
    for one in (*own, *library):
        there = made.setdefault(one["name"], {"name": one["name"], "ask": one["ask"], "options": []})
        values = {option["value"] for option in there["options"]}
        there["options"] = there["options"] + [option for option in one["options"] if option["value"] not in values]
    return list(made.values())
