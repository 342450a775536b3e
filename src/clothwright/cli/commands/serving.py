"""Commands that serve the pages: the demo, this machine, a shared studio."""

from __future__ import annotations

import os
from pathlib import Path

import click

from clothwright.cli.failing import asked
from clothwright.cli.group import commands
from clothwright.cli.options import seconds_of


@commands.command("demo")
@click.option("-o", "--out", type=click.Path(path_type=Path, file_okay=False), default=Path("out"), show_default=True)
@click.option("--serve/--no-serve", default=True, show_default=True, help="Then serve the pages with the demo open.")
@click.option("--port", type=int, default=8765, show_default=True)
@seconds_of(10.0)
def demo_command(out: Path, serve: bool, port: int, seconds: float) -> None:
    """Plan the demo garment, print its sheets, then serve the pages with it open."""
    from clothwright.cli.papers import print_sheets
    from clothwright.cli.planned import demo_file, demo_given, found_layout, planned
    from clothwright.cli.show_plan import show_plan

    with asked(demo_file()):
        project, plan = planned(demo_file(), seconds=seconds, seed=None)
        written = [*print_sheets(project, plan, demo_file(), out), *demo_given(out)]
    show_plan(plan, imperial=False)
    click.echo("\n".join(f"Written: {path}" for path in written))
    if serve:
        from clothwright.web.serve import serve as serve_pages

        with asked():
            found = found_layout(demo_file(), plan)
            serve_pages(host="127.0.0.1", port=port, open_project=demo_file(), found=found)


@commands.command("serve")
@click.option("--host", default=None, help="Address to serve at; left out, this machine alone (127.0.0.1).")
@click.option("--port", type=int, default=8765, show_default=True)
@click.option(
    "--phone", is_flag=True, help="Serve phones on the home network too: over TLS, by a word. --host names it."
)
@click.option("--phone-port", type=int, default=8766, show_default=True)
@click.option("--new-word", is_flag=True, help="With --phone: a new word, which shuts out every phone let in before.")
@click.option("--studio", is_flag=True, help="As a shared studio: members sign in, and each sees what is hers.")
@click.option(
    "--log",
    type=click.Choice(["json", "text"]),
    default=None,
    help="Tell of every answer, on standard error, without names.",
)
def serve_command(
    host: str | None, port: int, phone: bool, phone_port: int, new_word: bool, studio: bool, log: str | None
) -> None:
    """Serve the pages on this machine."""
    from clothwright.cli.serving import serve_asked

    if log is not None:
        os.environ["CLOTHWRIGHT_LOG"] = log
    with asked():
        serve_asked(host, port, phone=phone, phone_port=phone_port, new_word=new_word, studio=studio)


@commands.group("studio")
def studio_commands() -> None:
    """Help who keeps a shared studio, from its own machine."""


@studio_commands.command("keeper")
@click.argument("email")
@click.option("--name", required=True, help="The name others of her groups see.")
@click.password_option(help="Left out, it is asked for.")
def keeper_command(email: str, name: str, password: str) -> None:
    """Make the member with the address EMAIL the first keeper; what was kept here before becomes hers."""
    from clothwright.cli.studio import keeper_made

    with asked():
        click.echo(keeper_made(email, name, password))


@studio_commands.command("password")
@click.argument("email")
@click.password_option(help="Left out, it is asked for.")
def password_command(email: str, password: str) -> None:
    """Give the member with the address EMAIL a new password, which signs her out everywhere."""
    from clothwright.cli.studio import password_set

    with asked():
        click.echo(password_set(email, password))
