"""What who keeps a shared studio does from its own machine: the first keeper made, a password set anew."""

from __future__ import annotations

from clothwright.library.studio.studio_asked import ask_for_studio
from clothwright.project import Problem, ProblemsFound


def keeper_made(email: str, name: str, password: str) -> str:
    """Make the first keeper, and say what became hers."""
    _set_up()
    from clothwright.library.studio.members import first_keeper

    made, taken = first_keeper(email, name, password)
    things = f"; what was kept here before is hers now ({taken} projects and things on hand)" if taken else ""
    return f"{made.name} keeps this studio and signs in as {made.email}{things}"


def password_set(email: str, password: str) -> str:
    """Give a member a new password."""
    _set_up()
    from clothwright.library.studio import members, tries

    found = members.find_member(email)
    if found is None:
        raise ProblemsFound(Problem(("email",), f"nobody of this studio has the address “{email}”"))
    members.set_password(found, password)
    tries.forget_account(found.email)
    return f"{found.name} has a new password, and is signed out everywhere"


def _set_up() -> None:
    ask_for_studio()
    from clothwright.web.serve import ready

    ready()
