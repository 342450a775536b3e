"""What `serve` was asked: this machine alone, an address of it, or phones on the home network too."""

from __future__ import annotations

from typing import Final

from clothwright.project import Problem, ProblemsFound

_THIS_MACHINE: Final = "127.0.0.1"


def serve_asked(host: str | None, port: int, *, phone: bool, phone_port: int, new_word: bool) -> None:
    """Serve until stopped; with `phone` the plain address is this machine's alone, and `host` is where phones come in."""
    from clothwright.web.serve import serve

    if new_word and not phone:
        raise ProblemsFound(Problem(("new-word",), "a word is asked of phones only; give --phone too"))
    if not phone:
        serve(host=host or _THIS_MACHINE, port=port)
        return
    from clothwright.web.phone_serving import PhonesAsked

    serve(host=_THIS_MACHINE, port=port, phones=PhonesAsked(host, phone_port, new_word))
