"""`baybook record`: one record as PDF, made by a process of its own."""

import fcntl
import gc
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from webapp.config import Settings


@contextmanager
def uncollected() -> Iterator[None]:
    """For a process that does one thing and ends: looking for garbage takes a second of its six, its end included."""
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        gc.enable()


def print_record(settings: Settings, job: str, path: Path, language: str, for_owner: bool) -> str:
    """Write the PDF of a job's record to `path`, unless somebody is just doing so. Return what was done, in a sentence.

    What goes wrong is left beside it, in a file that ends with `.failed`, for the page that waits.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    making = path.with_suffix(".making")
    with making.open("a+") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return f"{path} is being made already."

        def tell(step: int) -> None:
            lock.truncate(0)
            lock.write(str(step))
            lock.flush()

        try:
            from webapp.web.app import make_app  # without what phones and shops ask for: half a second less to read
            from webapp.web.records.paper import record_pdf

            app = make_app(settings)
            pdf = record_pdf(app, job, language, tell, for_owner)
            app.extensions["engine"].dispose()
            new = path.with_suffix(f".{secrets.token_hex(4)}")
            new.write_bytes(pdf)
            new.replace(path)
        except Exception as error:  # whatever it was, the page that waits must hear of it
            path.with_suffix(".failed").write_text(str(error) or type(error).__name__)
            raise
        finally:
            making.unlink(missing_ok=True)
    return f"The record of {job} is in {path}, {len(pdf) // 1000} kB."
