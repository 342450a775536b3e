"""Whether the program is well, for whoever watches it: short, in JSON, and nothing of anybody's in it."""

from __future__ import annotations

import shutil
from typing import Any, Final

from django.db import DatabaseError, connection, transaction
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from clothwright import __version__
from clothwright.library.folder import prepared_folder
from clothwright.project import ProblemsFound

#: With less room than this a library may soon not be written any more.
_LEAST_MB: Final = 100


@require_safe
@never_cache
def page(request: HttpRequest) -> HttpResponse:
    """200 where the library can be written in and there is room, else 503; each part is told."""
    told = {"version": __version__, "library": _library(), "room": _room()}
    well = told["library"] == "writable" and told["room"] == "enough"
    return JsonResponse({"well": well, **told}, status=200 if well else 503)


def _library() -> str:
    """Whether a write would be taken: one is begun, and taken back."""
    try:
        with transaction.atomic():
            _write_and_take_back()
    except DatabaseError as error:
        return f"not writable: {error}"
    return "writable"


def _write_and_take_back() -> None:
    with connection.cursor() as cursor:
        cursor.execute("CREATE TABLE library_health (looked INTEGER)")
    transaction.set_rollback(True)


def _room() -> Any:
    try:
        free_mb = shutil.disk_usage(prepared_folder()).free // 1_000_000
    except (OSError, ProblemsFound) as error:
        return f"not known: {error}"
    return "enough" if free_mb >= _LEAST_MB else f"{free_mb} MB"
