"""The commands between shops and a head office."""

import os
from importlib.metadata import version
from pathlib import Path

import click

of_shop = click.option(
    "--data", type=click.Path(path_type=Path), default=None, help="Folder of the shop's data; else DATA, else ./data."
)


@click.command("join")
@click.argument("url")
@click.argument("code")
@click.option(
    "--authority",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    default=None,
    help="Certificate (PEM) that head office is trusted by; else this machine's own.",
)
@of_shop
def join_command(url: str, code: str, authority: Path | None, data: Path | None) -> None:
    """Join the head office at URL with the CODE that it made: finished jobs are sent there from now on."""
    from datetime import UTC, datetime

    from webapp.config import settings
    from webapp.forwarding import mark
    from webapp.storage.migrate import opened
    from webapp.storage.moments import instant
    from webapp.sync.forward import join
    from webapp.sync.line import line_to

    shop = settings(data=data)
    trusted = authority.read_text() if authority else ""
    with opened(shop.database_url) as made:
        name = join(made, shop, url, code, line_to(url, trusted), trusted, instant(datetime.now(UTC)))
    mark(shop.data).touch()
    click.echo(f"Head office calls this shop '{name}'; its finished jobs are sent there while it is served.")


@click.command("send")
@click.option("--stay", is_flag=True, help="Go on sending whatever comes; a shop that is served does so by itself.")
@click.option(
    "--beside", type=int, default=None, help="With --stay: the process that begins it, and that it ends with."
)
@of_shop
def send_command(stay: bool, beside: int | None, data: Path | None) -> None:
    """Send what waits to head office now."""
    from webapp import forwarding
    from webapp.config import settings

    shop = settings(data=data)
    if stay:
        forwarding.stay(shop, version("baybook"), beside or os.getppid())
    else:
        forwarding.send(shop, version("baybook"), click.echo)


@click.command("shop-code")
@click.argument("name")
@click.argument("region")
@click.option("--again", metavar="SHOP", default=None, help="For a shop that joins anew: its name here, shop-….")
@of_shop
def shop_code_command(name: str, region: str, again: str | None, data: Path | None) -> None:
    """Make a code by which the shop NAME in REGION joins this head office, within a week."""
    from datetime import UTC, datetime

    from webapp.config import settings
    from webapp.storage import office
    from webapp.storage.migrate import opened
    from webapp.storage.moments import instant
    from webapp.storage.office import door, shops

    url = settings(data=data).database_url
    office.prepare(url)
    with opened(url) as made, door.of_everything(made) as db:
        code = shops.make_code(db, name, region, "terminal", instant(datetime.now(UTC)), again)
    click.echo(code)


@click.command("release")
@click.argument("folder", required=False, type=click.Path(path_type=Path, exists=True, file_okay=False))
@click.option("--note", required=True, help="Why: every shop reads it beside what has changed.")
@of_shop
def release_command(folder: Path | None, note: str, data: Path | None) -> None:
    """Release the procedures and vehicles in FOLDER (else PROCEDURES) to every shop of this head office."""
    from datetime import UTC, datetime

    from webapp.config import settings
    from webapp.library.stock import need_workable, of_folder
    from webapp.storage import office
    from webapp.storage.migrate import opened
    from webapp.storage.moments import instant
    from webapp.storage.office import door, releases

    here = settings(data=data, procedures=folder)
    office.prepare(here.database_url)
    stock = of_folder(here.procedures)  # what lint finds fault with is not given to any shop
    need_workable(stock)
    now, signs = instant(datetime.now(UTC)), releases.signing(here.data)
    with opened(here.database_url) as made, door.of_everything(made) as db:
        done = releases.make(db, stock.files, note, "terminal", now, signs)
    files, number = len(done.release.files), done.release.number
    click.echo(f"Release {number}: {files} files, {done.changed} of them new or changed. Shops fetch it by themselves.")
