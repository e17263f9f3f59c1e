"""Painters in processes of their own, for many workers: a few contexts on a graphics card serve them all.

A worker asks through the shop's queue and waits at its own bell; pictures come back through shared memory.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Iterator
from multiprocessing.shared_memory import SharedMemory
from typing import Any

import numpy as np

from tests.films.camera import Camera
from tests.films.solids import Light

from .movers import Moment
from .painter import Figure, Painter

__all__ = ["Customer", "open_shop", "serve"]


def serve(side: int, device: int, asked: Any, bells: list[Any]) -> None:
    """Draw what is asked for until None is asked."""
    painter = Painter(side, device)
    while (wish := asked.get()) is not None:
        number, name, figure, light, moves, shadows, view = wish
        block = SharedMemory(name=name)
        try:
            painter.take(figure, light)
            out = np.ndarray((len(moves), side, side, 4), np.uint8, buffer=block.buf)
            painter.fill(out, moves, shadows, *view)
            del out
        finally:
            block.close()
            bells[number].release()


class Customer:
    """A painter that has its pictures drawn in the shop; used like `Painter`."""

    def __init__(self, side: int, number: int, asked: Any, bell: Any) -> None:
        self.side, self.number, self.asked, self.bell = side, number, asked, bell
        self.figure: Figure | None = None
        self.light: Light | None = None

    def take(self, figure: Figure, light: Light) -> None:
        """Draw this figure from now on."""
        self.figure, self.light = figure, light

    def draw(
        self,
        moments: list[tuple[Moment, bool]],
        camera: Camera,
        mirrored: bool,
        origin: np.ndarray,
        crop: tuple[float, float, float],
    ) -> Iterator[np.ndarray]:
        """As `Painter.draw`."""
        assert self.figure is not None
        moves = np.array([self.figure.moves(moment) for moment, _ in moments])
        shadows = np.array([shadow for _, shadow in moments])
        block = SharedMemory(create=True, size=len(moves) * self.side * self.side * 4)
        try:
            view = (camera, mirrored, origin, crop)
            self.asked.put((self.number, block.name, self.figure, self.light, moves, shadows, view))
            if not self.bell.acquire(timeout=200):
                raise TimeoutError("the painter does not answer")
            out = np.ndarray((len(moves), self.side, self.side, 4), np.uint8, buffer=block.buf).copy()
        finally:
            block.close()
            block.unlink()
        yield from out


def open_shop(side: int, painters: int, customers: int) -> tuple[list[Any], list[Any], list[Any]]:
    """Processes, a queue for each of them, and a bell for each customer."""
    context = multiprocessing.get_context("spawn")
    bells = [context.Semaphore(0) for _ in range(customers)]
    queues = [context.Queue() for _ in range(painters)]
    shop = [
        context.Process(target=serve, args=(side, n // 2, queue, bells), daemon=True) for n, queue in enumerate(queues)
    ]
    for process in shop:
        process.start()
    return shop, queues, bells
