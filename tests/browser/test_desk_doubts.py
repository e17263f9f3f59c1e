"""The second look at the desk: told beside the button that publishes, each with the way to its place, and never a wall."""

from __future__ import annotations

import pytest

from portal.desk.models import Rating, Review
from portal.evaluations.models import Evaluation
from tests.browser.conftest import DESKTOP, PHONE
from tests.browser.desk_film import until
from tests.browser.test_desk_words import reads
from tests.browser.width import fits
from tests.servers import wait_until

pytest_plugins = ["tests.browser.desk_pages"]


@pytest.fixture
def doubtful(desk_of):
    """A knee that reads in its band is the one thing and is rated work on; another child is greeted; nothing good is said."""
    reads(44.0, "in range")
    _coach, review = desk_of
    review.thing_checkpoint, review.thing_title, review.thing_words = "down_front_knee", "Front knee", "Bend it 85°."
    review.save()
    Rating.objects.create(review=review, checkpoint="down_front_knee", rate="work_on", words="A soft 136°.")
    return review


def told(page):
    return page.locator("#doubts-list li").all_text_contents()


def look(page):
    until(page, "!document.getElementById('doubts-open').hidden")
    page.locator("#doubts-open").click()


# In the page: the second look is held on its way until `letIn()`.
HELD_LOOK = """
const ask = window.fetch;
window.fetch = async (address, ...rest) => {
  const answer = await ask(address, ...rest);
  if (String(address).includes("/evaluation/")) await new Promise((go) => { window.letIn = go; });
  return answer;
};
"""


@pytest.fixture
def with_held_look(open_page, sign_in, desk_of, doubtful):
    """The last stop, its second look not yet there."""

    def open_one(**options):
        coach, review = desk_of
        page = open_page(**{**DESKTOP, **options})
        page.add_init_script(HELD_LOOK)
        sign_in(page, coach)
        page.goto(f"/submissions/{review.submission_id}/desk/preview/")
        until(page, "document.body.dataset.ready && window.letIn")
        return page

    return open_one


def press(page, selector):
    box = page.locator(selector).bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()


@pytest.mark.parametrize("size", [(1280, 800), (1024, 700), (390, 844)])
def test_a_press_on_publish_is_not_lost_to_a_look_that_comes_meanwhile(with_held_look, size):
    page = with_held_look(viewport={"width": size[0], "height": size[1]})
    press(page, "#publish-open")
    page.evaluate("letIn()")
    page.mouse.up()
    page.locator("#publish-dialog").wait_for()
    assert told(page)


@pytest.mark.parametrize("width", [1280, 1024])
def test_the_button_that_publishes_stands_still_when_the_look_finds_something(with_held_look, width):
    page = with_held_look(viewport={"width": width, "height": 700})
    before = page.locator("#publish-open").bounding_box()
    page.evaluate("letIn()")
    page.locator("#doubts-open").wait_for()
    assert page.locator("#publish-open").bounding_box() == before


def test_publishing_waits_for_the_look_that_is_on_its_way(with_held_look):
    page = with_held_look()
    page.locator("#publish-open").click()
    assert page.locator("#publish-dialog").is_hidden()
    page.evaluate("letIn()")
    page.locator("#publish-dialog").wait_for()
    assert told(page)


def test_a_look_that_never_comes_keeps_nobody_from_publishing(with_held_look):
    page = with_held_look()
    page.locator("#publish-open").click()
    page.locator("#publish-dialog").wait_for()
    press(page, "#publish-form button.act")
    page.evaluate("letIn()")
    page.mouse.up()
    page.wait_for_url("**/evaluations/**")
    assert Evaluation.objects.count() == 1


def test_what_is_read_before_publishing_stays_until_it_is_closed(with_held_look):
    page = with_held_look()
    page.evaluate("letIn()")
    look(page)
    before = told(page)
    page.evaluate("void desk.doubts.take(null)")
    assert told(page) == before
    page.keyboard.press("Escape")
    until(page, "document.getElementById('doubts-open').hidden")
    assert told(page) == []


def test_doubts_are_told_before_publishing_and_lead_to_their_place(open_desk, doubtful):
    page = open_desk("preview")
    look(page)
    sentences = told(page)
    assert page.locator("#doubts-title").text_content() == f"{len(sentences)} things to look at before you publish"
    for words in ("Nothing good is said", "was measured in range (44°", "“85°”", "“136°”", "No drill of the plan"):
        assert any(words in sentence for sentence in sentences), words
    page.locator("#doubts-list li", has_text="“136°”").locator("a").click()
    until(page, "desk.walk.stop === 'foot_down'")
    assert page.locator("#publish-dialog").is_hidden()
    assert page.locator("#point-down_front_knee.here").is_visible()


@pytest.mark.parametrize(
    ("words", "field"),
    [
        ("Nothing good is said", "#good-title"),
        ("was measured in range", "#thing-words"),
        ("No drill of", "#library summary"),
    ],
)
def test_a_doubt_of_the_write_up_puts_the_hand_there(open_desk, doubtful, words, field):
    page = open_desk("preview")
    look(page)
    page.locator("#doubts-list li", has_text=words).locator("a").first.click()
    until(page, f"document.activeElement === document.querySelector({field!r})")


def test_what_is_settled_is_told_no_more(open_desk, doubtful):
    page = open_desk("preview")
    look(page)
    before = len(told(page))
    page.keyboard.press("Escape")
    page.locator("#thing-words").fill("Bend it softly.")
    page.locator("#thing-words").blur()
    until(page, f"document.querySelectorAll('#doubts-list li').length === {before - 1}")
    assert not any("85°" in sentence for sentence in told(page))


def test_the_coach_can_publish_all_the_same(open_desk, doubtful):
    page = open_desk("preview")
    until(page, "!document.getElementById('doubts-open').hidden && !document.getElementById('publish-open').disabled")
    page.locator("#publish-open").click()
    assert "Go there" in page.evaluate("document.activeElement.textContent")  # Enter reads before it publishes
    page.get_by_role("button", name="Publish all the same").click()
    assert wait_until(Evaluation.objects.exists, 20)


def test_a_draft_without_doubts_has_no_word_of_them(open_desk, desk_of):
    reads(74.0, "out of range")
    page = open_desk("foot_down")
    page.keyboard.press("t")
    page.keyboard.press("u")
    page.locator("#library summary").click()
    page.locator("#drills li button").first.click()
    page.locator("#good-add").click()
    page.keyboard.type("You stay tall.")
    page.locator("#closing").focus()
    until(page, "desk.saving.isClean && desk.saving.state === 'saved'")
    assert Review.objects.get().assignments.get().drill.slug == "tape-on-the-wall"
    page.locator("a[data-stop=preview]").click()
    until(page, "document.querySelector('#preview .evaluation')")
    page.locator("#publish-open").click()
    page.locator("#publish-dialog").wait_for()  # it opens when the look is there
    assert page.locator("#doubts-open").is_hidden()
    assert page.locator("#doubts").is_hidden()
    assert page.locator("#publish-dialog").get_by_role("button", name="Publish", exact=True).is_visible()


@pytest.mark.parametrize("size", [PHONE, DESKTOP], ids=["phone", "desktop"])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_they_fit_and_are_accessible(open_desk, doubtful, axe, shot, size, theme):
    page = open_desk("preview", color_scheme=theme, **size)
    look(page)
    fits(page)
    axe(page)
    shot(page, f"desk-doubts-{theme}-{size['viewport']['width']}")
