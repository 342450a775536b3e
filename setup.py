"""What the table of the build cannot say: the examples at the top of a checkout go into the package, where the pages open them."""

from __future__ import annotations

import shutil
from pathlib import Path

from setuptools import setup
from setuptools.command.build_py import build_py

_HERE = Path(__file__).resolve().parent


class WithExamples(build_py):
    """Copies the examples beside the package's own files; an editable install reads them where they are."""

    def run(self) -> None:
        """Build as usual, then copy them."""
        super().run()
        if getattr(self, "editable_mode", False):
            return
        into = Path(self.build_lib, "clothwright", "library", "examples")
        into.mkdir(parents=True, exist_ok=True)
        for file in sorted((_HERE / "examples").glob("*.*")):
            if file.suffix in (".toml", ".svg", ".wif"):
                shutil.copyfile(file, into / file.name)


setup(cmdclass={"build_py": WithExamples})
