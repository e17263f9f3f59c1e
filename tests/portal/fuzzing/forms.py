"""The forms that the pages hold for somebody: where they go to, and what they send as they stand."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urljoin, urlsplit

from django.test import Client
from django.urls import Resolver404, resolve


@dataclass
class Form:
    name: str
    path: str
    in_parts: bool = False
    fields: list[tuple[str, str]] = field(default_factory=list)


class _Reader(HTMLParser):
    """Collects every form of a page that is sent by POST; of a choice that is open, its first value."""

    def __init__(self, address: str) -> None:
        super().__init__()
        self.address, self.forms, self.open = address, [], None
        self.select = ""

    forms: list[Form]
    open: Form | None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        about = {name: value or "" for name, value in attrs}
        if tag == "form" and about.get("method", "").lower() == "post":
            path = urljoin(self.address, about.get("action", ""))
            self.open = Form(_name_of(path), path, about.get("enctype") == "multipart/form-data")
            self.forms.append(self.open)
        elif self.open is not None:
            self._field(tag, about)

    def _field(self, tag: str, about: dict[str, str]) -> None:
        assert self.open is not None
        name = about.get("name", "")
        if tag == "select":
            self.select = name
        elif tag == "option" and self.select:
            self.open.fields.append((self.select, about.get("value", "")))
            self.select = (
                "" if about.get("value") else self.select
            )  # the empty choice first, then one that is something
        elif tag == "textarea" and name:
            self.open.fields.append((name, "words"))
        elif tag == "button" and name:
            self.open.fields.append((name, about.get("value", "")))
        elif tag == "input" and name and name != "csrfmiddlewaretoken":
            self.open.fields.append((name, about.get("value", "on" if about.get("type") == "checkbox" else "1")))

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.open = None
        elif tag == "select":
            self.select = ""


def _name_of(path: str) -> str:
    try:
        return resolve(urlsplit(path).path).view_name
    except Resolver404:
        return path


def forms_of(client: Client, addresses: Iterable[str]) -> list[Form]:
    """The forms of these pages as this client gets them, each once."""
    found: dict[tuple[str, tuple[str, ...]], Form] = {}
    for address in addresses:
        answer: Any = client.get(address)
        if answer.status_code != 200 or answer.streaming or "html" not in answer.get("Content-Type", ""):
            continue
        reader = _Reader(address)
        reader.feed(answer.content.decode())
        for form in reader.forms:
            found.setdefault((form.path, tuple(sorted({name for name, _ in form.fields}))), form)
    return list(found.values())
