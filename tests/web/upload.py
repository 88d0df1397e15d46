"""A form with a file, as a browser sends it; made by hand, since the test client leaves a large one's copy open."""

from collections.abc import Mapping
from typing import TypedDict

BOUNDARY = "--------baybook-test"


class Sent(TypedDict):
    data: bytes
    content_type: str


def form_with(fields: Mapping[str, str], photo: bytes | None = None, filename: str = "photo.jpg") -> Sent:
    """What `client.post(path, **form_with(...))` sends: the fields, and the file in the field `photo`."""
    parts = [f'name="{name}"\r\n\r\n{value}'.encode() for name, value in fields.items()]
    if photo is not None:
        parts.append(f'name="photo"; filename="{filename}"\r\nContent-Type: image/jpeg\r\n\r\n'.encode() + photo)
    body = b"".join(f"--{BOUNDARY}\r\nContent-Disposition: form-data; ".encode() + part + b"\r\n" for part in parts)
    return {
        "data": body + f"--{BOUNDARY}--\r\n".encode(),
        "content_type": f"multipart/form-data; boundary={BOUNDARY}",
    }
