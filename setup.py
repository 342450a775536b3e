"""What pyproject.toml cannot say of a build: documents and examples go along inside the package, where guide and pages read them."""

from __future__ import annotations

import runpy
import shutil
from pathlib import Path

from setuptools import setup
from setuptools.command.build_py import build_py

ROOT = Path(__file__).resolve().parent
TEXTS = runpy.run_path(str(ROOT / "src/clothwright/guide/texts.py"))
EXAMPLES = [file for file in sorted((ROOT / "examples").glob("*.*")) if file.suffix in (".toml", ".svg", ".wif")]


class WithDocumentsAndExamples(build_py):
    """The package, and beside its Python the guide's texts and pictures and the examples. A checkout is read where it stands."""

    def run(self) -> None:
        """Build as usual, then copy."""
        super().run()
        if self.editable_mode:
            return
        package = Path(self.build_lib, "clothwright")
        for name in TEXTS["given_along"](ROOT):
            _copied(ROOT / name, package / "guide" / TEXTS["PACKED"] / name)
        for file in EXAMPLES:
            _copied(file, package / "library" / "examples" / file.name)


def _copied(file: Path, to: Path) -> None:
    to.parent.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(file, to)


setup(cmdclass={"build_py": WithDocumentsAndExamples})
