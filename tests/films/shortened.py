"""Rendered films cut to the frames about their swing, for tests that look at no others: watching takes half as long.

Pictures, sound and times are the film's own, copied as they are packed.
"""

from __future__ import annotations

from pathlib import Path

import av

from tests.once import once

OUT = Path(__file__).parent / "out"
# Of the film with the fewest frames: from a key picture before the set-up (35) to a while after the finish (76).
ROWAN = ("rowan_right_chest_uneven", 30, 92)


def shortened(name: str, first: int, last: int) -> Path:
    """Frames `first` (a key picture) to `last` of a rendered film, made once for a run. Its frame 0 is frame `first` of the whole one."""
    film = OUT / f"{name}.mp4"
    return once("films", f"{name}-{first}-{last}", lambda folder: _cut(film, folder / film.name, first, last)) / film.name


def _cut(whole: Path, place: Path, first: int, last: int) -> None:
    with av.open(str(whole)) as film, av.open(str(place), "w", options={"movflags": "+faststart"}) as out:
        pictures = [packet for packet in film.demux(video=0) if packet.pts is not None]  # none leans on a later one: pts are in order
        assert pictures[first].is_keyframe
        start, end = (float(pictures[frame].pts * pictures[frame].time_base) for frame in (first, last + 1))
        streams = {stream.index: out.add_stream_from_template(stream) for stream in film.streams}
        film.seek(0)
        for packet in film.demux():
            if packet.pts is None or not start - 1e-6 <= float(packet.pts * packet.time_base) < end - 1e-6:
                continue
            moved = round(start / packet.time_base)
            packet.pts, packet.dts = packet.pts - moved, packet.dts - moved
            packet.stream = streams[packet.stream_index]
            out.mux(packet)
