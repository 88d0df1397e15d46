"""What the routes that speak JSON take and give, as an OpenAPI 3.1 document: /openapi.json.

The pages are no part of it: they are for people, and each works without a script. A test holds that none lacks.
"""

from functools import lru_cache
from typing import Any

from flask import Flask, Response, jsonify

Schema = dict[str, Any]

TEXT: Schema = {"type": "string"}
WORD: Schema = {"type": "string", "minLength": 1, "maxLength": 64}
TEXT_OR_NULL: Schema = {"type": ["string", "null"]}
COUNT: Schema = {"type": "integer", "minimum": 0}
NUMBER: Schema = {"type": "number"}
YES_NO: Schema = {"type": "boolean"}
INSTANT: Schema = {"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{3}Z$"}
DIGEST: Schema = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
ANY: Schema = {"type": "object"}


def each(items: Schema, most: int | None = None) -> Schema:
    return {"type": "array", "items": items} | ({"maxItems": most} if most else {})


def shape(needed: dict[str, Schema], **also: Schema) -> Schema:
    """An object with these fields and, where `also` names any, those that may be there."""
    return {"type": "object", "required": sorted(needed), "properties": needed | also}


KEY = shape({"kty": {"const": "EC"}, "crv": {"const": "P-256"}, "x": TEXT, "y": TEXT})
PERSON = shape({"code": TEXT, "role": TEXT, "name": TEXT}, short=each(TEXT))
ERROR = shape({"error": shape({"code": TEXT, "field": TEXT, "message": TEXT})})
LINES = each(shape({"server_seq": COUNT, "sha256": DIGEST, "line": TEXT}))
NEWS = shape(
    {"events": LINES, "more": YES_NO, "differences": each(ANY), "digest": DIGEST, "last": COUNT, "now": INSTANT}
)
FACTS = each(TEXT, 500)
TAKEN = shape(
    {
        "device": TEXT,
        "now": INSTANT,
        "highest": COUNT,
        "offset_s": {"type": ["number", "null"]},
        "answers": each(shape({"seq": COUNT, "status": {"enum": ["kept", "known", "aside", "refused"]}})),
        "jobs": each(shape({"id": TEXT, "status": {"enum": ["made", "known", "refused"]}})),
        "digests": ANY,
    }
)
SIGN_IN = shape({"id": WORD, "person": WORD, "at": INSTANT, "seq": COUNT, "seal": ANY}, begun=YES_NO)
JOB = {"name": "job_id", "in": "path", "required": True, "schema": WORD}
PHOTO = {"name": "sha256", "in": "path", "required": True, "schema": DIGEST}
SIGNED = [{"phone": list[str]()}]


def _operation(
    summary: str,
    gives: Schema | None,
    *,
    takes: Schema | None = None,
    form: Schema | None = None,
    parameters: list[Schema] | None = None,
    refuses: tuple[int, ...] = (),
    signed: bool = False,
    status: int = 200,
) -> Schema:
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
        made["security"] = SIGNED
    return made


def _query(name: str, schema: Schema) -> Schema:
    return {"name": name, "in": "query", "required": False, "schema": schema}


def _of_path(name: str, schema: Schema) -> Schema:
    return {"name": name, "in": "path", "required": True, "schema": schema}


PATHS: dict[str, dict[str, Schema]] = {
    "/openapi.json": {"get": _operation("This document", ANY)},
    "/app.json": {"get": _operation("Templates, languages and policy for the phone's worker", ANY)},
    "/manifest.webmanifest": {"get": _operation("What the phone installs", ANY)},
    "/words/{code}.json": {
        "get": _operation(
            "What a language says", ANY, parameters=[_of_path("code", {"enum": ["en", "es"]})], refuses=(404,)
        )
    },
    "/record-key.json": {"get": _operation("The public half of the shop's key", KEY)},
    "/jobs/{job_id}/record.json": {
        "get": _operation("A record that proves itself", ANY, parameters=[JOB], refuses=(404, 409))
    },
    "/phone/token": {"get": _operation("What the forms of this browser carry", shape({"token": TEXT}))},
    "/phone/who": {
        "get": _operation("Whose badge this browser holds", shape({"person": {"anyOf": [PERSON, {"type": "null"}]}}))
    },
    "/phone/witness": {
        "post": _operation(
            "A supervisor's badge and PIN, checked",
            PERSON,
            form=shape({"badge": TEXT, "pin": TEXT}),
            refuses=(403, 404, 409),
        )
    },
    "/phone/label": {
        "post": _operation(
            "The label in a photo",
            shape({"text": TEXT}),
            form=shape({"photo": {"type": "string", "format": "binary"}}),
            refuses=(403, 404),
        )
    },
    "/phone/vin": {
        "post": _operation(
            "The VIN in a photo",
            shape({"text": TEXT, "sure": YES_NO}),
            form=shape({"photo": {"type": "string", "format": "binary"}}),
            refuses=(403, 404),
        )
    },
    "/sync/pair": {
        "post": _operation(
            "Pair a phone by a code that a person made",
            shape({"device": TEXT, "name": TEXT, "highest": COUNT, "head": TEXT_OR_NULL, "now": INSTANT}),
            takes=shape({"code": TEXT, "key": KEY, "name": TEXT}, device=TEXT),
            refuses=(403, 409),
        )
    },
    "/sync/batches": {
        "post": _operation(
            "What a phone recorded",
            TAKEN,
            takes=shape({"events": each(TEXT, 500)}, jobs=FACTS, mono_s=NUMBER),
            refuses=(409,),
            signed=True,
        )
    },
    "/sync/choices": {
        "post": _operation(
            "Who reads the short text of what",
            shape({"taken": COUNT}),
            takes=shape(
                {"choices": each(shape({"person": WORD, "procedure": WORD, "texts": {"enum": ["full", "short"]}}), 500)}
            ),
            signed=True,
        )
    },
    "/sync/sign-ins": {
        "post": _operation(
            "Who began to work with a phone, with the sealed PIN",
            shape({"answers": each(ANY), "person": TEXT_OR_NULL}),
            takes=shape(
                {"sign_ins": each(SIGN_IN, 40)},
                at_work=TEXT_OR_NULL,
                take=shape({"id": WORD, "seq": COUNT, "at": INSTANT}),
            ),
            refuses=(404, 409),
            signed=True,
        )
    },
    "/sync/jobs": {
        "get": _operation(
            "The jobs that a phone may work",
            shape({"now": INSTANT, "jobs": each(ANY), "planned": each(ANY), "ended": each(ANY), "erased": each(TEXT)}),
            signed=True,
        )
    },
    "/sync/jobs/{job_id}/packet": {
        "get": _operation("All that a phone needs of a job", ANY, parameters=[JOB], refuses=(404,), signed=True)
    },
    "/sync/jobs/{job_id}/events": {
        "get": _operation(
            "What happened on a job since",
            NEWS,
            parameters=[JOB, _query("after", COUNT)],
            refuses=(404,),
            signed=True,
        )
    },
    "/sync/shelf": {
        "get": _operation(
            "The library, kit and people", ANY, parameters=[_query("library", TEXT)], refuses=(304,), signed=True
        )
    },
    "/sync/texts/{code}": {
        "get": _operation(
            "How the library reads in a language",
            ANY,
            parameters=[_of_path("code", {"enum": ["es"]})],
            refuses=(304, 404),
            signed=True,
        )
    },
    "/sync/photos/{sha256}": {
        "head": _operation(
            "How much of a photo has come", None, parameters=[PHOTO], refuses=(404,), signed=True, status=204
        ),
        "patch": _operation(
            "The next piece of a photo",
            None,
            parameters=[
                PHOTO,
                {"name": "Upload-Offset", "in": "header", "required": True, "schema": COUNT},
                {"name": "Upload-Length", "in": "header", "required": True, "schema": COUNT},
            ],
            refuses=(404, 409, 413),
            signed=True,
            status=204,
        ),
    },
    "/sync/asides/{number}": {
        "post": _operation(
            "A manager's decision about what was kept aside",
            ANY,
            parameters=[_of_path("number", COUNT)],
            form=shape({"do": {"enum": ["bring-in", "leave-out"]}, "reason": TEXT}, all=TEXT),
            refuses=(403, 404, 409),
        )
    },
    "/sync/imports": {
        "post": _operation(
            "A journal that a phone saved to a file, brought in by a manager",
            ANY,
            form=shape({"journal": {"type": "string", "format": "binary"}}),
            refuses=(403, 409),
        )
    },
}


@lru_cache
def document() -> Schema:
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Baybook",
            "version": "1",
            "description": "What phones, and whoever checks a record, ask of a shop's server. "
            "webapp/sync/README.md tells what the fields mean.",
        },
        "paths": PATHS,
        "components": {
            "securitySchemes": {
                "phone": {
                    "type": "apiKey",
                    "in": "header",
                    "name": "Authorization",
                    "description": "Baybook device=…, at=…, signature=…: ECDSA P-256 over method, path, time and body",
                }
            }
        },
    }


def register(app: Flask) -> None:
    @app.get("/openapi.json")
    def show_openapi() -> Response:
        return jsonify(document())
