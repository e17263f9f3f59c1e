"""Values that no page sends, beside some that it does. Each is drawn from a `Random`, so that a seed draws it again."""

from __future__ import annotations

import sys
from random import Random
from typing import Any

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
LAST_SIGNS = [0x7F, 0x3FF, 0xFFFF, sys.maxunicode]  # plain letters as often as signs from anywhere


def text(random: Random) -> str:
    """One of those above, or some signs of any kind, halves of surrogate pairs among them."""
    if random.random() < 0.7:
        return random.choice(TEXTS)
    return "".join(chr(random.randint(0, random.choice(LAST_SIGNS))) for _ in range(random.randint(0, 12)))


def json_value(random: Random, depth: int = 3) -> Any:
    how = random.randint(0, 7)
    if depth and how == 0:
        return [json_value(random, depth - 1) for _ in range(random.randint(0, 3))]
    if depth and how == 1:
        return {text(random): json_value(random, depth - 1) for _ in range(random.randint(0, 3))}
    if how < 4:
        return random.choice(LEAVES)
    if how < 6:
        return text(random)
    return random.choice([random.randint(-100, 100), random.randint(-(2**70), 2**70), random.uniform(-1e4, 1e4)])


def bent(random: Random, sample: Any) -> Any:
    """The sample as it is, or with something in it replaced, taken out, repeated many times or put one deeper."""
    how = random.randint(0, 7)
    if how == 0:
        return sample
    if how == 1:
        return json_value(random)
    if isinstance(sample, dict) and sample:
        key = random.choice(sorted(sample))
        if how == 2:
            return {name: value for name, value in sample.items() if name != key}
        if how == 3:
            return {**sample, text(random): json_value(random)}
        return {**sample, key: bent(random, sample[key])}
    if isinstance(sample, list) and sample:
        if how == 2:
            return sample * random.choice([0, 2, 50, 2000])
        place = random.randint(0, len(sample) - 1)
        return [*sample[:place], bent(random, sample[place]), *sample[place + 1 :]]
    return json_value(random)


def bent_form(random: Random, fields: list[tuple[str, str]], values: list[str]) -> list[tuple[str, str]]:
    """A form's fields with one to three of them filled with something else, left out, or sent twice."""
    bent_fields = list(fields)
    for _ in range(random.randint(0, 3)):
        if not bent_fields:
            break
        place = random.randrange(len(bent_fields))
        name, value = bent_fields[place]
        how = random.randint(0, 9)
        if how == 0:
            del bent_fields[place]
        elif how == 1:
            bent_fields.append((name, value))
        else:
            bent_fields[place] = (name, random.choice(values) if how < 4 else text(random))
    return bent_fields
