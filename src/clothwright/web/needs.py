"""What every address of the pages needs in a shared studio: the one table. An address without a row is refused at the start."""

from __future__ import annotations

from enum import StrEnum
from typing import Final

from django.urls import URLPattern, URLResolver, get_resolver


class Need(StrEnum):
    """What somebody must be to be answered; who is not is told that there is no such page."""

    AT_ONE_TABLE = "nobody in a shared studio"
    ANYONE = "anyone"
    SIGNED_IN = "signed in"
    CHANGE_PROJECT = "owns the project"
    READ_PROJECT = "owns the project, or it is shared with her"
    COPY_PROJECT = "owns the project, or it is shared with her, to take a copy"
    CHANGE_THING = "owns the thing on hand"
    READ_THING = "owns the thing on hand, or it is shared with her"
    COPY_THING = "owns the thing on hand, or it is shared with her, to take a copy"
    LEAFLET_LINK = "anyone who has the link of a leaflet"
    IN_GROUP = "belongs to the group"
    RUNS_GROUP = "is teacher or keeper of the group"
    KEEPER = "keeps the studio"


_TABLE: Final[dict[Need, tuple[str, ...]]] = {
    # Copies hold what is everybody's, and putting one back takes the place of it: that is done on the studio's machine. Phones of a
    # studio sign in as everybody does, at its own address.
    Need.AT_ONE_TABLE: (
        *("keeping", "copy_now", "copy", "copy_file", "send", "waiting", "put_away_again", "everything"),
        *("phone_enter", "phone_certificate"),
    ),
    Need.ANYONE: (
        "health",
        "sign_in",
        "forgotten",
        "new_password",
        "invitation",
        "phone_worker",
        "guide",
        "chapter",
        "guide_picture",
    ),
    Need.SIGNED_IN: (
        "projects",
        "begin_start",
        "open_example",
        "new",
        "open",
        "import_yarn",
        "export_yarn",
        "example_yarn",
        "shelf",
        "new_thing",
        "setts",
        "yarn_numbers",
        "true",
        "words",
        "find",
        "all_sheets",
        "blank_sheet",
        "blank_preview",
        "records",
        "labels",
        "by_number",
        "sign_out",
        "me",
        "everything_mine",
        "bring_in_mine",
        "bring_in_mine_look",
        "leave_studio",
        "groups",
    ),
    Need.CHANGE_PROJECT: (
        "project",
        "begin",
        "card",
        "sample_first",
        "drawing",
        "measures",
        "pieces",
        "narrow",
        "lay_by_hand",
        "colours",
        "weft_colours",
        "cloth",
        "leaflet",
        "threading",
        "choices",
        "at_loom",
        "off_loom",
        "cut_from",
        "mend",
        "draw",
        "fit",
        "mark_change",
        "trace",
        "phones",
        "board",
        "loom",
        "phone_state",
        "phone_entries",
        "phone_saved",
        "undo",
        "redo",
        "history",
        "go_to",
        "put_away",
        "bring_back",
        "plan_pane",
        "search",
        "stop_search",
        "evidence",
        "behind",
        "mark_evidence",
        "came",
        "samples_told",
        "leaflet_publish",
        "leaflet_test",
        "published_leaflet",
        "published_buyers_file",
        "buyers",
        "buyers_file",
        "sheets",
        "sheet_preview",
        "type_sheet",
        "typed_photo",
        "leaflet_work_out",
        "leaflet_stop",
        "class",
        "class_delete",
        "class_file",
        "class_open",
        "class_sheet",
        "class_sheets",
        "class_summary",
        "use_again",
        "record",
        "add_later",
        "add_record_photo",
        "photo_words",
        "measure_remnant",
        "share_project",
        "leaflet_link",
    ),
    Need.READ_PROJECT: (
        "shared_project",
        "sheet",
        "cloth_image",
        "project_photo",
        "draft_file",
        "project_file",
        "bundle",
    ),
    Need.COPY_PROJECT: ("copy_project",),
    Need.CHANGE_THING: (
        "thing",
        "thing_history",
        "thing_state",
        "add_photo",
        "read_outline",
        "put_thing_away",
        "bring_thing_back",
        "share_sample",
    ),
    Need.READ_THING: ("shared_sample", "thing_photo"),
    Need.COPY_THING: ("copy_sample",),
    Need.LEAFLET_LINK: ("leaflet_for_buyers", "open_leaflet", "open_buyers_file"),
    Need.IN_GROUP: ("group", "leave_group"),
    Need.RUNS_GROUP: ("invite_to_group", "take_out_of_group", "take_invitation_back"),
    Need.KEEPER: ("members", "invite_member", "password_link", "make_group", "keep_studio", "label_address"),
}
#: Pages that are there in a studio only.
STUDIO_ONLY: Final = frozenset(
    name
    for name in (
        *("sign_in", "sign_out", "forgotten", "new_password", "invitation", "me", "everything_mine", "leave_studio"),
        *("bring_in_mine", "bring_in_mine_look"),
        *(
            "groups",
            "leaflet_link",
            "share_project",
            "shared_project",
            "copy_project",
            "share_sample",
            "shared_sample",
            "copy_sample",
        ),
        *_TABLE[Need.LEAFLET_LINK],
        *_TABLE[Need.IN_GROUP],
        *_TABLE[Need.RUNS_GROUP],
        *(set(_TABLE[Need.KEEPER]) - {"label_address"}),
    )
)


class Uncovered(RuntimeError):
    """The table and the addresses differ."""


def _by_name() -> dict[str, Need]:
    found: dict[str, Need] = {}
    for need, names in _TABLE.items():
        if twice := [name for name in names if name in found]:
            raise Uncovered(f"two rows say what “{twice[0]}” needs")
        found |= dict.fromkeys(names, need)
    return found


NEEDS: Final = _by_name()


def check_every_address() -> None:
    """Refuse, naming them, addresses without a row and rows without an address."""
    there = set(_names(get_resolver().url_patterns))
    if bare := sorted(there - set(NEEDS)):
        raise Uncovered(f"no row of the table of needs says who may ask for {', '.join(bare)}")
    if idle := sorted(set(NEEDS) - there):
        raise Uncovered(f"the table of needs speaks of {', '.join(idle)}, and there is no such address")


def _names(patterns: list[URLPattern | URLResolver]) -> list[str]:
    found: list[str] = []
    for one in patterns:
        found += (
            _names(one.url_patterns) if isinstance(one, URLResolver) else [one.name or f"the address “{one.pattern}”"]
        )
    return found
