"""How the command line says that what it was given is wrong: a sentence for each problem, and status 2."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

WRONG_INPUT = 2
FAULT = 1


class OurFault(Exception):
    """What the program did wrong and knows of, in a sentence of its own; nothing was given out."""


class Refused(Exception):
    """What was given is wrong, and the sentences that say so are printed."""


@contextmanager
def asked(file: Path | None = None) -> Iterator[None]:
    """Turn problems with what was given into sentences on standard error and exit status 2."""
    from clothwright.measure import QuantityError

    before = f"{file}: " if file else ""
    try:
        yield
    except (Refused, click.ClickException, click.exceptions.Exit):
        raise
    except QuantityError as error:
        click.echo(f"{before}{error}", err=True)
        raise Refused from None
    except Exception as error:
        from clothwright.project import ProblemsFound

        if not isinstance(error, ProblemsFound):
            raise
        for problem in error.problems:
            click.echo(f"{before}{problem}", err=True)
        raise Refused from None
