"""What the routes that speak JSON take and give, as an OpenAPI 3.1 document: /openapi.json.

The pages are no part of it: they are for people, and each works without a script. A test holds that none lacks.
"""

from functools import lru_cache

from flask import Flask, Response, jsonify

from . import office, shop
from .terms import Schema


@lru_cache
def document(head_office: bool = False) -> Schema:
    """Of a shop's server, or of a head office's, which answers the same and its shops as well."""
    signers = {"phone": "device", "shop": "shop"} if head_office else {"phone": "device"}
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Baybook",
            "version": "1",
            "description": "What phones, shops, and whoever checks a record, ask of a server. "
            "webapp/sync/README.md tells what the fields mean.",
        },
        "paths": shop.PATHS | (office.PATHS if head_office else {}),
        "components": {
            "securitySchemes": {
                name: {
                    "type": "apiKey",
                    "in": "header",
                    "name": "Authorization",
                    "description": f"Baybook {said}=…, at=…, signature=…: ECDSA P-256 over method, path, time and body",
                }
                for name, said in signers.items()
            }
        },
    }


def register(app: Flask, head_office: bool) -> None:
    @app.get("/openapi.json")
    def show_openapi() -> Response:
        return jsonify(document(head_office))
