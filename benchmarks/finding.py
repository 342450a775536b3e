"""How long finding takes in a library of 1,000 projects: the first time after the program starts, and each time after that.

    python benchmarks/finding.py [--projects 1000]

The projects are the examples, each under many names, and 300 yarns, in a data folder that is thrown away. Told is processor time, which other work on the machine leaves as it is.
"""

from __future__ import annotations

import argparse
import os
import statistics
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

EXAMPLES = Path(__file__).resolve().parent.parent / "examples"
ASKED = ("kelp", "wool", "hand wash", "shrug pills", "2/2 twill", "zzgrmpf", "selvage", "plain 30/10 slate")
SHORE = ("saltmarsh", "wrack", "kelp", "tide-pool", "samphire", "dulse", "marram", "limpet", "sea-holly", "cordgrass")


def main() -> None:
    """Fill a library, find in it, tell the times."""
    reader = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    reader.add_argument("--projects", type=int, default=1000)
    many = reader.parse_args().projects
    with tempfile.TemporaryDirectory() as folder:
        os.environ["CLOTHWRIGHT_DATA"] = folder
        from clothwright.web.serve import ready

        ready()
        letters = _filled(many)
        from clothwright.web.finding.answer import find
        from clothwright.web.finding.matching import read_words
        from clothwright.web.latest import forget_all

        firsts, warm = [], []
        for text in ASKED:
            forget_all()
            asked = partial(find, read_words(text))
            firsts.append(_seconds(asked))
            warm.append(_seconds(asked))
    print(f"{many} projects, {letters / 1e6:.1f} million letters of them; load {os.getloadavg()[0]:.1f}")
    print(f"processor time, the first time: median {statistics.median(firsts):.2f} s, longest {max(firsts):.2f} s")
    print(f"each time after: median {statistics.median(warm):.3f} s, longest {max(warm):.3f} s")


def _filled(many: int) -> int:
    """Keep the examples under so many names; how many letters their trees are."""
    from django.db import transaction

    from clothwright.library import store
    from clothwright.library.files import plain_tree, read_project_file
    from clothwright.library.shelves import on_hand
    from clothwright.library.shelves.on_hand import Kept

    files = [file for file in sorted(EXAMPLES.glob("*.toml")) if "clothwright = 1" in file.read_text(encoding="utf-8")]
    trees = [plain_tree(read_project_file(file)[0]) for file in files]
    with transaction.atomic():
        for number in range(many):
            tree = trees[number % len(trees)]
            store.new_project(tree | {"name": f"{SHORE[number % len(SHORE)]} {tree.get('name')} {number}"}, "started")
        for number in range(300):
            yarn = {"name": f"{SHORE[number % len(SHORE)]} {number}", "fibre": "wool"}
            on_hand.add(Kept.YARN, {"units": "metric", "yarn": [yarn]}, "typed in")
    return sum(len(repr(trees[number % len(trees)])) for number in range(many))


def _seconds(asked: Callable[[], object]) -> float:
    begun = time.process_time()
    asked()
    return time.process_time() - begun


if __name__ == "__main__":
    main()
