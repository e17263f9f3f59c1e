"""The owner's tables: the coaches' drafts, to read."""

from django.contrib import admin

from portal.desk.models import Assignment, HandOver, MarkUp, Rating, Review
from portal.people.readonly_admin import ReadOnly, ReadOnlyRows


class RatingRows(ReadOnlyRows):
    model = Rating


class MarkUpRows(ReadOnlyRows):
    model = MarkUp
    fields = ["frame", "instant", "caption", "in_evaluation"]


class AssignmentRows(ReadOnlyRows):
    model = Assignment
    fields = ["drill", "goal", "words"]


@admin.register(Review)
class ReviewAdmin(ReadOnly):
    list_display = ["submission", "thing_checkpoint", "saved_at"]
    inlines = [RatingRows, MarkUpRows, AssignmentRows]


@admin.register(HandOver)
class HandOverAdmin(ReadOnly):
    list_display = ["submission", "from_coach", "to_coach", "by", "at"]
    list_select_related = ["submission__player", "from_coach", "to_coach", "by"]
