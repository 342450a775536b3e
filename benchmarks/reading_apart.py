"""What reading a file apart costs beside reading it here: python benchmarks/reading_apart.py. Needs the extra `test` (drawings made by others)."""

from __future__ import annotations

import io
import os
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clothwright.web.settings")
sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))


def measure() -> None:
    """Print processor milliseconds for each kind of file, the middle of nine, by the clock beside them, and what stands ready takes.

    Processor time is what both ways are compared by: the clock counts whatever else the machine does.
    """
    import django

    django.setup()
    from PIL import Image

    from clothwright.library.shelves.photos import written_anew
    from clothwright.library.shelves.yarn_csv import EXAMPLE, read_yarn_table, yarn_table
    from clothwright.web.apart import READERS, proved, read_apart

    began = time.perf_counter()
    read_apart(len, b"")
    print(f"the first, with nothing standing ready   {(time.perf_counter() - began) * 1000:7.0f} ms")
    photo = io.BytesIO()
    Image.effect_noise((4000, 3000), 40).convert("RGB").save(photo, "JPEG", quality=85)
    svg = (Path(__file__).parents[1] / "src/clothwright/library/demo/wrackline-waistcoat.svg").read_bytes()
    files: dict[str, tuple[Callable[..., Any], tuple[Any, ...]]] = {
        "nothing": (len, (b"",)),
        f"drawing, SVG of {len(svg) / 1000:.0f} kB": (proved, ([svg],)),
        "table of three yarns": (read_yarn_table, (yarn_table(EXAMPLE).encode(),)),
        f"photo of 12 megapixels, {photo.tell() / 1e6:.1f} MB": (written_anew, (photo.getvalue(), "a.jpg")),
    }
    print(f"{'processor ms (ms by the clock)':40} {'here':>16} {'apart':>16}")
    for name, (do, with_) in files.items():
        print(f"{name:40} {_ms(do, *with_):>16} {_ms(read_apart, do, *with_):>16}")
    (reader,) = READERS._idle
    told = Path(f"/proc/{reader.process.pid}/status").read_text(encoding="ascii")
    print(
        "stands ready with", next(line for line in told.splitlines() if line.startswith("VmRSS")).split(":")[1].strip()
    )


def _ms(do: Callable[..., Any], *with_: Any) -> str:
    took, worked = [], []
    for _ in range(9):
        began, before = time.perf_counter(), _processor_s()
        do(*with_)
        took.append(time.perf_counter() - began)
        worked.append(_processor_s() - before)
    return f"{statistics.median(worked) * 1000:.0f} ({statistics.median(took) * 1000:.1f})"


def _processor_s() -> float:
    """Processor seconds of this process and of those that stand ready, to a hundredth."""
    from clothwright.web.apart import READERS

    told = [Path(f"/proc/{one.process.pid}/stat").read_text(encoding="ascii") for one in READERS._idle]
    theirs = [sum(map(int, one.rsplit(")", 1)[1].split()[11:13])) for one in told]
    return time.process_time() + sum(theirs) / os.sysconf("SC_CLK_TCK")


if __name__ == "__main__":
    measure()
