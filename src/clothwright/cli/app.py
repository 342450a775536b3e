"""The command line put together: the commands stand in `commands/`, by subject. Each reads what was given, asks the core once, and shows the answer as text or JSON.

Exit status: 0 answered, 2 what was given is wrong (one sentence per problem on standard error), 1 our fault.
Rooms are imported when a command needs them, so that the small commands start quickly.
"""

from __future__ import annotations

import os
import sys
import traceback
from pathlib import Path
from typing import Final

import click

from clothwright.cli.commands import (
    cloth,
    guide,
    keeping,
    loom,
    paper,
    pattern,
    planning,
    record,
    serving,
    teaching,
    yarn,
)
from clothwright.cli.failing import FAULT, WRONG_INPUT, OurFault, Refused
from clothwright.cli.group import commands

#: Each has registered its commands on the group.
SUBJECTS: Final = (planning, yarn, pattern, cloth, loom, record, teaching, paper, guide, keeping, serving)

#: How many threads the libraries of linear algebra take; read by them when numpy is first imported.
_THREADS = ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS", "OMP_NUM_THREADS")


def _one_thread_each() -> None:
    """Small solves are quicker on one thread, and do not wait for cores that others use; what was set stands."""
    for name in _THREADS:
        os.environ.setdefault(name, "1")


def _wrongly_typed(error: click.ClickException) -> str:
    """What is wrong with the words of a command, in one sentence that begins with the command."""
    context = getattr(error, "ctx", None)
    path = context.command_path if context else "clothwright"
    return f"{path}: {error.format_message().rstrip('.')}; {path} --help tells what it takes"


def main(words: list[str] | None = None) -> None:
    """Run the command line, of these words or as it was typed; a fault of ours ends in one sentence and status 1."""
    _one_thread_each()
    for stream in (sys.stdout, sys.stderr):
        stream.reconfigure(encoding="utf-8")  # type: ignore[union-attr]
    try:
        commands.main(words, standalone_mode=False)
    except Refused:
        sys.exit(WRONG_INPUT)
    except OurFault as fault:
        click.echo(str(fault), err=True)
        sys.exit(FAULT)
    except click.exceptions.Abort:
        sys.exit(130)
    except click.exceptions.NoArgsIsHelpError as error:
        error.show()
        sys.exit(WRONG_INPUT)
    except click.ClickException as error:
        click.echo(_wrongly_typed(error), err=True)
        sys.exit(WRONG_INPUT)
    except Exception as error:  # noqa: BLE001 - the last door: whatever failed is ours to own up to
        where = traceback.extract_tb(error.__traceback__)[-1]
        click.echo(
            f"Clothwright failed, which is our fault: {error!r} at {Path(where.filename).name}:{where.lineno}", err=True
        )
        sys.exit(FAULT)
