"""What pyproject.toml cannot say of a build: the documents go along inside the package, where the guide reads them."""

from __future__ import annotations

import runpy
import shutil
from pathlib import Path

from setuptools import setup
from setuptools.command.build_py import build_py

ROOT = Path(__file__).resolve().parent
TEXTS = runpy.run_path(str(ROOT / "src/clothwright/guide/texts.py"))


class WithDocuments(build_py):
    """The package, and beside its Python the texts and pictures of the guide. A checkout is read where it stands."""

    def run(self) -> None:
        """Build as usual, then copy."""
        super().run()
        for name in () if self.editable_mode else TEXTS["given_along"](ROOT):
            to = Path(self.build_lib, "clothwright/guide", TEXTS["PACKED"], name)
            to.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(ROOT / name, to)


setup(cmdclass={"build_py": WithDocuments})
