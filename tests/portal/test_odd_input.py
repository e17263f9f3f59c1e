"""Signs, numbers and shapes that no page sends: each gets an answer in words, and none breaks anything."""

from __future__ import annotations

import io
import json
from typing import Any
from urllib.parse import urlencode

import pytest
from django.contrib import admin
from django.core.handlers.wsgi import WSGIRequest
from django.test import RequestFactory
from django.urls import reverse

from portal.desk.models import MarkUp
from portal.evaluations.publish import draft_snapshot
from portal.json_body import Unreadable, read_object
from portal.plain_input import content_length, is_plain, plain_line
from tests.portal.conftest import make_submission

pytestmark = [pytest.mark.slow, pytest.mark.django_db]


def nested(depth: int) -> str:
    return '{"version": 0, "good": ' + "[" * depth + "]" * depth + "}"


ODD_BODIES = {
    "half of a pair": r'{"version": 0, "change": "a", "greeting": "\ud800"}',
    "half of a pair in a name": r'{"version": 0, "change": "a", "\udfff": "x"}',
    "half of a pair in a list": r'{"version": 0, "change": "a", "good": ["fine", "\ud800"]}',
    "NUL": r'{"version": 0, "change": "a", "good": ["\u0000"]}',
    "NaN": '{"version": 0, "change": "a", "shapes": [NaN]}',
    "infinity": '{"version": 0, "change": "a", "frame": 1e999}',
    "beyond 64 bits": '{"version": 18446744073709551616, "change": "a"}',
    "beyond what Python reads": '{"version": %s}' % ("9" * 5000),
    "deep": nested(100_000),
    "rather deep": nested(40),
    "no UTF-8": b'{"version": 0, "greeting": "\xff"}',
    "no object": "[1]",
    "nothing": "",
}


def post(client: Any, url: str, body: Any) -> Any:
    data = body if isinstance(body, str | bytes) else json.dumps(body)
    return client.post(url, data, content_type="application/json")


@pytest.mark.parametrize("what", ODD_BODIES)
@pytest.mark.parametrize("kind", ["draft", "rating", "markup", "assignment"])
def test_the_desk_answers_odd_bodies_in_words(kind, what, review, coach, sign_in):
    answer = post(sign_in(coach), reverse(f"desk_{kind}", args=[review.submission_id]), ODD_BODIES[what])
    assert answer.status_code == 400
    assert len(answer.json()["words"]) > 20
    review.refresh_from_db()
    assert review.version == 0


@pytest.mark.parametrize("what", ODD_BODIES)
def test_corrections_answer_odd_bodies_in_words(what, measured_clip, coach, sign_in):
    answer = post(sign_in(coach), reverse("clip_correct", args=[measured_clip.pk]), ODD_BODIES[what])
    assert answer.status_code == 400
    assert answer.json()["words"]


def test_a_form_where_the_desk_sends_json_is_refused_in_words(review, coach, sign_in):
    answer = sign_in(coach).post(reverse("desk_draft", args=[review.submission_id]), {"version": 0})
    assert (answer.status_code, bool(answer.json()["words"])) == (400, True)


def test_a_version_that_no_column_holds_is_refused(review, coach, sign_in):
    body = {"version": 2**31, "change": "a", "greeting": "Hi"}
    assert post(sign_in(coach), reverse("desk_draft", args=[review.submission_id]), body).status_code == 400


def test_too_much_at_once_is_said(review, coach, sign_in, settings):
    settings.DATA_UPLOAD_MAX_MEMORY_SIZE = 1000
    body = {"version": 0, "greeting": "x" * 2000}
    answer = post(sign_in(coach), reverse("desk_draft", args=[review.submission_id]), body)
    assert (answer.status_code, "too much" in answer.json()["words"]) == (413, True)


@pytest.mark.parametrize("frame", [60, 61, 999_999, 10**12, -1, "²"])
def test_a_drawing_outside_the_clip_is_refused_in_words(frame, review, coach, sign_in):
    body = {"version": 0, "clip": str(review.clip_id), "frame": frame, "caption": "Here"}
    answer = post(sign_in(coach), reverse("desk_markup", args=[review.submission_id]), body)
    assert answer.status_code == 400
    assert answer.json()["words"]


def test_a_drawing_on_a_clip_that_is_not_measured_is_refused(player, camp, coach, review, sign_in):
    from tests.portal.conftest import make_clip

    body = {"version": 0, "clip": str(make_clip(review.submission).pk), "frame": 0, "caption": "Here"}
    answer = post(sign_in(coach), reverse("desk_markup", args=[review.submission_id]), body)
    assert (answer.status_code, "0 frames" in answer.json()["words"]) == (400, True)


@pytest.mark.parametrize("shape", [{"kind": []}, {"kind": {}}, {"kind": "line", "points": [[10**400, 1], [1, 1]]}])
def test_a_shape_of_no_kind_at_all_is_refused(shape, review, coach, sign_in):
    body = {"version": 0, "clip": str(review.clip_id), "frame": 0, "shapes": [shape]}
    assert post(sign_in(coach), reverse("desk_markup", args=[review.submission_id]), body).status_code == 400


def test_a_set_up_of_lists_is_refused(review, coach, sign_in):
    from portal.drills.models import Drill

    Drill.objects.create(slug="thin-ice", title="Thin ice", in_short="s", goal="g")
    body = {"version": 0, "drill": "thin-ice", "set_up": {"ball": ["tee"], "rounds": {}}}
    answer = post(sign_in(coach), reverse("desk_assignment", args=[review.submission_id]), body)
    assert (answer.status_code, "ball must be one of" in answer.json()["words"]) == (400, True)


def test_an_old_drawing_outside_the_clip_breaks_neither_preview_nor_publishing(review, coach):
    """Kept before it was refused."""
    MarkUp.objects.create(review=review, clip=review.clip, frame=4711, caption="Nowhere")
    MarkUp.objects.create(review=review, clip=review.clip, frame=38, caption="Contact")
    assert [picture["frame"] for picture in draft_snapshot(review)["pictures"]] == [38]


@pytest.mark.parametrize("named", ["²", "٣", "-1", "9" * 30, "9" * 5000, "1e3"])
def test_a_reviewer_that_is_no_number_takes_nothing_over(named, review, coach, other_coach, camp, sign_in):
    camp.coaches.add(other_coach)
    answer = sign_in(other_coach).post(reverse("desk_claim", args=[review.submission_id]), {"from": named})
    assert answer.status_code == 302
    review.submission.refresh_from_db()
    assert review.submission.reviewer == coach


@pytest.mark.parametrize("address", ["/join/%00abc/", "/?next=%00", "/queue/?page=%00", "/drills/?trains=a%00"])
def test_nul_in_an_address_is_a_400_with_words(address, coach, sign_in):
    answer = sign_in(coach).get(address)
    assert answer.status_code == 400
    assert "Nothing was changed." in answer.content.decode()


@pytest.mark.parametrize("field", ["note", "\0"])
def test_nul_in_a_form_is_a_400(field, player, camp, guardian, sign_in):
    sent = make_submission(player, camp)
    answer = sign_in(guardian).post(reverse("submission_note", args=[sent.pk]), {field: "a\0b"})
    assert answer.status_code == 400


def request_behind_the_line(environ: dict[str, Any]) -> WSGIRequest:
    """What Django meets behind the guard that portal/wsgi.py puts before it."""
    met: list[WSGIRequest] = []

    def application(environ, _start_response):
        met.append(WSGIRequest(environ))
        return []

    plain_line(application)(environ, None)
    return met[0]


@pytest.mark.parametrize("charset", ["utf-7", "rot13", "UTF-16", "hex", "punycode", '"rot13"'])
def test_the_sender_chooses_no_alphabet(charset):
    """Django looks up the named one before any middleware; Python's rot13 is no text, and utf-7 makes halves of pairs."""
    environ = RequestFactory().get("/?page=%2B2AA-").environ
    environ["CONTENT_TYPE"] = f"text/plain; Charset={charset}"
    request = request_behind_the_line(environ)
    assert (request.GET["page"], request.encoding) == ("+2AA-", None)


@pytest.mark.parametrize("length", ["²", "-1", "1_0", "9" * 30])
def test_a_length_that_is_none_breaks_no_form(length):
    environ = RequestFactory().post("/", "a=b", content_type="application/x-www-form-urlencoded").environ
    environ["CONTENT_LENGTH"] = length
    assert not request_behind_the_line(environ).POST


def test_the_application_stands_behind_that_guard():
    from portal import wsgi

    assert wsgi.application.__qualname__.startswith("plain_line.")


@pytest.mark.parametrize("page", ["²", "0", "-3", "x", "9" * 400, "1e400", "nan"])
def test_a_page_that_is_none_shows_one_that_is(page, coach, sign_in):
    assert sign_in(coach).get("/queue/", {"page": page}).status_code == 200


@pytest.mark.parametrize("first", ["²", "x", "", "9" * 5000, "nan"])
def test_frames_that_are_no_numbers_are_a_400(first, measured_clip, coach, sign_in):
    url = reverse("clip_skeleton", args=[measured_clip.pk])
    assert sign_in(coach).get(url, {"first": first, "last": "3"}).status_code == 400


def test_a_damaged_session_cookie_is_as_good_as_none(client):
    client.cookies.load('sessionid="\\000\\000\\000\\000\\000\\000\\000\\000abc"')
    assert client.get("/").status_code == 200
    assert client.get("/family/").status_code == 302


@pytest.mark.parametrize(("announced", "length"), [("12", 12), ("", 0), ("²", 0), ("-5", 0), ("1_000", 0), (None, 0)])
def test_the_announced_length_is_a_number(announced, length):
    request = RequestFactory().get("/")
    request.META["CONTENT_LENGTH"] = announced
    assert content_length(request) == length


@pytest.mark.parametrize("announced", ["²", "-1", "x"])
def test_a_form_with_an_odd_length_is_refused(announced, player, camp, guardian, sign_in):
    sent = make_submission(player, camp)
    url = reverse("clip_upload", args=[sent.pk])
    answer = sign_in(guardian).post(url, CONTENT_LENGTH=announced)
    assert answer.status_code == 400
    assert not sent.clips.exists()


def test_a_form_that_broke_off_on_the_line_is_no_fault_of_ours(player, camp, guardian, sign_in):
    from django.http.request import UnreadablePostError

    class Broken(io.BytesIO):
        def read(self, *_):
            raise UnreadablePostError("gone")

    sent = make_submission(player, camp)
    client = sign_in(guardian)
    url = reverse("submission_note", args=[sent.pk])
    kind = "application/x-www-form-urlencoded"
    answer = client.generic("POST", url, **{"wsgi.input": Broken(), "CONTENT_LENGTH": "20", "CONTENT_TYPE": kind})
    assert answer.status_code == 400


def test_plain_text_is_told_from_odd():
    assert is_plain("Ñandú 棒球 👟\n\t")
    assert not is_plain("a\0")
    assert not is_plain("\udc80")


def test_a_number_is_read_exactly_or_not_at_all():
    def read(text: str) -> Any:
        return read_object(RequestFactory().post("/", text, content_type="application/json"))

    assert read('{"n": 9007199254740992, "x": -1.5e3}') == {"n": 2**53, "x": -1500.0}
    for odd in ('{"n": 9007199254740993}', '{"x": 1e17}', '{"x": -Infinity}'):
        with pytest.raises(Unreadable):
            read(odd)


@pytest.mark.parametrize("way", ["http://[", "//[", "http://[::1", "https://[x]/", "http://\u2100/"])
@pytest.mark.parametrize("name", ["account_login", "account_request_login_code", "account_signup", "admin:login"])
def test_a_way_on_that_is_no_address_is_not_gone(name, way, client, coach, sign_in):
    for somebody in (client, sign_in(coach)):
        for method in ("get", "post", "put"):
            answer = getattr(somebody, method)(f"{reverse(name)}?{urlencode({'next': way})}")
            assert answer.status_code < 500
            assert "[" not in answer.get("Location", "").replace("%5B", "")


@pytest.mark.parametrize(
    "other", ["f0c94521-da74-4135-9474-9f6d2fb08875", "²", "x", "9" * 30, "-1", "nan", "1, 2", "[]"]
)
def test_the_owners_tables_refuse_a_row_that_cannot_be_in_words(other, owner, sign_in):
    """Rows that others are named by: every form of the tables, with that in each of its fields."""
    client = sign_in(owner)
    request = client.get(reverse("admin:index")).wsgi_request
    for model, about in admin.site._registry.items():
        if not about.has_add_permission(request):
            continue
        url = reverse(f"admin:{model._meta.label_lower.replace('.', '_')}_add")
        fields = {field.name: other for field in model._meta.get_fields() if field.concrete}
        for inner in about.inlines:
            rows = model._meta.get_field(inner.model._meta.model_name).get_accessor_name()
            fields |= {f"{rows}-TOTAL_FORMS": "1", f"{rows}-INITIAL_FORMS": "0"}
            fields |= {f"{rows}-0-{field.name}": other for field in inner.model._meta.get_fields()}
        assert client.post(url, fields).status_code in (200, 400), (url, fields)


@pytest.mark.parametrize("number", ["9" * 30, str(2**63), str(-(2**63) - 1)])
def test_a_choice_by_a_number_that_no_column_holds_is_no_fault_of_ours(number, owner, coach, camp, sign_in):
    client = sign_in(owner)
    for url in (reverse("camp_coaches", args=[camp.pk]), reverse("admin:auth_group_add")):
        answer = client.post(url, {"name": "x", "coaches": [number], "permissions": [number]})
        assert answer.status_code in (200, 400)
    assert list(camp.coaches.all()) == [coach]


@pytest.mark.parametrize("other", ["tibor@example.org", "²", "", "9" * 30, "nan", "1,2", "[]", "1.5"])
def test_a_ticked_row_that_cannot_be_is_refused_in_every_table(other, owner, player, sign_in):
    client = sign_in(owner)
    for model in admin.site._registry:
        url = reverse(f"admin:{model._meta.label_lower.replace('.', '_')}_changelist")
        answer = client.post(url, {"action": "delete_selected", "select_across": "0", "_selected_action": [other]})
        assert answer.status_code in (400, 403), url
    people = reverse("admin:people_player_changelist")
    answer = client.post(people, {"action": "delete_selected", "_selected_action": [str(player.pk)]})
    assert answer.status_code in (200, 302)
