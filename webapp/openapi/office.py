"""What shops ask of their head office. sync/README.md tells what the fields mean."""

from .terms import (
    ANY,
    COUNT,
    DAY,
    DIGEST,
    INSTANT,
    KEY,
    TEXT,
    WORD,
    Schema,
    each,
    of_path,
    operation,
    photo_in_pieces,
    shape,
)

ENTRY = shape({"number": COUNT, "entry": TEXT, "path": each(DIGEST)}, body=ANY)
HEAD = shape({"size": COUNT, "root": DIGEST, "at": INSTANT, "signature": TEXT})
BUNDLE = shape(
    {
        "baybook-bundle": COUNT,
        "version": TEXT,
        "since": COUNT,
        "head": HEAD,
        "consistency": each(DIGEST),
        "entries": each(ENTRY, 200),
    }
)
DECISION = shape(
    {
        "id": COUNT,
        "number": COUNT,
        "decision": {"enum": ["approved", "declined"]},
        "at": INSTANT,
        "by": TEXT,
        "why": TEXT,
    }
)
ITEM = shape(
    dict.fromkeys(("code", "kind", "is", "name", "condition"), TEXT)
    | {name: {"anyOf": [DAY, {"type": "null"}]} for name in ("inspected_on", "inspection_due")}
    | {"wrong": COUNT, "scans": COUNT}
)

PATHS: dict[str, dict[str, Schema]] = {
    "/office/join": {
        "post": operation(
            "A shop with the code that head office made for it",
            shape(
                {
                    "shop": WORD,
                    "name": TEXT,
                    "region": TEXT,
                    "key": KEY,
                    "size": COUNT,
                    "head_size": COUNT,
                    "now": INSTANT,
                }
            ),
            takes=shape({"code": TEXT, "key": KEY, "signature": TEXT}),
            refuses=(401, 403, 404, 409),
        )
    },
    "/office/standing": {
        "get": operation(
            "How far a shop's log has come, and which photos lack",
            shape(
                {"shop": WORD, "size": COUNT, "head_size": COUNT, "photos": each(DIGEST), "now": INSTANT},
                kit={"anyOf": [DIGEST, {"type": "null"}]},
            ),
            refuses=(404,),
            signed="shop",
        )
    },
    "/office/bundles": {
        "post": operation(
            "The next entries of a shop's log, with what was recorded",
            shape({"size": COUNT, "cosigned": HEAD, "answers": each(ANY), "photos": each(DIGEST)}),
            takes=BUNDLE,
            refuses=(404, 409),
            signed="shop",
        )
    },
    "/office/kit": {
        "put": operation(
            "All of a shop's kit, in place of what it told before",
            shape({"kit": DIGEST}),
            takes=shape({"baybook-kit": COUNT, "items": each(ITEM, 100)}),
            refuses=(404,),
            signed="shop",
        )
    },
    "/office/photos/{sha256}": photo_in_pieces("shop"),
    "/office/releases/newest": {
        "get": operation(
            "The newest release; 204 where there is none",
            shape({"manifest": TEXT, "signature": TEXT}),
            refuses=(204, 304, 404),
            signed="shop",
        )
    },
    "/office/releases/files/{sha256}": {
        "get": operation(
            "What a file of a release holds",
            None,
            parameters=[of_path("sha256", DIGEST)],
            refuses=(404,),
            signed="shop",
        )
    },
    "/office/releases/answers": {
        "post": operation(
            "What a shop decided about releases, and by which it works",
            shape({"told": COUNT}),
            takes=shape({"answers": each(DECISION, 500), "works_by": COUNT}),
            refuses=(404, 409),
            signed="shop",
        )
    },
}
