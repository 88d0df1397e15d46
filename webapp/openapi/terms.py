"""What the documents are written in: schemas that come up again, and what an operation takes, gives and refuses."""

from typing import Any

Schema = dict[str, Any]

TEXT: Schema = {"type": "string"}
WORD: Schema = {"type": "string", "minLength": 1, "maxLength": 64}
TEXT_OR_NULL: Schema = {"type": ["string", "null"]}
COUNT: Schema = {"type": "integer", "minimum": 0}
COUNT_OR_NULL: Schema = {"type": ["integer", "null"], "minimum": 0}
NUMBER: Schema = {"type": "number"}
YES_NO: Schema = {"type": "boolean"}
INSTANT: Schema = {"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{3}Z$"}
DAY: Schema = {"type": "string", "format": "date"}
DIGEST: Schema = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
ANY: Schema = {"type": "object"}


def each(items: Schema, most: int | None = None) -> Schema:
    return {"type": "array", "items": items} | ({"maxItems": most} if most else {})


def shape(needed: dict[str, Schema], **also: Schema) -> Schema:
    """An object with these fields and, where `also` names any, those that may be there."""
    return {"type": "object", "required": sorted(needed), "properties": needed | also}


KEY = shape({"kty": {"const": "EC"}, "crv": {"const": "P-256"}, "x": TEXT, "y": TEXT})
ERROR = shape({"error": shape({"code": TEXT, "field": TEXT, "message": TEXT})})
PHOTO = {"name": "sha256", "in": "path", "required": True, "schema": DIGEST}


def operation(
    summary: str,
    gives: Schema | None,
    *,
    takes: Schema | None = None,
    form: Schema | None = None,
    parameters: list[Schema] | None = None,
    refuses: tuple[int, ...] = (),
    signed: str = "",
    status: int = 200,
) -> Schema:
    """`signed` names who signs what is asked, as the document's security schemes do."""
    content = {"content": {"application/json": {"schema": gives}}} if gives else {}
    refused = {
        "description": "Refused: what is wrong, and what to do",
        "content": {"application/json": {"schema": ERROR}},
    }
    # What cannot be read is refused with 400, who does not sign with 401, what is too much with 413.
    codes = {400, *refuses, *((401, 403) if signed else ()), *((413, 415) if takes or form else ()), 503}
    made: Schema = {
        "summary": summary,
        "responses": {str(status): {"description": "Done", **content}} | {str(one): refused for one in sorted(codes)},
    }
    if takes:
        made["requestBody"] = {"required": True, "content": {"application/json": {"schema": takes}}}
    if form:
        made["requestBody"] = {"required": True, "content": {"multipart/form-data": {"schema": form}}}
    if parameters:
        made["parameters"] = parameters
    if signed:
        made["security"] = [{signed: list[str]()}]
    return made


def query(name: str, schema: Schema) -> Schema:
    return {"name": name, "in": "query", "required": False, "schema": schema}


def of_path(name: str, schema: Schema) -> Schema:
    return {"name": name, "in": "path", "required": True, "schema": schema}


def photo_in_pieces(signed: str) -> dict[str, Schema]:
    """The two operations by which a photo comes in pieces, as `sync/replies.py` answers them."""
    offsets = [
        {"name": name, "in": "header", "required": True, "schema": COUNT} for name in ("Upload-Offset", "Upload-Length")
    ]
    return {
        "head": operation(
            "How much of a photo has come", None, parameters=[PHOTO], refuses=(404,), signed=signed, status=204
        ),
        "patch": operation(
            "The next piece of a photo",
            None,
            parameters=[PHOTO, *offsets],
            refuses=(404, 409, 413),
            signed=signed,
            status=204,
        ),
    }
