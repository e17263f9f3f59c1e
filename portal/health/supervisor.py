"""Keep the embedded set running: start in order, tend, restart who fell silent, stop everything at the end."""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterable
from types import FrameType

from portal.health.child import Child, Recipe

PAUSE_S = 0.5


class Supervisor:
    """`recipes` in the order in which they start; they stop in the opposite order.

    `silent(name)` says whether a running child shows no sign of life though it had time to; asked every
    `every_s` seconds.
    """

    def __init__(
        self,
        recipes: Iterable[Recipe],
        say: Callable[[str, str], None],
        silent: Callable[[str, float], bool] = lambda name, age_s: False,
        every_s: float = 15.0,
    ) -> None:
        self.children = [Child(recipe, say) for recipe in recipes]
        self._say = say
        self._silent = silent
        self._every_s = every_s
        self._over = threading.Event()
        self._trouble: BaseException | None = None

    @property
    def is_over(self) -> bool:
        return self._over.is_set()

    def run(self, when_started: Callable[[], None] = lambda: None) -> None:
        """Run until `stop` is called or the process is asked to end (SIGINT, SIGTERM, SIGHUP).

        `when_started` runs beside, in a thread; what it raises ends everything and is raised here, once all is stopped.
        """
        ends = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
        before = {number: signal.signal(number, self._asked_to_end) for number in ends}
        try:
            for child in self.children:
                child.start()
            threading.Thread(target=self._beside, args=(when_started,), daemon=True).start()
            self._tend()
        finally:
            self._stop_all()
            for number, handler in before.items():
                signal.signal(number, handler)
        if self._trouble is not None:
            raise self._trouble

    def _beside(self, when_started: Callable[[], None]) -> None:
        try:
            when_started()
        except BaseException as trouble:
            if not self.is_over:
                self._trouble = trouble
            self.stop()

    def stop(self) -> None:
        self._over.set()

    def _asked_to_end(self, number: int, frame: FrameType | None) -> None:
        self.stop()

    def _tend(self) -> None:
        waited = 0.0
        while not self._over.wait(PAUSE_S):
            for child in self.children:
                child.tend()
            waited += PAUSE_S
            if waited >= self._every_s:
                waited = 0.0
                self._restart_the_silent()

    def _restart_the_silent(self) -> None:
        for child in self.children:
            if child.is_running and self._silent(child.recipe.name, child.age_s):
                self._say(child.recipe.name, "gives no sign of life; starting it again")
                child.stop()

    def _stop_all(self) -> None:
        """All are asked at once but for the first, the queue: through it workers still give their clips back."""
        for child in self.children[1:]:
            child.ask_to_stop()
        for child in reversed(self.children):
            child.stop()
