"""What every answer carries and every request must have: the security headers, and where a form may come from."""

from urllib.parse import urlsplit

from flask import Response, request

from webapp.core.errors import NotAllowed

POLICY = "; ".join(
    (
        "default-src 'self'",
        "img-src 'self' blob: data:",
        "object-src 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "form-action 'self'",
    )
)
ALWAYS = (
    ("Content-Security-Policy", POLICY),
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "same-origin"),
)
COMPILING = f"{POLICY}; script-src 'self' 'wasm-unsafe-eval'"
"""For the one worker that compiles WebAssembly, the reader of codes. No page may."""
COMPILERS = ("/static/app/reader/worker.js",)
SAFE = ("GET", "HEAD", "OPTIONS")


def refuse_foreign_forms() -> None:
    """A form of another site must not act here. The browser says where a request comes from; one that is no
    browser says nothing.

    Raises:
        NotAllowed: `foreign-form`.
    """
    if request.method in SAFE:
        return
    site = request.headers.get("Sec-Fetch-Site")
    origin = request.headers.get("Origin")
    # Only the host is compared: behind a proxy that ends TLS the scheme here is not the browser's.
    foreign = (
        site not in ("same-origin", "none") if site else origin is not None and urlsplit(origin).netloc != request.host
    )
    if foreign:
        raise NotAllowed(
            "foreign-form",
            "origin",
            f"origin={origin or site}: this form came from another site; open the page here and send it again",
        )


def add_headers(response: Response) -> Response:
    headers = response.headers
    if request.path in COMPILERS:
        headers["Content-Security-Policy"] = COMPILING
    present = {name.lower() for name, _ in headers}
    for name, value in ALWAYS:
        if name.lower() not in present:
            headers.add(name, value)
    if response.mimetype == "text/html":
        if "cache-control" not in present:
            headers.add("Cache-Control", "no-store")
        if "vary" in present:
            response.vary.add("HX-Request")
        else:
            headers.add("Vary", "HX-Request")  # read, merged and written again by `vary`, ten times as slow
    return response
