"""How much a clip may ask of us. Beyond these caps it is refused in words; DEVELOPERS.md says why each lies where it does."""

from __future__ import annotations

MAX_BYTES = 2 * 1024**3  # of the file
MAX_DURATION_S = 120.0
MAX_FRAMES = 40_000
MAX_FPS = 2_000.0  # usual rate; no camera that a family has is quicker, broken times are
MAX_PIXELS = 4096 * 2304  # of a picture that is measured
MAX_DECODED_PIXELS = 4 * MAX_PIXELS  # of a picture that the decoder makes room for, so that 8K is refused by its size
MAX_UNPACKED_PIXELS = 120 * 60 * 3840 * 2160  # of all pictures: two minutes of 4K at 60 a second
MIN_SIDE = 96
MAX_STREAMS = 16

# Nothing filmed packs this tightly: noise of the sensor keeps phone film below some thousand to one (common practice).
PACKED_BYTES = 2 * 1024**3  # unpacked, from which on the ratio is looked at
PACKED_RATIO = 20_000
BYTES_PER_PIXEL = 1.5  # unpacked, in the layout of nearly every film

MAX_INDEX_BYTES = 32 * 1024**2  # of an MP4's `moov`, or of all that a Matroska file keeps beside its pictures
MAX_BOXES = 100_000
MAX_DEPTH = 10  # boxes in boxes; libav goes no deeper either
MAX_ENTRIES = 1_000_000  # of a table for sound, subtitles or data, and of all fragments together
MAX_SOUND_SAMPLES = 120 * 192_000  # uncompressed: two minutes at the highest rate in use
FEW_EDITS = 4  # what phones write: a pause, a lead-in of sound, a trim
MAX_EDITED = 200_000  # edits × samples, beyond the few: each edit is decoded from a key picture on

MAX_SOUND_S = 600.0  # of sound decoded, also where it lies before or behind the pictures


def packed_too_tightly(pixels: int, file_bytes: int) -> bool:
    """Say whether a file of `file_bytes` holds less than any film of so many pixels in all its pictures."""
    unpacked = pixels * BYTES_PER_PIXEL
    return unpacked > PACKED_BYTES and unpacked > PACKED_RATIO * file_bytes
