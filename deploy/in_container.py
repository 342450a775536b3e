"""What a container of Clothwright starts with, and how it tells that it is well: in_container.py serve [OPTIONS] | well.

A container has one address of its own, at which its pages are served; which machines reach it is decided where the container is
started. So it is neither this machine alone (nobody outside would reach that) nor every address. Standard library only.
"""

from __future__ import annotations

import json
import os
import socket
import sys
import urllib.request

PORT = 8765
_WAIT_S = 8.0


def main(words: list[str]) -> int:
    """Serve in place of this process, so that what stops the container stops the server; or tell whether it is well."""
    match words:
        case ["serve", *options]:
            os.execvp("clothwright", ["clothwright", "serve", "--host", own_address(), "--port", str(PORT), *options])
        case ["well"]:
            return 0 if well(f"http://{own_address()}:{PORT}") else 1
    print("usage: in_container.py serve [OPTIONS] | well", file=sys.stderr)
    return 2


def own_address() -> str:
    """The address that goes with the container's name."""
    return socket.gethostbyname(socket.gethostname())


def well(address: str) -> bool:
    """Whether the pages answer that the library can be written in and has room."""
    plain = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    try:
        with plain.open(f"{address}/health/", timeout=_WAIT_S) as answer:
            return json.load(answer)["well"] is True
    except (OSError, ValueError, KeyError):
        return False


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
