"""Our own faults, written down in the data folder."""

from __future__ import annotations

import logging

from clothwright.library.folder import faults_file, prepared_folder


class FaultLog(logging.Handler):
    """Appends each fault with its traceback to the file of faults; the folder is looked up when there is one to write."""

    def emit(self, record: logging.LogRecord) -> None:
        """Write one fault down."""
        try:
            prepared_folder()
            with faults_file().open("a", encoding="utf-8") as file:
                file.write(self.format(record) + "\n")
        except OSError:
            self.handleError(record)
