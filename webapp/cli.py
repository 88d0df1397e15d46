"""The baybook command: everything that can be done without a page."""

import json
import sys
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from webapp import cli_office
from webapp.cli_office import of_shop
from webapp.core.errors import BaybookError

REFUSED = 2
KEY = click.Path(path_type=Path, exists=True, dir_okay=False)


class Refusing(click.Group):
    """A refusal is told in one line and ends with status 2, not with a stack trace."""

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except BaybookError as error:
            click.echo(f"baybook: {error.message}", err=True)
            ctx.exit(REFUSED)


@click.group(cls=Refusing)
@click.version_option(package_name="baybook")
def main() -> None:
    """A job guide for driver-assistance calibration."""


for command in (
    cli_office.join_command,
    cli_office.send_command,
    cli_office.shop_code_command,
    cli_office.release_command,
):
    main.add_command(command)


@main.command()
@click.option("--demo", is_flag=True, help="Fill an empty shop with the demo shop.")
@click.option("--port", type=int, default=None, help="Port to listen on; else PORT, else 8080.")
@of_shop
@click.option("--host", default=None, help="Address to listen on; else HOST, else all.")
@click.option("--head-office", is_flag=True, help="Collect the finished jobs of shops; DATABASE_URL is a PostgreSQL.")
def serve(demo: bool, port: int | None, data: Path | None, host: str | None, head_office: bool) -> None:
    """Serve the shop and print its address with a QR code."""
    from webapp.config import settings
    from webapp.serve import run

    run(settings(port=port, data=data, host=host, head_office="yes" if head_office else None), demo)


@main.command("demo")
@of_shop
@click.option("--jobs", type=click.IntRange(0), default=40, show_default=True, help="Finished jobs in the history.")
@click.option("--seed", type=int, default=1, show_default=True, help="The same seed makes the same history.")
def demo_command(data: Path | None, jobs: int, seed: int) -> None:
    """Fill an empty shop with the demo shop and a history of finished jobs; more than 300 are one of several years."""
    from webapp.config import settings
    from webapp.serve import fill_demo

    click.echo(fill_demo(settings(data=data), jobs, seed))


@main.command("rebuild")
@of_shop
def rebuild_command(data: Path | None) -> None:
    """Work out the times of every finished job anew from the journal, also while the shop is served."""
    from webapp.config import settings
    from webapp.storage.migrate import opened
    from webapp.storage.times import rebuild

    with opened(settings(data=data).database_url) as made:
        click.echo(f"The times of {rebuild(made)} finished jobs were worked out anew from the journal.")


@main.command("catch-up")
@of_shop
def catch_up_command(data: Path | None) -> None:
    """Enter jobs that ended before there was a log, also while the shop is served, which does so when it begins."""
    from webapp.config import settings
    from webapp.storage import log
    from webapp.storage.migrate import opened

    with opened(settings(data=data).database_url) as made:
        click.echo(f"{log.catch_up(made)} jobs were entered into the log.")


@main.command("retain")
@of_shop
def retain_command(data: Path | None) -> None:
    """Erase what this shop keeps no longer (KEEP_VEHICLE, KEEP_PHOTOS); a shop that is served does so every night."""
    from datetime import UTC, datetime

    from webapp.config import settings
    from webapp.retention import retain

    click.echo(retain(settings(data=data), datetime.now(UTC)))


@main.command("owner-data")
@click.argument("vin")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@of_shop
def owner_data_command(vin: str, file: Path, data: Path | None) -> None:
    """Write all that the shop holds of the vehicle with that VIN to FILE, a zip, for its owner."""
    from webapp.config import settings
    from webapp.core.errors import NotFound
    from webapp.storage import privacy
    from webapp.storage.engine import session
    from webapp.storage.migrate import opened
    from webapp.storage.owner_data import owner_data

    shop = settings(data=data)
    with opened(shop.database_url) as made, session(made) as held:
        if not (jobs := privacy.jobs_of_vehicle(held, vin)):
            raise NotFound("vin-unknown", "vin", "vin: this shop holds no job on a vehicle with that VIN")
        file.write_bytes(owner_data(held, shop.photos, jobs))
    click.echo(f"{file} has what this shop holds of the vehicle, {len(jobs)} jobs.")


@main.command("verify")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option(
    "--key",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    required=True,
    help="The shop's public key, from its address at /record-key.json.",
)
def verify_command(files: tuple[Path, ...], key: Path) -> None:
    """Check records that were handed out, PDF or JSON, offline: a line of JSON each; status 2 if one was changed."""
    from webapp.verify import verify

    unchanged = True
    for answer in verify(files, key):
        click.echo(json.dumps(answer, ensure_ascii=False))
        unchanged = unchanged and answer["unchanged"]
    sys.exit(0 if unchanged else REFUSED)


@main.command("record")
@click.argument("job")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--language", default="en", show_default=True)
@click.option("--owner", is_flag=True, help="The one page for the vehicle's owner instead.")
@of_shop
def record_command(job: str, file: Path, language: str, owner: bool, data: Path | None) -> None:
    """Write the record of an ended JOB, by its id, as a signed PDF to FILE."""
    from webapp.config import settings
    from webapp.printing import print_record, uncollected

    with uncollected():
        click.echo(print_record(settings(data=data), job, file, language, owner))


@main.command("backup")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
@of_shop
@click.option(
    "--key", type=KEY, default=None, help="File with an age key: the copy is encrypted to it; else BACKUP_KEY."
)
def backup_command(folder: Path, data: Path | None, key: Path | None) -> None:
    """Copy everything the shop keeps to FOLDER, also while it is served, and try the copy out."""
    from webapp.backup import backup
    from webapp.config import settings

    shop = settings(data=data, backup_key=key)
    click.echo(backup(shop, folder, shop.backup_key))


@main.command("backup-key")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
def backup_key_command(file: Path) -> None:
    """Make a key for encrypted backups in FILE. Keep it elsewhere too: without it no copy can be put back."""
    from webapp.lockbox import make_key

    click.echo(f"{file} holds the key of {make_key(file)}; keep a copy of it elsewhere.")


@main.command("restore")
@click.argument("folder", type=click.Path(path_type=Path, exists=True, file_okay=False))
@click.option(
    "--data", type=click.Path(path_type=Path), default=None, help="Folder to put it back to; else DATA, else ./data."
)
@click.option("--key", type=KEY, default=None, help="File with the copy's age key; else BACKUP_KEY.")
@click.option("--replace", is_flag=True, help="Move the shop that is there aside first.")
def restore_command(folder: Path, data: Path | None, key: Path | None, replace: bool) -> None:
    """Put the copy in FOLDER back, into an empty data folder; phones then send again what is missing."""
    from webapp.backup import restore
    from webapp.config import settings

    shop = settings(data=data, backup_key=key)
    click.echo(restore(shop, folder, shop.backup_key, replace))


@main.command()
@click.argument("folder", type=click.Path(path_type=Path, exists=True, file_okay=False), required=False)
@click.option("--schema", is_flag=True, help="Print the files' JSON Schema instead.")
@click.option(
    "--translations", is_flag=True, help="Ask for the translations too, of procedures, messages and refusals."
)
@click.option("--start", metavar="LANGUAGE", help="Write what a new language lacks, to be filled in: fr, pt-BR.")
def lint(folder: Path | None, schema: bool, translations: bool, start: str | None) -> None:
    """Check the procedures; a finding is printed as file:line: what, and what was expected."""
    from webapp.library.lint import lint_schema, report
    from webapp.library.skeleton import begin
    from webapp.paths import PROCEDURES

    if start:
        for path in begin(start, folder or PROCEDURES):
            click.echo(path)
        return

    if schema:
        click.echo(json.dumps(lint_schema(), indent=2))
        return
    lines, status = report(folder or PROCEDURES, translations)
    for line in lines:
        click.echo(line)
    sys.exit(status)


@main.command()
@click.argument("procedure")
@click.option(
    "--folder", type=click.Path(path_type=Path, exists=True, file_okay=False), help="Another library's folder."
)
@click.option("--port", type=int, default=8090, show_default=True)
@click.option("--host", default="127.0.0.1", show_default=True, help="0.0.0.0 to look at it on a phone.")
def preview(procedure: str, folder: Path | None, port: int, host: str) -> None:
    """Show PROCEDURE as the phone does, and anew whenever one of the library's files is saved."""
    from werkzeug.serving import run_simple

    from webapp.paths import PROCEDURES
    from webapp.web.preview import make_preview

    app = make_preview(folder or PROCEDURES, procedure)
    click.echo(f"http://{host}:{port}/ shows {procedure}; Ctrl+C ends it.")
    run_simple(host, port, app, threaded=True)


@main.command()
@click.argument("method")
def compute(method: str) -> None:
    """Read JSON Lines on standard input and write one line of JSON for each: see README."""
    from webapp.core.compute import compute_lines

    refused = False
    # Whatever the locale: JSON is UTF-8, and a broken byte spoils its own line only.
    given = (line.decode("utf-8", "replace") for line in sys.stdin.buffer)
    today = datetime.now().astimezone().date().isoformat()
    for line, was_refused in compute_lines(method, given, today):
        click.echo(line)
        refused = refused or was_refused
    sys.exit(REFUSED if refused else 0)


@main.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
def decode(files: Iterable[Path]) -> None:
    """Read the codes in photos; write a line of JSON for each file."""
    from webapp.decode import decode_lines

    refused = False
    for line in decode_lines(files):
        click.echo(json.dumps(line, ensure_ascii=False))
        refused = refused or "error" in line
    sys.exit(REFUSED if refused else 0)


@main.command()
@click.argument("file", type=click.File(encoding="utf-8", errors="replace"))
def replay(file: Iterable[str]) -> None:
    """Fold a journal with its sheet and write the state: the first line is {"sheet": …}, each further one an event."""
    from webapp.core.replay import replay_lines

    click.echo(json.dumps(replay_lines(file), ensure_ascii=False))


if __name__ == "__main__":
    main()
