"""The rules of a colour order are quick to load."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

SOURCE = Path(__file__).parents[3] / "src"


def test_the_library_of_colours_is_not_loaded_before_a_rule_asks() -> None:
    """Loading it takes a tenth of the time in which pages begin to be served."""
    code = "import sys, clothwright.planning.colours.colour_plan; sys.exit('coloraide' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], cwd=SOURCE, check=False).returncode == 0
