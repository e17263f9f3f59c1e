"""Build the pose models' `.task` bundles from the tensor files of `@mediapipe/pose`, checked by hash.

A `.task` file is a stored zip of a person detector and a landmark model, each with TFLite metadata
that tells how to normalise the picture. The package files lack that metadata; this module adds it.

    python -m analysis.watch.models build --from node_modules/@mediapipe/pose --to models
"""

from __future__ import annotations

import argparse
import hashlib
import io
import os
import sys
import zipfile
from dataclasses import dataclass
from pathlib import Path

from analysis.watch.metadata import Normalisation, with_metadata

MODELS = ("heavy", "full", "lite")
DETECTOR_FILE = "pose_solution_packed_assets.data"
ALIGNMENT = 4
LOCAL_HEADER = 30  # bytes before the name in a zip's local header (PKWARE APPNOTE 4.3.7; from memory)
_DAWN_OF_ZIP = (1980, 1, 1, 0, 0, 0)

# Of @mediapipe/pose 0.5.1675469404, computed from the files that npm delivered.
SOURCE_SHA256 = {
    DETECTOR_FILE: "a63c614bef30d35947f13be361820b1e4e3bec9cfeebf4d11216a18373108e85",
    "pose_landmark_heavy.tflite": "59e42d71bcd44cbdbabc419f0ff76686595fd265419566bd4009ef703ea8e1fe",
    "pose_landmark_full.tflite": "e9a5c5cb17f736fafd4c2ec1da3b3d331d6edbe8a0d32395855aeb2cdfd64b9f",
    "pose_landmark_lite.tflite": "f17bfbecadb61c3be1baa8b8d851cc6619c870a87167b32848ad20db306b9d61",
}
# Of what this module builds from them: a changed tool must not change a model unnoticed.
BUNDLE_SHA256 = {
    "heavy": "de8a85d72505bd93efacd2c524daad273bc09f98f2b235e8a0505d29044b6682",
    "full": "f76932bda89a21b171bda2935bc71e4ecc1a74240d058396235746263a8b8d67",
    "lite": "a2d615620e73a6e821b8d1146a03fffec4e58dc76175e07ac6db8951197f5319",
}

# Input ranges of the two networks: the detector wants -1..1, the landmark model 0..1.
DETECTOR_NORMALISATION = Normalisation(mean=127.5, std=127.5)
LANDMARKS_NORMALISATION = Normalisation(mean=0.0, std=255.0)


class ModelError(Exception):
    """A model file is missing or is not the one expected; the message says what to do."""


@dataclass(frozen=True)
class Model:
    """A pose model on disk: its path, its name for the record and the hash of its bytes."""

    path: Path
    name: str
    sha256: str


def sha256_of(path: Path) -> str:
    """Return the hex SHA-256 of a file, read in pieces."""
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while piece := file.read(1 << 20):
            digest.update(piece)
    return digest.hexdigest()


def find_model(name: str = "heavy", folder: Path | None = None) -> Model:
    """Find the bundle `name` in `folder` (default `models/` of the project, or CAGENOTE_MODELS).

    `CAGENOTE_POSE_MODEL` names another `.task` file that takes the place of the heavy model.
    """
    own = os.environ.get("CAGENOTE_POSE_MODEL")
    if own and name == "heavy":
        path, label = Path(own), Path(own).stem
    else:
        path, label = (folder or default_folder()) / task_name(name), f"pose_landmarker_{name}"
    if not path.is_file():
        raise ModelError(
            f"The pose model {path} is not there. Build it with: python -m analysis.watch.models build "
            "--from node_modules/@mediapipe/pose --to models"
        )
    return Model(path, label, sha256_of(path))


def default_folder() -> Path:
    """Return the folder of the built models: CAGENOTE_MODELS, or `models/` beside `analysis/`."""
    own = os.environ.get("CAGENOTE_MODELS")
    return Path(own) if own else Path(__file__).resolve().parents[2] / "models"


def task_name(name: str) -> str:
    """Return the file name of the bundle `name`; an unknown name is a ModelError."""
    if name not in MODELS:
        raise ModelError(f"No pose model is called {name!r}; choose one of {', '.join(MODELS)}.")
    return f"pose_landmarker_{name}.task"


def build(source: Path, target: Path) -> list[Path]:
    """Build all bundles into `target` from the package folder `source`; those already right stay."""
    target.mkdir(parents=True, exist_ok=True)
    return [_build_one(name, source, target) for name in MODELS]


def _build_one(name: str, source: Path, target: Path) -> Path:
    path = target / task_name(name)
    if path.is_file() and sha256_of(path) == BUNDLE_SHA256[name]:
        return path
    detector = _read_checked(source / DETECTOR_FILE)
    landmarks = _read_checked(source / f"pose_landmark_{name}.tflite")
    bundle = pack_bundle(
        {
            "pose_detector.tflite": with_metadata(detector, DETECTOR_NORMALISATION),
            "pose_landmarks_detector.tflite": with_metadata(landmarks, LANDMARKS_NORMALISATION),
        }
    )
    found = hashlib.sha256(bundle).hexdigest()
    if found != BUNDLE_SHA256[name]:
        raise ModelError(
            f"The {name} model came out as {found}, expected {BUNDLE_SHA256[name]}. Install the pinned "
            "requirements (flatbuffers and mediapipe shape these bytes) and build again."
        )
    unfinished = path.with_suffix(".part")
    unfinished.write_bytes(bundle)
    unfinished.replace(path)
    return path


def _read_checked(path: Path) -> bytes:
    if not path.is_file():
        raise ModelError(f"{path} is missing. Run npm ci first: it brings the package @mediapipe/pose.")
    data = path.read_bytes()
    found, expected = hashlib.sha256(data).hexdigest(), SOURCE_SHA256[path.name]
    if found != expected:
        raise ModelError(f"{path} has the SHA-256 {found}, expected {expected}. Run npm ci again to restore it.")
    return data


def pack_bundle(files: dict[str, bytes]) -> bytes:
    """Pack `files` as a stored zip, each file's bytes on a 4-byte boundary so that it can be mapped.

    The same input always gives the same bytes: the time of day is not written.
    """
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as bundle:
        for name, data in files.items():
            entry = zipfile.ZipInfo(name, _DAWN_OF_ZIP)
            entry.extra = _padding(out.tell() + LOCAL_HEADER + len(name))
            bundle.writestr(entry, data)
    return out.getvalue()


def _padding(data_at: int) -> bytes:
    """Return a zip extra field (private id 0xCA9E) after which the data starts aligned."""
    filler = -(data_at + 4) % ALIGNMENT
    return b"\x9e\xca" + filler.to_bytes(2, "little") + bytes(filler)


def main(arguments: list[str] | None = None) -> int:
    """Run the command line; return its exit status."""
    parser = argparse.ArgumentParser(prog="python -m analysis.watch.models", description=__doc__)
    commands = parser.add_subparsers(dest="command", required=True)
    command = commands.add_parser("build", help="build the pose models")
    command.add_argument("--from", dest="source", type=Path, default=Path("node_modules/@mediapipe/pose"))
    command.add_argument("--to", dest="target", type=Path, default=default_folder())
    chosen = parser.parse_args(arguments)
    try:
        for path in build(chosen.source, chosen.target):
            print(f"{path}  {path.stat().st_size / 1e6:.1f} MB")
    except ModelError as error:
        print(error, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
