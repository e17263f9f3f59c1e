"""Celery's command, with a worker that misses a killed child within half a second. Its own looks are five seconds apart: a test that
kills a dozen of its children would wait a minute for nothing.
"""

from celery.__main__ import main
from celery.concurrency.asynpool import AsynPool

AsynPool.timers = property(lambda pool: {pool.maintain_pool: 0.5})

if __name__ == "__main__":
    main()
