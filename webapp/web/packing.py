"""What is worth packing is packed for the wire: whole pages, styles and scripts."""

from flask import Flask, Response, request
from flask_compress import Compress

SAID_TWICE = ("Expires", "Content-Disposition")
"""Of a file of ours its age is told by `max-age` and its name by its address; each costs every file 40 bytes."""


def register(app: Flask) -> None:
    """Pack with Brotli, or with gzip for a browser on plain http, which asks for no better."""
    packings = ["br", "gzip"]
    app.config.update(COMPRESS_REGISTER=False, COMPRESS_ALGORITHM=packings, COMPRESS_ALGORITHM_STREAMING=packings)
    compress = Compress(app)

    @app.after_request
    def pack(response: Response) -> Response:
        if request.path.startswith("/static/"):
            for name in SAID_TWICE:
                response.headers.pop(name, None)
        # The answer to a tap is a few kB, which the air carries in less time than it takes to pack them.
        if "HX-Request" in request.headers:
            return response
        source = response.response
        packed = compress.after_request(response)
        if packed.response is not source and hasattr(source, "close"):
            packed.call_on_close(source.close)  # a file, which the packer reads and leaves open
        return packed
