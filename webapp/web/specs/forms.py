"""What the forms of a vehicle's figures send, put into its document; nothing is judged here, that is the linter's.

A document is what the vehicle's file would hold. A form has a part of it: `about`, `figures`, `questions`, `spec-NAME`
for a calibration, or `variant-N`. Fields are called as they stand in the part: `figures.yaw.nominal`, `outline.length`.
"""

import re
import unicodedata
from collections.abc import Iterable, Mapping
from copy import deepcopy
from typing import Any

from webapp.core.errors import BadInput, NotFound, shown
from webapp.core.procedure import Outline
from webapp.core.quantity import FORM

Document = dict[str, Any]
Form = Mapping[str, str]

NUMBERS = ("value", "nominal", "tolerance", "low", "high")
"""What a figure may consist of."""
OUTLINE = tuple(name.replace("_", "-") for name in Outline.model_fields)
SIZES = {"x": "mm", "y": "mm", "height": "mm", "yaw": "deg"}
"""Of a placement, what is typed, and in what."""
LONGEST = 200
BLANK_BETWEEN_DIGITS = re.compile(r"(?<=\d)[\u0020\u00a0\u2007\u2009\u202f](?=\d{3}\b)")
NAME = re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*")


def name_of(maker: str, model: str) -> str:
    """The vehicle's name in the library: its maker and model in small letters. Raises BadInput (`vehicle-name`)."""
    plain = unicodedata.normalize("NFKD", f"{maker} {model}").encode("ascii", "ignore").decode().lower()
    name = "-".join(re.findall("[a-z0-9]+", plain))
    if not maker.strip() or not model.strip() or not NAME.fullmatch(name) or len(name) > LONGEST:
        field = "model" if maker.strip() else "maker"
        given = model if maker.strip() else maker
        raise BadInput(
            "vehicle-name", field, f"{field}={shown(given)} must be the name of a vehicle, such as Carrier 2"
        )
    return name


def begun(name: str, maker: str, model: str) -> Document:
    """A vehicle of which nothing is known yet."""
    return {
        "vehicle": name,
        "maker": " ".join(maker.split()),
        "model": " ".join(model.split()),
        "years": "",
        "vin": [],
        "revision": 0,
        "outline": {},
        "source": "",
        "figures": {},
        "specs": {},
    }


def put(document: Document, part: str, form: Form, questions: Iterable[Document] = ()) -> Document:
    """The document with a part of it as the form has it; `questions` are those that may be asked.

    Raises NotFound (`part-unknown`) where it has no such part, or BadInput (`text-too-long`).
    """
    made = deepcopy(document)
    if part == "about":
        _about(made, form)
    elif part == "figures":
        made["figures"] = _figures(form)
        made["source"] = _text(form, "source")
    elif part == "questions":
        made["qualifiers"] = _questions(form, questions)
    elif part.startswith("spec-"):
        name = part.removeprefix("spec-")
        made["specs"][name] = _spec(need(made["specs"], name, part), form)
    else:
        variants = made.get("variants", [])
        number = int(part.removeprefix("variant-")) if re.fullmatch(r"variant-\d{1,3}", part) else -1
        need(dict(enumerate(variants)), number, part)["figures"] = _figures(form)
    for name in ("qualifiers", "variants"):
        if not made.get(name):
            made.pop(name, None)
    return made


def need(there: Mapping[Any, Any], name: Any, part: str) -> Any:
    """What is there under that name. Raises NotFound (`part-unknown`)."""
    if name not in there:
        raise NotFound("part-unknown", "part", f"part={shown(part)} is no part of this vehicle; choose one of its list")
    return there[name]


def numbered(before: Document, after: Document) -> Document:
    """The document with its revisions gone up: its own, and that of each calibration whose figures changed."""
    made = deepcopy(after) | {"revision": before["revision"] + 1}
    for name, spec in made["specs"].items():
        was = before["specs"].get(name)
        if was is not None and spec != was and isinstance(was.get("revision"), int):
            spec["revision"] = was["revision"] + 1
    return made


def _about(made: Document, form: Form) -> None:
    for name in ("maker", "model", "years"):
        made[name] = _text(form, name)
    made["vin"] = [one.upper() for one in form.get("vin", "").split()]
    sizes = {name: quantity(form.get(f"outline.{name}", ""), "mm") for name in OUTLINE}
    made["outline"] = {name: size for name, size in sizes.items() if size}


def _spec(was: Document, form: Form) -> Document:
    made = {"source": _text(form, "source"), "revision": was["revision"], "reference": form.get("reference", "")}
    figures, placements = _figures(form), _placements(form)
    return made | {"figures": figures} | ({"placements": placements} if placements else {})


def _figures(form: Form) -> Document:
    names = dict.fromkeys(key.split(".")[1] for key in form if key.startswith("figures.") and key.count(".") == 2)
    made = {name: _figure(form, f"figures.{name}") for name in names if NAME.fullmatch(name)}
    return {name: figure for name, figure in made.items() if figure}


def _figure(form: Form, at: str) -> Document:
    unit = form.get(f"{at}.unit", "")
    made: Document = {key: given for key in NUMBERS if (given := quantity(form.get(f"{at}.{key}", ""), unit))}
    if made:
        made |= {key: text for key in ("reference", "source") if (text := _text(form, f"{at}.{key}"))}
        if number := _text(form, f"{at}.revision"):
            made["revision"] = int(number) if re.fullmatch("[0-9]{1,9}", number) else number
    return made


def _placements(form: Form) -> list[Document]:
    rows = sorted({int(found[1]) for key in form if (found := re.fullmatch(r"placements\.(\d{1,3})\.target", key))})
    return [row for number in rows if (row := _placement(form, f"placements.{number}"))]


def _placement(form: Form, at: str) -> Document | None:
    """A target's place; None where no figure of it is typed."""
    sizes = {key: given for key, unit in SIZES.items() if (given := quantity(form.get(f"{at}.{key}", ""), unit))}
    return {key: form.get(f"{at}.{key}", "") for key in ("target", "spot")} | sizes if sizes else None


def _questions(form: Form, known: Iterable[Document]) -> list[Document]:
    """The questions of which an answer is ticked, with the answers that are."""
    ticked = [
        one | {"options": [option for option in one["options"] if f"ask.{one['name']}.{option['value']}" in form]}
        for one in known
    ]
    return [one for one in ticked if one["options"]]


def quantity(text: str, unit: str) -> str:
    """A number as typed, with its unit behind it; as it stands where that is there already, or it is no number."""
    text = BLANK_BETWEEN_DIGITS.sub("", " ".join(text.split())).replace("\u2212", "-").replace(",", ".")
    if not text:
        return ""
    found = FORM.match(text)
    return f"{text} {unit}" if found and not found[2] else text


def _text(form: Form, name: str) -> str:
    """A text in one line. Raises BadInput (`text-too-long`)."""
    text = " ".join("".join(sign if sign.isprintable() else " " for sign in form.get(name, "")).split())
    if len(text) > LONGEST:
        raise BadInput("text-too-long", name, f"{name} has {len(text)} characters; at most {LONGEST} are kept")
    return text
