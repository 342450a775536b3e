"""Cells of tables that a spreadsheet may open: text that it would take for a formula goes out as text, and comes in as it was.

A name such as `=HYPERLINK(…)`, typed by somebody else, would run when the table is opened. An apostrophe before it says that it is text.

*Source:* OWASP, CSV Injection (https://owasp.org/www-community/attacks/CSV_Injection): the signs a cell must not begin with.
"""

from __future__ import annotations

import re
from typing import Final

_FORMULA: Final = re.compile("'*[=+\\-@\t\r\n＝＋－＠]")
_SAID_TO_BE_TEXT: Final = re.compile("'+[=+\\-@\t\r\n＝＋－＠]")


def as_text_cell(text: str) -> str:
    """The cell to write for a text: no spreadsheet takes it for a formula."""
    return f"'{text}" if _FORMULA.match(text) else text


def of_text_cell(cell: str) -> str:
    """The text that a cell stands for, however it came to be written."""
    return cell[1:] if _SAID_TO_BE_TEXT.match(cell) else cell
