"""What phones, and whoever checks a record, ask of a shop's server. sync/README.md tells what the fields mean."""

from .terms import (
    ANY,
    COUNT,
    COUNT_OR_NULL,
    DIGEST,
    INSTANT,
    KEY,
    NUMBER,
    TEXT,
    TEXT_OR_NULL,
    WORD,
    YES_NO,
    Schema,
    each,
    of_path,
    operation,
    photo_in_pieces,
    query,
    shape,
)

PERSON = shape({"code": TEXT, "role": TEXT, "name": TEXT}, short=each(TEXT))
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

PATHS: dict[str, dict[str, Schema]] = {
    "/openapi.json": {"get": operation("This document", ANY)},
    "/app.json": {"get": operation("Templates, languages and policy for the phone's worker", ANY)},
    "/manifest.webmanifest": {"get": operation("What the phone installs", ANY)},
    "/words/{code}.json": {
        "get": operation(
            "What a language says", ANY, parameters=[of_path("code", {"enum": ["en", "es"]})], refuses=(404,)
        )
    },
    "/record-key.json": {"get": operation("The public half of the shop's key", KEY)},
    "/jobs/{job_id}/record.json": {
        "get": operation("A record that proves itself", ANY, parameters=[JOB], refuses=(404, 409))
    },
    "/phone/token": {"get": operation("What the forms of this browser carry", shape({"token": TEXT}))},
    "/phone/who": {
        "get": operation("Whose badge this browser holds", shape({"person": {"anyOf": [PERSON, {"type": "null"}]}}))
    },
    "/phone/witness": {
        "post": operation(
            "A supervisor's badge and PIN, checked",
            PERSON,
            form=shape({"badge": TEXT, "pin": TEXT}),
            refuses=(403, 404, 409),
        )
    },
    "/phone/label": {
        "post": operation(
            "The label in a photo",
            shape({"text": TEXT}),
            form=shape({"photo": {"type": "string", "format": "binary"}}),
            refuses=(403, 404),
        )
    },
    "/phone/vin": {
        "post": operation(
            "The VIN in a photo",
            shape({"text": TEXT, "sure": YES_NO}),
            form=shape({"photo": {"type": "string", "format": "binary"}}),
            refuses=(403, 404),
        )
    },
    "/sync/pair": {
        "post": operation(
            "Pair a phone by a code that a person made",
            shape({"device": TEXT, "name": TEXT, "highest": COUNT, "head": TEXT_OR_NULL, "now": INSTANT}),
            takes=shape({"code": TEXT, "key": KEY, "name": TEXT}, device=TEXT),
            refuses=(403, 409),
        )
    },
    "/sync/batches": {
        "post": operation(
            "What a phone recorded",
            TAKEN,
            takes=shape({"events": each(TEXT, 500)}, jobs=FACTS, mono_s=NUMBER),
            refuses=(409,),
            signed="phone",
        )
    },
    "/sync/choices": {
        "post": operation(
            "Who reads the short text of what",
            shape({"taken": COUNT}),
            takes=shape(
                {"choices": each(shape({"person": WORD, "procedure": WORD, "texts": {"enum": ["full", "short"]}}), 500)}
            ),
            signed="phone",
        )
    },
    "/sync/sign-ins": {
        "post": operation(
            "Who began to work with a phone, with the sealed PIN",
            shape({"answers": each(ANY), "person": TEXT_OR_NULL}),
            takes=shape(
                {"sign_ins": each(SIGN_IN, 40)},
                at_work=TEXT_OR_NULL,
                take=shape({"id": WORD, "seq": COUNT, "at": INSTANT}),
            ),
            refuses=(404, 409),
            signed="phone",
        )
    },
    "/sync/jobs": {
        "get": operation(
            "The jobs that a phone may work",
            shape(
                {"now": INSTANT, "jobs": each(ANY), "planned": each(ANY), "ended": each(ANY), "erased": each(TEXT)},
                release=COUNT_OR_NULL,
            ),
            signed="phone",
        )
    },
    "/sync/digests": {
        "post": operation(
            "What a phone compares with its own, of jobs that lie on it and are over",
            shape({"digests": ANY}),
            takes=shape({"jobs": each(TEXT, 500)}),
            signed="phone",
        )
    },
    "/sync/jobs/{job_id}/packet": {
        "get": operation("All that a phone needs of a job", ANY, parameters=[JOB], refuses=(404,), signed="phone")
    },
    "/sync/jobs/{job_id}/events": {
        "get": operation(
            "What happened on a job since",
            NEWS,
            parameters=[JOB, query("after", COUNT)],
            refuses=(404,),
            signed="phone",
        )
    },
    "/sync/shelf": {
        "get": operation(
            "The library, kit and people", ANY, parameters=[query("library", TEXT)], refuses=(304,), signed="phone"
        )
    },
    "/sync/texts/{code}": {
        "get": operation(
            "How the library reads in a language",
            ANY,
            parameters=[of_path("code", {"enum": ["es"]})],
            refuses=(304, 404),
            signed="phone",
        )
    },
    "/sync/photos/{sha256}": photo_in_pieces("phone"),
    "/sync/asides/{number}": {
        "post": operation(
            "A manager's decision about what was kept aside",
            ANY,
            parameters=[of_path("number", COUNT)],
            form=shape({"do": {"enum": ["bring-in", "leave-out"]}, "reason": TEXT}, all=TEXT),
            refuses=(403, 404, 409),
        )
    },
    "/sync/imports": {
        "post": operation(
            "A journal that a phone saved to a file, brought in by a manager",
            ANY,
            form=shape({"journal": {"type": "string", "format": "binary"}}),
            refuses=(403, 409),
        )
    },
}
