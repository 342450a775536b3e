"""What `serve` was asked: this machine alone, an address of it, or phones on the home network too."""

from __future__ import annotations

from typing import Final

from clothwright.library.studio.studio_asked import ask_for_studio, studio_asked
from clothwright.project import Problem, ProblemsFound

_THIS_MACHINE: Final = "127.0.0.1"


def serve_asked(
    host: str | None, port: int, *, phone: bool, phone_port: int, new_word: bool, studio: bool = False
) -> None:
    """Serve until stopped; with `phone` the plain address is this machine's alone, and `host` is where phones come in.

    With `studio` members sign in, phones too, so that no word is asked.
    """
    from clothwright.web.serve import serve

    if studio or studio_asked():
        ask_for_studio()
    if phone and studio_asked():
        raise ProblemsFound(
            Problem(("phone",), "in a shared studio phones sign in at its address as everybody does; leave --phone out")
        )
    if new_word and not phone:
        raise ProblemsFound(Problem(("new-word",), "a word is asked of phones only; give --phone too"))
    if not phone:
        serve(host=host or _THIS_MACHINE, port=port)
        return
    from clothwright.web.phone.phone_serving import PhonesAsked

    serve(host=_THIS_MACHINE, port=port, phones=PhonesAsked(host, phone_port, new_word))
