"""The group all commands belong to."""

from __future__ import annotations

import click

from clothwright import __version__


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="clothwright")
def commands() -> None:
    """Plan handwoven cloth for garments: from yarn in hand to a verdict that says how sure it is."""
