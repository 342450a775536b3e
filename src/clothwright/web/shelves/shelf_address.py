"""The part of an address that names a shelf; it needs nothing of the pages, which are loaded later."""

from __future__ import annotations

from typing import ClassVar

from clothwright.library.shelves.on_hand import Kept


class ShelfConverter:
    """The part of an address that names a shelf."""

    regex = "yarn|looms|samples"
    _KINDS: ClassVar = {"yarn": Kept.YARN, "looms": Kept.LOOM, "samples": Kept.SAMPLE}

    def to_python(self, value: str) -> Kept:
        """The kind an address stands for."""
        return self._KINDS[value]

    def to_url(self, value: str) -> str:
        """The word for a kind in an address."""
        return next(word for word, kind in self._KINDS.items() if kind == value)


class SampleShelfConverter(ShelfConverter):
    """The part of an address that names the shelf of samples."""

    regex = "samples"
