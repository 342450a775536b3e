"""The library: projects and every version of them, drawings, known layouts; files in and out.

`folder` and `files` need no web framework; `store` and `models` are a Django app and are imported once it is set up.
"""

from clothwright.library.files import (
    export_bundle,
    export_toml,
    plain_tree,
    read_bundle,
    read_project_file,
    read_project_tree,
)

__all__ = ["export_bundle", "export_toml", "plain_tree", "read_bundle", "read_project_file", "read_project_tree"]
