"""What a new site needs before the first family comes, one step at a time; each can be left and gone on with."""

from __future__ import annotations

from dataclasses import dataclass

from portal.camps.models import Camp
from portal.owner.models import Site
from portal.people import second_step
from portal.people.models import User


@dataclass(frozen=True)
class Step:
    """`id` names the part of the page that does it."""

    id: str
    done: bool


def steps_for(user: User) -> list[Step]:
    """The steps in their order. Nothing is remembered that can be seen: a step is done when its fruit is there."""
    site = Site.get()
    second = [Step("second", second_step.has_one(user))] if second_step.is_asked_of(user) else []
    return [
        Step("owner", True),
        *second,
        Step("name", bool(site.name)),
        Step("mail", site.mail_tested_at is not None),
        Step("camp", Camp.objects.exists()),
    ]


def left_for(user: User) -> list[Step]:
    """The steps that are still to be done; none once the owner has set them aside."""
    return [] if Site.get().set_aside else [step for step in steps_for(user) if not step.done]
