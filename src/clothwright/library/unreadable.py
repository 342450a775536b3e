"""What tells that a file is spoiled rather than that something is wrong here."""

from __future__ import annotations

import lzma
import struct
import zipfile
import zlib
from typing import Final

#: What Python's reader of zip files raises over one that is spoiled, packed in a strange way, or locked.
UNREADABLE_ZIP: Final = (
    zipfile.BadZipFile,
    zlib.error,
    lzma.LZMAError,
    struct.error,
    NotImplementedError,
    RuntimeError,
    EOFError,
    ValueError,
    OverflowError,
    IndexError,
)
