"""JSON is looked over before it is read; against what RFC 8259 says of it and what Python's own reader makes of it."""

from __future__ import annotations

import json
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.project.bounded_json import MOST_FIGURES, MOST_NESTED, read_json, why_not_read

PLAIN = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**80), 2**80)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(),
    lambda below: st.lists(below, max_size=4) | st.dictionaries(st.text(), below, max_size=4),
    max_leaves=20,
)


@given(PLAIN, st.booleans())
def test_what_json_writes_is_read_as_it_was_but_for_the_sign_of_number_0(value: object, plain: bool) -> None:
    """Brackets, long runs of figures and the word NaN within a text do not count, however the text is escaped."""
    text = json.dumps([value, '\\"NaN ]]] [[[ ' + "9" * 400], ensure_ascii=plain)
    if "\\u0000" in text.replace("\\\\", ""):
        assert "number 0" in why_not_read(text.encode("utf-8", "surrogatepass"))
    else:
        assert read_json(text) == json.loads(text)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("[" * (MOST_NESTED + 1), "deep in one another"),
        ('{"a":' * 100_000, "deep in one another"),
        ('[1, {"a": "' + "x" * 1000 + '", "b": ' + "[" * 5_000_000, "deep in one another"),
        ("1" * (MOST_FIGURES + 1), "figures"),
        ("[-" + "9" * 5000 + "]", "figures"),
        ('{"a": NaN}', "a number that is none"),
        ("[-Infinity]", "a number that is none"),
        (r'{"a": "kelp \u0000"}', "number 0"),
        (r'{"a": "\\\u0000"}', "number 0"),
    ],
    ids=lambda one: one[:12],
)
def test_what_is_too_deep_too_long_or_no_json_at_all_is_said_soon(text: str, why: str) -> None:
    began = time.process_time()
    with pytest.raises(ValueError, match=why):
        read_json(text)
    assert time.process_time() - began < 2


def test_a_sign_that_only_looks_like_that_of_number_0_is_read() -> None:
    r"""A backslash before it makes it six letters: `\\u0000`."""
    assert read_json(r'["\\u0000"]') == [r"\u0000"]
    assert read_json("[" * MOST_NESTED + "]" * MOST_NESTED)


@pytest.mark.parametrize("text", ["", "kelp", "[1,]", '{"a" 1}', b"\xff\xfe\x00"])
def test_what_is_no_json_is_a_value_error(text: str | bytes) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - whatever the reader says
        read_json(text)
