"""The address labels lead to is the one typed, else where phones were served last."""

from __future__ import annotations

import pytest

from clothwright.library.record.label_address import keep_typed_address, label_address, phones_served_at, typed_address
from clothwright.project import ProblemsFound


def test_nothing_is_known_at_first_then_phones_then_what_was_typed_and_back() -> None:
    assert label_address() == ""
    phones_served_at("https://192.168.1.20:8766")
    assert label_address() == "https://192.168.1.20:8766"
    keep_typed_address(" http://loom.local:8765/ ")
    assert (label_address(), typed_address()) == ("http://loom.local:8765", "http://loom.local:8765")
    keep_typed_address("")
    assert label_address() == "https://192.168.1.20:8766"


@pytest.mark.parametrize(
    "text",
    [
        "loom",
        "ftp://loom",
        "javascript:alert(1)",
        "http://",
        "http://a b",
        "http://a/b",
        "http://a:99999",
        "http://u:p@a",
    ],
)
def test_what_is_no_address_is_refused_with_one_that_is(text: str) -> None:
    with pytest.raises(ProblemsFound, match="https://192"):
        keep_typed_address(text)
    assert typed_address() == ""
