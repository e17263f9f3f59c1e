"""What the desk's modules say: every sentence that is sent is said somewhere."""

from __future__ import annotations

import re

from portal.desk.messages import messages


def test_every_sentence_has_its_place_in_a_module(root):
    modules = "\n".join(path.read_text() for path in (root / "static" / "js").rglob("*.js"))
    by_tool = set(re.findall(r'tool\("\w", "(\w+)"\)', modules))  # key_table.js puts these names together
    named = set(re.findall(r"\w+", modules)) | {f"tool_{name}" for name in by_tool}
    assert len(by_tool) == 7  # the angle, of three kinds, has a key of its own
    assert set(messages()) - named == set()
