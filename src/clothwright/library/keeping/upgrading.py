"""The library brought up to date with the program that opens it: never backwards, and never without a copy of what was there."""

from __future__ import annotations

from django.core.management import call_command
from django.db import DatabaseError, connection
from django.db.migrations.loader import MigrationLoader

from clothwright.library import whose
from clothwright.library.folder import database_file
from clothwright.library.keeping.backing_up import back_up, backup_folder
from clothwright.library.studio.studio_asked import database_url
from clothwright.project import Problem, ProblemsFound


def bring_up_to_date() -> None:
    """Take every step the library lacks, after copying it; nothing is done where it lacks none.

    ProblemsFound where the library was used by a newer program, is damaged, or cannot be written; it is left as it is.
    """
    try:
        loader = MigrationLoader(connection)
        taken, known = set(loader.applied_migrations), set(loader.disk_migrations)
        if newer := sorted(f"{app} {name}" for app, name in taken - known):
            raise _problem(
                f"the library in {database_file().parent} was used by a newer Clothwright ({', '.join(newer)}), and this one "
                "would not understand it; start the newer one, or name another folder with CLOTHWRIGHT_DATA"
            )
        if known - taken:
            if taken and connection.vendor == "sqlite":
                back_up()
            with whose.seeing(whose.EVERYTHING):
                call_command("migrate", interactive=False, verbosity=0)
    except DatabaseError as error:
        if database_url():
            why = str(error).strip().splitlines()[0] if str(error) else type(error).__name__
            raise _problem(f"the database named in DATABASE_URL cannot be used: {why}; it was left as it is") from None
        raise _problem(
            f"the library {database_file()} cannot be opened: {error}; it was left as it is. "
            f"Copies of it, if any were made, are in {backup_folder()}: `clothwright restore FILE` puts one back"
        ) from error


def _problem(sentence: str) -> ProblemsFound:
    return ProblemsFound(Problem((), sentence))
