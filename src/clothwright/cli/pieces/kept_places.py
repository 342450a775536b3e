"""A layout as lines to keep in the project file."""

from __future__ import annotations

import tomlkit

from clothwright.planning import Laid
from clothwright.planning.job import DEFAULT_SQUARING_CM
from clothwright.project import Project


def place_lines(laid: Laid, project: Project) -> str:
    """The layout as `[layout]` and `[[layout.place]]` lines, measured from the end and the selvedge of the cloth."""
    pattern = project.pattern
    assert pattern is not None  # a layout has pieces
    squaring = pattern.squaring.cm if pattern.squaring else DEFAULT_SQUARING_CM
    trim = pattern.selvedge_trim.cm if pattern.selvedge_trim else 0.0
    locked = {(one.piece, one.number) for one in project.layout.place if one.locked}
    places = tomlkit.aot()
    for one in sorted(laid.layout.placed, key=lambda one: (one.x_cm, one.y_cm)):
        place = tomlkit.table()
        place.update({"piece": one.piece, "number": one.copy})
        place.update({"along": _cm(one.x_cm + squaring), "across": _cm(one.y_cm + trim)})
        place.update({"turned": True} if one.rotation_deg else {})
        place.update({"locked": True} if (one.piece, one.copy) in locked else {})
        places.append(place)
    kept = tomlkit.table()
    kept.update({"kept_width": _cm(laid.layout.width_cm + 2 * trim), "place": places})
    document = tomlkit.document()
    document["layout"] = kept
    return tomlkit.dumps(document).strip()


def _cm(length_cm: float) -> str:
    """A length to a thousandth of a millimetre, so that pieces that touch still do not overlap."""
    return f"{max(0.0, length_cm):.4f}".rstrip("0").rstrip(".") + " cm"
