"""The task queue. It only carries work: the database is the truth."""

import os
import signal
import sys

from celery import Celery
from celery.signals import worker_process_init

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "portal.settings")

app = Celery("portal", task_cls="portal.queue_door:Hurried")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()


@worker_process_init.connect
def leave_in_order(**kwargs: object) -> None:
    """A worker that is asked to stop (SIGQUIT: after five seconds) ends its task as an exit, not as a death.

    So a clip in the middle is given back at once and without blame (portal/measuring/work.py).
    """
    signal.signal(signal.SIGTERM, lambda number, frame: sys.exit(0))
