"""The library: projects and every version of them, drawings, known layouts; files in and out.

`folder` and `files` need no web framework; `store` and `models` are a Django app and are imported once it is set up. What is listed
here is imported when it is first asked for, so that the pages begin to be served without waiting for the readers of files.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from clothwright.library.files import (
        export_bundle,
        export_toml,
        plain_tree,
        read_bundle,
        read_project_file,
        read_project_tree,
    )

__all__ = ["export_bundle", "export_toml", "plain_tree", "read_bundle", "read_project_file", "read_project_tree"]


def __getattr__(name: str) -> Any:
    """The name, from the file of files in and out."""
    if name in __all__:
        return getattr(import_module(f"{__name__}.files"), name)
    raise AttributeError(f"{__name__} has no {name}")
