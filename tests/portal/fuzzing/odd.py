"""Values that no page sends, beside some that it does."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

TEXTS = [
    "", " ", "0", "1", "-1", "²", "٣", "½", "9" * 30, "9" * 5000, "2147483648", "9223372036854775808", "1e400", "nan", "1.5",
    "a\0b", "\ud800", "\udfff", "👟", "‮abc", "é" * 3, "x" * 5000, "%", "%s", "%00", "{{ 7 }}", "<script>alert(1)</script>",
    "' OR 1=1 --", "../../secret-key", "..\\x", "true", "on", "null", "[]", "{}", "[[", '{"a": 1}', "0001-01-01", "9999-12-31",
    "2026-10-03", "2026-13-45", "not an address", "new@example.org", "a@b", "//evil.example", "http://[", "javascript:1",
    "\r\nX-Odd: 1", "contact", "down_front_knee", "good", "work_on", "chest_side", "right", "child", "myself", "close", "2014",
    "-9223372036854775809", "00000000-0000-0000-0000-000000000000", "None",
]  # fmt: skip
LEAVES: list[Any] = [
    None, True, False, 0, 1, -1, 2**31, 2**53, 2**53 + 1, 2**63, 2**64, 10**400, 0.5, -0.0, 1e308, float("inf"), float("nan"),
    [], {}, [[]], [None], {"": ""},
]  # fmt: skip


def texts() -> st.SearchStrategy[str]:
    return st.one_of(st.sampled_from(TEXTS), st.text(max_size=12))


def json_values() -> st.SearchStrategy[Any]:
    leaf = st.one_of(st.sampled_from(LEAVES), texts(), st.integers(), st.floats())
    return st.recursive(
        leaf,
        lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(texts(), inner, max_size=3)),
        max_leaves=6,
    )


@st.composite
def bent(draw: st.DrawFn, sample: Any) -> Any:
    """The sample as it is, or with something in it replaced, taken out, repeated many times or put one deeper."""
    how = draw(st.integers(0, 7))
    if how == 0:
        return sample
    if how == 1:
        return draw(json_values())
    if isinstance(sample, dict) and sample:
        key = draw(st.sampled_from(sorted(sample)))
        if how == 2:
            return {name: value for name, value in sample.items() if name != key}
        if how == 3:
            return {**sample, draw(texts()): draw(json_values())}
        return {**sample, key: draw(bent(sample[key]))}
    if isinstance(sample, list) and sample:
        if how == 2:
            return sample * draw(st.sampled_from([0, 2, 50, 2000]))
        place = draw(st.integers(0, len(sample) - 1))
        return [*sample[:place], draw(bent(sample[place])), *sample[place + 1 :]]
    return draw(json_values())
