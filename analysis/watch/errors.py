"""What goes wrong with a clip, said so that a parent can do something about it."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.watch.caps import MAX_DURATION_S

AGAIN = "Please send the original clip from your phone again."


@dataclass
class ClipError(Exception):
    """A clip that can't be measured: a stable `code` and one kind sentence in `words`."""

    code: str
    words: str

    def __str__(self) -> str:
        return self.words


def cut_off() -> ClipError:
    """The refusal of a clip whose end is missing so early that no swing can be measured."""
    return ClipError(
        "truncated",
        "This clip is cut off: too much of it is missing to measure a swing. "
        "The upload may have stopped early: please send it again.",
    )


def damaged() -> ClipError:
    """The refusal of a clip that has its full length, but of which hardly anything can be decoded."""
    return ClipError("damaged", f"This clip is damaged: most of its pictures can't be decoded. {AGAIN}")


def broken_index() -> ClipError:
    """The refusal of a clip whose index lists what the file can't hold."""
    return ClipError("broken_index", f"The index of this clip is broken: it lists more than the file can hold. {AGAIN}")


def too_long(duration_s: float) -> ClipError:
    """The refusal of a clip longer than the cap."""
    return ClipError(
        "too_long",
        f"This clip says it is {_length(duration_s)} long; at most {MAX_DURATION_S / 60:.0f} minutes can be measured. "
        "Please trim it to the swings and send it again.",
    )


def too_many_frames() -> ClipError:
    """The refusal of a clip with more pictures than two minutes of the quickest camera."""
    return ClipError("too_long", "This clip holds too many frames. Please trim it to the swings and send it again.")


def too_heavy() -> ClipError:
    """The refusal of a clip that needs more memory, or more pixels in all, than any film from a phone."""
    return ClipError(
        "too_heavy",
        "Unpacking this clip takes far more than a film from a phone does, so we stopped. "
        "Please film at 1080p, trim the clip to the swings and send it again.",
    )


def crashed() -> ClipError:
    """The refusal of a clip that made the process that reads it fall over."""
    return ClipError("crashed", f"This file made our reader stop. {AGAIN} If that stops as well, it is our trouble.")


def unpacks() -> ClipError:
    """The refusal of a file so tightly packed that its pictures hold next to nothing."""
    return ClipError(
        "unpacks", f"This small file unpacks to far more than a film can: its pictures are all but empty. {AGAIN}"
    )


def no_picture_decodes() -> ClipError:
    """The refusal of a file that tells of pictures and yields none."""
    return ClipError(
        "not_video", "No picture of this file can be decoded. Please send the original clip from your phone."
    )


def false_times(how: str) -> ClipError:
    """The refusal of a clip whose times can't be trusted: `how` says what is wrong with them."""
    return ClipError(
        "false_times", f"The times in this file {how}, so nothing about the swing's timing could be trusted. {AGAIN}"
    )


def _length(duration_s: float) -> str:
    minutes = duration_s / 60
    if minutes >= 60_000:
        return "more than 1,000 hours"
    if minutes < 3:
        return f"{duration_s:.0f} seconds"
    return f"{minutes / 60:.0f} hours" if minutes >= 100 else f"{minutes:.0f} minutes"
