"""Where the texts and pictures of the guide lie: beside the source in a checkout, inside the package once installed.

There is one source of them, `docs/`; a build copies it. Names are paths from the root of the source: `docs/yarn.md`.
Standard library alone, since the build runs this file by itself.
"""

from __future__ import annotations

from importlib import resources
from pathlib import Path
from typing import Final

#: The folder beside this file that a build fills.
PACKED: Final = "text"
#: What stands beside `docs/` and is part of the guide.
BESIDE: Final = ("CONTRIBUTING.md", "SECURITY.md", "CHANGELOG.md")
_WITHIN: Final = ("docs/*.md", "docs/reports/*.md", "docs/pictures/*.svg", "docs/pictures/*.png")


def given_along(root: Path) -> list[str]:
    """The names of all that the guide is made of, in order."""
    found = [path.relative_to(root).as_posix() for pattern in _WITHIN for path in root.glob(pattern)]
    return sorted([*found, *(name for name in BESIDE if (root / name).is_file())])


def root_of_texts() -> Path:
    """The folder that the names start from; FileNotFoundError where the program was taken without its guide."""
    packed = Path(str(resources.files(__package__ or "clothwright.guide").joinpath(PACKED)))
    for root in (packed, Path(__file__).resolve().parents[3]):
        if (root / "docs").is_dir():
            return root
    raise FileNotFoundError("the texts of the guide did not come along with the program")


def text_of(name: str) -> str:
    """A text by its name."""
    return (root_of_texts() / name).read_text(encoding="utf-8")
