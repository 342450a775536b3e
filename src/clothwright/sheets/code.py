"""The code on a sheet that opens the page on which it is typed in, with the same address in words beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

#: The code must be read off crumpled paper: a quarter of it may be lost (level Q). Source: ISO/IEC 18004.
_LOSS: Final = "q"
#: White round the code, in squares. Source: ISO/IEC 18004, quiet zone.
_QUIET: Final = 4


@dataclass(frozen=True)
class Opens:
    """Where a filled sheet is typed in: the short code for the page Sheets, and the address of its form while a server has one."""

    code: str
    address: str = ""


def code_data(opens: Opens | None) -> dict[str, Any]:
    """What the template draws: the squares of the code, row by row, and the words; nothing where there is nothing to open."""
    if opens is None:
        return {"code": None}
    typed = f"To type it in: on the page Sheets, enter the code {opens.code}"
    return {
        "code": {
            "squares": squares(opens.address) if opens.address else [],
            "says": f"{typed}, or open" if opens.address else f"{typed}.",
            "alt": f"A code that opens {opens.address}",
            "address": opens.address,
            "quiet": _QUIET,
        }
    }


def squares(text: str) -> list[list[bool]]:
    """The squares of a QR code, True where black, without the white round it."""
    import segno

    return [[bool(square) for square in row] for row in segno.make_qr(text, error=_LOSS).matrix]
