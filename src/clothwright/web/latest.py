"""Answers kept while the program runs, the latest used, and forgotten all together."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from threading import Lock
from typing import Any, ClassVar, Generic, TypeVar

_Value = TypeVar("_Value")


class Latest(Generic[_Value]):
    """Values by key, the latest used kept. Each is made once, with its module, and can be forgotten with all the others."""

    every: ClassVar[list[Latest[Any]]] = []

    def __init__(self, most: int) -> None:
        self._values: OrderedDict[Any, _Value] = OrderedDict()
        self._lock, self._most = Lock(), most
        Latest.every.append(self)

    def get(self, key: Any) -> _Value | None:
        """The value of a key, if it is kept."""
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
            return self._values.get(key)

    def put(self, key: Any, value: _Value) -> _Value:
        """Keep a value; the one longest unused goes."""
        with self._lock:
            self._values[key] = value
            while len(self._values) > self._most:
                self._values.popitem(last=False)
        return value

    def made(self, key: Any, make: Callable[[], _Value]) -> _Value:
        """The value of a key; where none is kept it is made, and kept."""
        known = self.get(key)
        return known if known is not None else self.put(key, make())

    def forget(self) -> None:
        """Keep nothing any more."""
        with self._lock:
            self._values.clear()


def forget_all() -> None:
    """Answer everything anew: plans, and whatever was reckoned from them."""
    for one in Latest.every:
        one.forget()
