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
    """Print milliseconds for each kind of file, the middle of nine, and what the process that stands ready takes."""
    import django

    django.setup()
    from PIL import Image

    from clothwright.library.photos import written_anew
    from clothwright.library.yarn_csv import EXAMPLE, read_yarn_table, yarn_table
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
    print(f"{'':40} {'here':>7} {'apart':>7}")
    for name, (do, with_) in files.items():
        print(f"{name:40} {_ms(do, *with_):7.1f} {_ms(read_apart, do, *with_):7.1f}")
    (reader,) = READERS._idle
    told = Path(f"/proc/{reader.process.pid}/status").read_text(encoding="ascii")
    print(
        "stands ready with", next(line for line in told.splitlines() if line.startswith("VmRSS")).split(":")[1].strip()
    )


def _ms(do: Callable[..., Any], *with_: Any) -> float:
    took = []
    for _ in range(9):
        began = time.perf_counter()
        do(*with_)
        took.append(time.perf_counter() - began)
    return statistics.median(took) * 1000


if __name__ == "__main__":
    measure()
