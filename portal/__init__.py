"""Cagenote's portal: people, camps, intake, measuring, desk, drills, evaluations."""

from portal.celery import app as celery_app

__all__ = ["celery_app"]
