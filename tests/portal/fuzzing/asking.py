"""Requests to every address of the portal: parameters, forms, JSON and headers that fit, and those that do not."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from random import Random
from typing import Any
from urllib.parse import quote, urlencode

from django.forms import BaseForm
from django.urls import URLPattern, URLResolver, get_resolver

from tests.portal.fuzzing.forms import Form
from tests.portal.fuzzing.odd import TEXTS, bent, bent_form, text

METHODS = ["GET", "GET", "GET", "POST", "POST", "POST", "HEAD", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "BREW"]
QUERY = [
    "page",
    "list",
    "camp",
    "next",
    "from",
    "first",
    "last",
    "q",
    "o",
    "p",
    "e",
    "_popup",
    "trains",
    "stop",
    "hits",
]
QUERY += ["seen", "state", "state__exact", "id__in", "camp__id__exact", "is_coach__exact", "_to_field", "all"]
LOOSE = ["from", "do", "next", "action", "_selected_action", "index", "_save", "csrfmiddlewaretoken", "code", "login"]
HEADERS = {
    "Range": ["bytes=0-1", "bytes=-5", "bytes=9-3", "bytes=²-", "bytes=0-" + "9" * 40, "lines=1-2", "bytes=0-1,3-4", "bytes="],
    "If-None-Match": ["*", '"a"', 'W/"', "²"],
    "If-Modified-Since": ["Thu, 26 Nov 2026 13:00:00 GMT", "yesterday", "Thu, 99 Nov 99999 13:00:00 GMT"],
    "If-Range": ['"a"', "x"],
    "Accept": ["application/json", "text/html", "*/*;q=x", "\xff"],
    "Accept-Language": ["es,en;q=0.5", "x" * 600, "²;q=²", "*"],
    "Referer": ["http://[", "http://testserver/queue/", "\x7f"],
    "Origin": ["null", "http://[", "http://testserver"],
    "HX-Request": ["true", "²"],
    "HX-Current-URL": ["http://[", "%ff"],
    "HX-Target": ["\xff"],
    "HX-Current-URL-URI-AutoEncoded": ["true"],
    "X-Requested-With": ["XMLHttpRequest"],
    "X-HTTP-Method-Override": ["DELETE"],
    "X-Forwarded-For": ["1.2.3.4, ²", "::1", "x" * 300],
    "X-Forwarded-Proto": ["https", "²"],
    "X-File-Name": ["%00", "%ff", "IMG.MOV", "..%2f..%2fx", "²" * 300],
    "Tus-Resumable": ["1.0.0", "2.0.0", "²"],
    "Upload-Length": ["0", "20", "²", "-1", "9" * 40, "1e3"],
    "Upload-Offset": ["0", "5", "²", "-1", "9" * 40],
    "Upload-Metadata": ["filename SU1H", "filename", "filename ²", "a b,c", "filename /w==", "x" * 6000],
    "Upload-Checksum": ["sha1 abc", "md5", "crc ²", "sha256 " + "A" * 44],
    "Cookie": ['sessionid="\\000\\000abcdefgh"', "sessionid=²", "csrftoken=" + "x" * 5000,
               "theme=<b>; messages=²", ";;;=", "django_language=xx"],
    "User-Agent": ["", "x" * 5000, "\xff"],
}  # fmt: skip
KINDS = ["application/json", "application/x-www-form-urlencoded", "multipart/form-data", "text/plain", "", "a/b/c; =",
         "multipart/form-data; boundary=", "multipart/form-data; boundary=\xff", "application/json; charset=utf-7",
         "application/x-www-form-urlencoded; charset=utf-16", "application/offset+octet-stream"]  # fmt: skip

FORM, PARTS = "application/x-www-form-urlencoded", "multipart/form-data; boundary=zig"


@dataclass(frozen=True)
class Place:
    """An address: its name, its path with a hole for each parameter, and the kinds of those."""

    name: str
    path: str
    kinds: tuple[str, ...]


@dataclass(frozen=True)
class Ask:
    """One request, as it is printed when it breaks something."""

    name: str
    method: str
    path: str
    kind: str = ""
    body: bytes = b""
    headers: dict[str, str] = field(default_factory=dict)
    length: str | None = None


def places(resolver: URLResolver | None = None, prefix: str = "/", space: str = "") -> Iterator[Place]:
    for pattern in (resolver or get_resolver()).url_patterns:
        route = prefix + _plain(str(pattern.pattern))
        if isinstance(pattern, URLPattern):
            path, kinds = _holes(route)
            yield Place(f"{space}{pattern.name}", path, kinds)
        else:
            yield from places(pattern, route, f"{pattern.namespace}:" if pattern.namespace else space)


def _plain(route: str) -> str:
    """A regular expression as a route."""
    route = re.sub(r"\(\?P<(\w+)>[^)]*\)", r"<str:\1>", route)
    return route.lstrip("^").removesuffix("$").replace(r"\Z", "").replace("\\", "")


def _holes(route: str) -> tuple[str, tuple[str, ...]]:
    kinds = re.findall(r"<(?:(\w+):)?\w+>", route)
    return re.sub(r"<(?:\w+:)?\w+>", "{}", route), tuple(kind or "str" for kind in kinds)


@cache
def chosen() -> list[Place]:
    """Every address; ours four times, for the admin's are many and alike."""
    found = sorted(places(), key=lambda one: one.path)
    return [one for one in found for _ in range(1 if one.name.startswith("admin:") else 4)]


@cache
def fields() -> list[str]:
    """The name of every field of every form."""
    found, queue = set(LOOSE), list(BaseForm.__subclasses__())
    while queue:
        form = queue.pop()
        queue.extend(form.__subclasses__())
        found.update(getattr(form, "base_fields", {}))
    return sorted(found)


@dataclass(frozen=True)
class Known:
    """What leads to something: parameters by kind, JSON bodies by the address's name, and the forms of the pages."""

    things: dict[str, list[str]]
    samples: dict[str, list[Any]]
    forms: list[Form] = field(default_factory=list)


def ask(random: Random, known: Known) -> Ask:
    """A request: a form of a page with something in it bent, or anything at any address."""
    if known.forms and random.random() < 0.3:
        return _filled(random, known)
    place = random.choice(chosen())
    parameters = [_parameter(random, known.things.get(kind, TEXTS)) for kind in place.kinds]
    path = place.path.format(*(quote(one.encode("utf-8", "surrogatepass"), safe="") for one in parameters))
    query = [(random.choice([random.choice(QUERY), text(random)]), text(random)) for _ in range(random.randint(0, 2))]
    if query:
        path += "?" + _encoded(query)
    method = random.choice(METHODS)
    kind, body = _body(random, place.name, known) if method in ("POST", "PUT", "PATCH", "DELETE") else ("", b"")
    length = random.choice([None] * 12 + ["", "0", "²", "-1", "1_0"])
    return Ask(place.name, method, path, kind, body, _headers(random, place.name), length)


def _filled(random: Random, known: Known) -> Ask:
    """A form as its page sends it, with odd values in some of its fields."""
    form = random.choice(known.forms)
    fields = bent_form(random, form.fields, known.things["value"])
    if form.in_parts or random.random() < 0.1:
        kind, body = PARTS, _multipart(fields, cut=False)
    else:
        kind, body = FORM, _encoded(fields).encode()
    return Ask(form.name, "POST", form.path, kind, body, _headers(random, "") if random.random() < 0.3 else {})


def _parameter(random: Random, fitting: list[str]) -> str:
    return random.choice(fitting if random.random() < 0.5 else TEXTS)


def _headers(random: Random, name: str) -> dict[str, str]:
    names = random.sample(sorted(HEADERS), random.randint(0, 2))
    if name.startswith(("upload", "clip_upload")):
        names += [one for one in ("Tus-Resumable", "Upload-Length", "Upload-Offset") if random.random() < 0.5]
    return {one: random.choice(HEADERS[one]) for one in names}


def _body(random: Random, name: str, known: Known) -> tuple[str, bytes]:
    how = random.randint(0, 9)
    if how == 0:
        return random.choice(KINDS), random.randbytes(random.randint(0, 40))
    if name in known.samples and how < 8:
        value = bent(random, random.choice(known.samples[name]))
        return "application/json", json.dumps(value).encode("utf-8", "surrogatepass")
    pairs = [
        (random.choice(fields()), random.choice([text(random), random.choice(known.things["value"])]))
        for _ in range(random.randint(0, 8))
    ]
    if how < 7:
        return FORM, _encoded(pairs).encode()
    return PARTS, _multipart(pairs, cut=how == 9)


def _encoded(pairs: list[tuple[str, str]]) -> str:
    return urlencode([(_bytes(name), _bytes(value)) for name, value in pairs])


def _bytes(text: str) -> bytes:
    return text.encode("utf-8", "surrogatepass")


def _multipart(pairs: list[tuple[str, str]], *, cut: bool) -> bytes:
    parts = [
        b'--zig\r\nContent-Disposition: form-data; name="%s"%s\r\n\r\n%s\r\n'
        % (_bytes(name), b'; filename="a.mp4"' if name == "clip" else b"", _bytes(value))
        for name, value in pairs
    ]
    whole = b"".join(parts) + b"--zig--\r\n"
    return whole[: len(whole) // 2] if cut else whole
