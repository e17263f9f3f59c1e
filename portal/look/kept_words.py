"""Words that a browser keeps until they are sent (static/js/kept_words.js): saying that they have arrived."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest

TAKEN = "taken"  # templates/components/messages.html marks such a message


def taken(request: HttpRequest, words: str) -> None:
    """Say that a form was taken, so that the browser lets go of what was typed in it."""
    messages.success(request, words, extra_tags=TAKEN)
