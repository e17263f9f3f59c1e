"""Building the pose models: what comes out, that it is always the same, and what is said when something is wrong."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest

from analysis.watch import models
from analysis.watch.metadata import Normalisation, read_normalisation, with_metadata
from analysis.watch.models import ModelError, build, find_model, pack_bundle, sha256_of

PACKAGE = Path(__file__).resolve().parents[3] / "node_modules" / "@mediapipe" / "pose"


def test_a_bundle_is_stored_aligned_and_always_the_same() -> None:
    files = {"a.tflite": b"x" * 13, "pose_landmarks_detector.tflite": b"y" * 7}
    data = pack_bundle(files)
    assert data == pack_bundle(files)
    for name, content in files.items():
        at = data.index(content)
        assert at % models.ALIGNMENT == 0, name


def test_a_bundle_is_read_by_pythons_zip_reader(tmp_path: Path) -> None:
    path = tmp_path / "some.task"
    path.write_bytes(pack_bundle({"one": b"1", "two": b"22"}))
    with zipfile.ZipFile(path) as bundle:
        assert bundle.testzip() is None
        assert [entry.compress_type for entry in bundle.infolist()] == [zipfile.ZIP_STORED] * 2
        assert bundle.read("two") == b"22"


def test_the_built_models_are_the_expected_ones_and_carry_their_normalisation(models_there: None) -> None:
    for name in models.MODELS:
        path = models.default_folder() / models.task_name(name)
        assert sha256_of(path) == models.BUNDLE_SHA256[name]
        with zipfile.ZipFile(path) as bundle:
            assert read_normalisation(bundle.read("pose_detector.tflite")) == Normalisation(127.5, 127.5)
            assert read_normalisation(bundle.read("pose_landmarks_detector.tflite")) == Normalisation(0.0, 255.0)


@pytest.mark.slow
def test_building_from_the_package_gives_the_expected_bytes(tmp_path: Path) -> None:
    if not PACKAGE.is_dir():
        pytest.skip("node_modules/@mediapipe/pose is absent; npm ci brings it")
    built = build(PACKAGE, tmp_path)
    assert [path.name for path in built] == [models.task_name(name) for name in models.MODELS]
    before = [path.stat().st_mtime_ns for path in built]
    assert [path.stat().st_mtime_ns for path in build(PACKAGE, tmp_path)] == before  # nothing is built twice


def test_metadata_replaces_what_was_there(models_there: None) -> None:
    with zipfile.ZipFile(find_model("lite").path) as bundle:
        network = bundle.read("pose_landmarks_detector.tflite")
    assert read_normalisation(with_metadata(network, Normalisation(3.0, 4.0))) == Normalisation(3.0, 4.0)


def test_a_changed_package_file_is_refused(tmp_path: Path) -> None:
    for name in models.SOURCE_SHA256:
        (tmp_path / name).write_bytes(b"changed")
    with pytest.raises(ModelError, match="SHA-256"):
        build(tmp_path, tmp_path / "out")
    assert list((tmp_path / "out").iterdir()) == []


def test_a_missing_package_says_what_to_run(tmp_path: Path) -> None:
    with pytest.raises(ModelError, match="npm ci"):
        build(tmp_path, tmp_path / "out")


def test_a_missing_model_says_how_to_build_it(tmp_path: Path) -> None:
    with pytest.raises(ModelError, match=r"analysis\.watch\.models build"):
        find_model("heavy", tmp_path)


def test_an_unknown_model_lists_the_choices() -> None:
    with pytest.raises(ModelError, match="heavy, full, lite"):
        models.task_name("huge")


def test_another_model_may_take_the_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    own = tmp_path / "own.task"
    own.write_bytes(b"anything")
    monkeypatch.setenv("CAGENOTE_POSE_MODEL", str(own))
    assert find_model("heavy").path == own
    assert find_model("heavy").name == "own"
