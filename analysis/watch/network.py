"""Run one network of a `.task` bundle on the CPU."""

from __future__ import annotations

import os
import sys
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import numpy as np
from numpy.typing import NDArray

from analysis.watch.metadata import read_normalisation, with_outputs
from analysis.watch.models import Model, ModelError

DETECTOR = "pose_detector.tflite"
LANDMARKS = "pose_landmarks_detector.tflite"
THREADS = 2

Floats = NDArray[np.float32]


class Network:
    """A TFLite network with one picture going in, normalised as its metadata asks."""

    def __init__(self, model: Model, part: str, wanted: Sequence[int] = (), threads: int = THREADS) -> None:
        """Load `part` of the bundle `model`; ModelError when the bundle does not hold it.

        wanted  places of the outputs that `run` gives, in that order; what only others need is not computed. Empty: all.
        """
        from ai_edge_litert.interpreter import Interpreter  # here, so that a missing wheel names itself when used

        try:
            with zipfile.ZipFile(model.path) as bundle:
                data = bundle.read(part)
            if wanted:
                data = with_outputs(data, wanted)
            self._normalisation = read_normalisation(data)
        except (KeyError, ValueError, zipfile.BadZipFile) as error:
            raise ModelError(f"{model.path} is not a pose model bundle with {part}. Build the models again.") from error
        with _native_chatter_off():
            self._runner: Any = Interpreter(model_content=data, num_threads=threads)
            self._runner.allocate_tensors()
        self._input = self._runner.get_input_details()[0]
        self._outputs = self._runner.get_output_details()[: len(wanted) or None]

    @property
    def side(self) -> int:
        """The side of the square picture that goes in, px."""
        return int(self._input["shape"][1])

    def run(self, picture: NDArray[np.uint8]) -> list[Floats]:
        """Return the outputs for `picture`, uint8 [side, side, 3] RGB: those wanted, or all in the network's order."""
        values = (picture.astype(np.float32) - self._normalisation.mean) / self._normalisation.std
        self._runner.set_tensor(self._input["index"], values[None])
        self._runner.invoke()
        return [np.array(self._runner.get_tensor(output["index"])[0]) for output in self._outputs]


@contextmanager
def _native_chatter_off() -> Iterator[None]:
    """Keep the runtime's greetings off stderr, where only the reason of a failure belongs."""
    sys.stderr.flush()
    kept, nowhere = os.dup(2), os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 2)
        yield
    finally:
        os.dup2(kept, 2)
        os.close(kept)
        os.close(nowhere)
