"""What is wrong with what was given: where, and one sentence each."""

from __future__ import annotations

import re
from dataclasses import dataclass

Path = tuple[str | int, ...]


@dataclass(frozen=True)
class Problem:
    """Something wrong with what was given: where (`path` into the document), and one sentence."""

    path: Path
    sentence: str

    @property
    def where(self) -> str:
        """The path as a person reads it: yarn 1, balls 2, gross."""
        steps = (str(step + 1) if isinstance(step, int) else step for step in self.path)
        return re.sub(r", (\d)", r" \1", ", ".join(steps))

    def __str__(self) -> str:
        return f"{self.where}: {self.sentence}" if self.path else self.sentence


class ProblemsFound(ValueError):
    """What was given cannot be used; `problems` holds every reason."""

    def __init__(self, *problems: Problem) -> None:
        self.problems = problems
        super().__init__("; ".join(map(str, problems)))
