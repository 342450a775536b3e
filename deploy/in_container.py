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
from contextlib import suppress

PORT = 8765
_WAIT_S = 8.0
#: An address of documents, which no machine has. Source: RFC 5737.
_ANYWHERE = "192.0.2.1"


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
    """The address that goes with the container's name; where nobody knows that name, the one it would go out by, or the machine's own."""
    with suppress(OSError):
        return socket.gethostbyname(socket.gethostname())
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as out:
        out.connect((_ANYWHERE, 9))  # of this kind it sends nothing
        return str(out.getsockname()[0])
    return "127.0.0.1"


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
