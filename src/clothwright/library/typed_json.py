"""What was typed, stored as JSON whose keys stay in their order.

SQLite keeps the text. PostgreSQL's `jsonb` would sort the keys, so a project file would come out in another order than it was
written in; its `json` keeps them.

*Source:* PostgreSQL documentation, "JSON Types": "jsonb does not preserve white space, does not preserve the order of object keys".
"""

from __future__ import annotations

import json
from typing import Any, Final

from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations import AlterField

_SERVER: Final = "postgresql"


class TypedJSON(models.JSONField):
    """A JSON field whose keys come back in the order they were stored in; it is read whole, never asked for a part."""

    def db_type(self, connection: BaseDatabaseWrapper) -> str | None:
        """The kind of the column."""
        return "json" if connection.vendor == _SERVER else super().db_type(connection)

    def get_db_prep_value(self, value: Any, connection: BaseDatabaseWrapper, prepared: bool = False) -> Any:
        """The value as the database takes it."""
        if connection.vendor != _SERVER or value is None or hasattr(value, "as_sql"):
            return super().get_db_prep_value(value, connection, prepared)
        from psycopg.types.json import Json

        return Json(value, dumps=json.dumps)

    def from_db_value(self, value: Any, expression: Any, connection: BaseDatabaseWrapper) -> Any:
        """The value as it was stored; the server's own reader has parsed it already."""
        return super().from_db_value(value, expression, connection) if isinstance(value, str) else value


class KeepOrder(AlterField):
    """Make a JSON column keep the order of its keys, where it does not yet."""

    def database_forwards(self, app_label: str, schema_editor: Any, from_state: Any, to_state: Any) -> None:
        """Only a server's column is another."""
        if schema_editor.connection.vendor == _SERVER:
            super().database_forwards(app_label, schema_editor, from_state, to_state)

    def database_backwards(self, app_label: str, schema_editor: Any, from_state: Any, to_state: Any) -> None:
        """The same, backwards."""
        if schema_editor.connection.vendor == _SERVER:
            super().database_backwards(app_label, schema_editor, from_state, to_state)
