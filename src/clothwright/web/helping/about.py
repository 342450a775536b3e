"""Which chapter of the guide belongs to which page: the one table. A page without a row is refused by a test.

A page is the name of its address; the shelves have one address for several kinds, told apart by a colon: `shelf:yarn`.
"""

from __future__ import annotations

from typing import Any, Final

from django.urls import ResolverMatch

#: A chapter, or a heading of one, and the pages it is about.
_TABLE: Final[dict[str, tuple[str, ...]]] = {
    "begin": ("begin_start", "begin", "open_example"),
    "first-cloth": ("projects", "new", "project", "plan_pane", "card", "find"),
    "project-file": ("open", "project_file", "bundle"),
    "yarn": ("shelf:yarn", "new_thing:yarn", "thing:yarn"),
    "yarn#numbers": ("yarn_numbers",),
    "sett": ("setts", "shelf:loom", "new_thing:loom", "thing:loom"),
    "sampling": ("sample_first",),
    "samples": ("samples_told", "shelf:sample", "new_thing:sample", "thing:sample", "add_photo", "read_outline"),
    "measures": ("measures",),
    "drawing-by-hand": ("draw",),
    "drawings": ("drawing", "pieces", "mend"),
    "photographs": ("trace", "measure_remnant"),
    "fit": ("fit", "mark_change"),
    "narrow-cloth": ("narrow",),
    "layout": ("search", "stop_search"),
    "layout#by-hand": ("lay_by_hand",),
    "layout#what-can-be-chosen": ("choices",),
    "layout#cut-from-cloth-in-hand": ("cut_from",),
    "evidence": ("evidence", "behind", "mark_evidence", "came"),
    "trueness": ("true",),
    "colours": ("colours",),
    "colours#the-weft": ("weft_colours",),
    "cloth-picture": ("cloth",),
    "threading": ("threading",),
    "weaving": ("at_loom",),
    "at-the-loom": ("phones",),
    "finishing": ("off_loom",),
    "record": (
        *("records", "labels", "label_address", "by_number", "use_again"),
        *("record", "add_later", "add_record_photo", "photo_words"),
    ),
    "sheets": ("all_sheets", "sheets", "type_sheet"),
    "leaflet": (
        *("leaflet", "leaflet_work_out", "leaflet_publish", "leaflet_test", "leaflet_stop", "buyers"),
        *("leaflet_link", "leaflet_for_buyers", "open_leaflet"),
    ),
    "classes": ("class", "class_open", "class_delete"),
    "studio": (
        *("sign_in", "sign_out", "forgotten", "new_password", "invitation", "me", "leave_studio"),
        *("groups", "make_group", "group", "leave_group", "invite_to_group", "take_invitation_back"),
        *("take_out_of_group", "members", "invite_member", "password_link", "keep_studio"),
        *("share_project", "share_sample", "shared_project", "copy_project", "shared_sample", "copy_sample"),
        *("bring_in_mine", "bring_in_mine_look"),
    ),
    "keeping": ("keeping", "copy_now", "copy", "send", "waiting", "put_away_again"),
    "web": ("undo", "redo", "history", "go_to", "put_away", "bring_back", "put_thing_away", "bring_thing_back"),
    "web#yarn-as-a-table-csv": ("import_yarn",),
    "words": ("words",),
    "web#rules-the-pages-keep": ("thing_history", "thing_state"),
}
#: Pages that are no notebook pages: the guide itself, and those made for phones, which work away from the program.
WITHOUT: Final = frozenset(
    ("guide", "chapter", "guide_picture", "board", "loom", "phone_enter", "phone_saved", "health")
)
_CHAPTER_OF: Final = {page: where for where, pages in _TABLE.items() for page in pages}


def chapter_about(match: ResolverMatch | None) -> str | None:
    """The chapter, with its heading where it is about one, that belongs to an address; None where none does."""
    if match is None or match.url_name is None:
        return None
    kind = match.kwargs.get("kind")
    return _CHAPTER_OF.get(f"{match.url_name}:{kind}") or _CHAPTER_OF.get(match.url_name)


def every_chapter_named() -> tuple[str, ...]:
    """Every place in the guide that some page leads to."""
    return tuple(_TABLE)


def address_parts(where: str) -> dict[str, Any]:
    """A place in the guide as the parts of its address."""
    slug, _, anchor = where.partition("#")
    return {"chapter": slug, "anchor": f"#{anchor}" if anchor else ""}
