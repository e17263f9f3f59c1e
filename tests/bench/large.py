"""Write a clip anew at 4K, in HEVC with ten bits a colour: of what phones send, what takes most to decode.

`python -m tests.bench.large CLIP OUT`: in a process of its own, for what starts another one lends it its own peak of memory.
"""

from __future__ import annotations

import sys
from pathlib import Path

import av
from av.video.reformatter import Interpolation

SHORTER_SIDE = 2160


def write_large(clip: Path, out: Path) -> None:
    """Write the pictures of `clip`, at its usual rate and without sound."""
    with av.open(str(clip)) as container, av.open(str(out), "w") as film:
        source = container.streams.video[0]
        scale = SHORTER_SIDE / min(source.width, source.height)
        quick = {"preset": "ultrafast", "x265-params": "log-level=none"}
        stream = film.add_stream("libx265", rate=source.average_rate, options=quick)
        stream.width, stream.height = (2 * round(side * scale / 2) for side in (source.width, source.height))
        stream.pix_fmt = "yuv420p10le"
        for index, frame in enumerate(container.decode(source)):
            large = frame.reformat(stream.width, stream.height, stream.pix_fmt, interpolation=Interpolation.BICUBIC)
            large.pts, large.time_base = index, 1 / source.average_rate
            film.mux(stream.encode(large))
        film.mux(stream.encode())


if __name__ == "__main__":
    write_large(Path(sys.argv[1]), Path(sys.argv[2]))
