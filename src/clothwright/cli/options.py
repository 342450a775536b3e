"""Options that several commands have, each worded once, and the answer in JSON."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

PROJECT_FILE = click.argument("file", type=click.Path(path_type=Path))
AS_JSON = click.option(
    "--json", "as_json", is_flag=True, help="Answer in JSON: cm, m, g, threads per cm, shares 0 to 1."
)
SEED = click.option("--seed", type=click.IntRange(min=0), default=None, help="Seed of the layout search.")
PAST = click.option(
    "--past",
    multiple=True,
    type=click.Path(path_type=Path),
    help="A past project, a folder of them, or a table of cloths (CSV); again for each.",
)
ROUNDS = click.option(
    "--rounds",
    type=click.IntRange(min=1),
    help="Search so many rounds instead, with no clock: the same seed gives the same answer anywhere.",
)
#: How long a layout is searched where nothing else is said.
DEFAULT_SECONDS = 4.0
_Command = TypeVar("_Command", bound=Callable[..., Any])


def seconds_of(default: float) -> Callable[[_Command], _Command]:
    """The option that says how long layouts are searched for, `default` where it is left out."""
    return click.option(
        "--seconds",
        type=click.FloatRange(min=0),
        default=default,
        show_default=True,
        help="Time to search for layouts.",
    )


def answered_in_json(answer: dict[str, Any], as_json: bool) -> bool:
    """Print the JSON when it was asked for; False when text is to be shown."""
    if as_json:
        click.echo(json.dumps(answer, indent=2, ensure_ascii=False, allow_nan=False))
    return as_json
