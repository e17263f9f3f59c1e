"""Beat puts these into the queues; a worker that takes them is alive, and so is all that lies between."""

from celery import shared_task

from portal.health.models import Heartbeat, Part


@shared_task
def heartbeat() -> None:
    Heartbeat.write(Part.WORKER)


@shared_task
def measurer_heartbeat() -> None:
    Heartbeat.write(Part.MEASURER)


@shared_task
def mailer_heartbeat() -> None:
    Heartbeat.write(Part.MAILER)
