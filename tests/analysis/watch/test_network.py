"""One network of a bundle: which of its outputs it gives, and that nothing else is computed."""

from __future__ import annotations

import zipfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from analysis.watch.decode import frames
from analysis.watch.metadata import with_outputs
from analysis.watch.models import MODELS, Model, ModelError, find_model, pack_bundle
from analysis.watch.network import DETECTOR, LANDMARKS, Network
from analysis.watch.pose import OUTPUTS
from analysis.watch.region import Region, cut

MASK = 2


@pytest.fixture(scope="module")
def pictures(films: list[Path]) -> list[Any]:
    """Pictures that go into the network: parts of two films, one of them beside the hitter, and noise."""
    frame = [next(frame.rgb() for frame in frames(film) if frame.index == 20) for film in films[:2]]
    height, width = frame[0].shape[:2]
    places = [Region(width / 2, height / 2, 0.9 * height), Region(width / 4, height / 2, 0.7 * height, 0.2)]
    noise = np.random.default_rng(5).integers(0, 256, (256, 256, 3), dtype=np.uint8)
    return [*(cut(picture, 1.0, place, 256) for picture, place in zip(frame, places, strict=True)), noise]


@pytest.mark.films
@pytest.mark.parametrize("name", MODELS)
def test_leaving_the_mask_out_changes_no_bit_of_the_rest(models_there: None, name: str, pictures: list[Any]) -> None:
    whole, part = Network(find_model(name), LANDMARKS), Network(find_model(name), LANDMARKS, OUTPUTS)
    for picture in pictures:
        everything = whole.run(picture)
        assert everything[MASK].shape == (256, 256, 1)
        wanted = part.run(picture)
        assert len(wanted) == len(OUTPUTS)
        for place, given in zip(OUTPUTS, wanted, strict=True):
            np.testing.assert_array_equal(given, everything[place])


@pytest.mark.parametrize("name", MODELS)
def test_what_nobody_wants_is_not_computed(models_there: None, name: str) -> None:
    mask = Network(find_model(name), LANDMARKS)._runner.get_output_details()[MASK]["index"]
    picture = np.zeros((256, 256, 3), np.uint8)
    for wanted, computed in (((MASK, 0), True), (OUTPUTS, False)):
        network = Network(find_model(name), LANDMARKS, wanted)
        network.run(picture)
        assert holds(network, mask) == computed


def holds(network: Network, tensor: int) -> bool:
    """Say whether the runtime has made room for a tensor, as it does for those that it computes."""
    try:
        network._runner.get_tensor(tensor)
    except ValueError:
        return False
    return True


def test_outputs_come_in_the_order_in_which_they_are_wanted(models_there: None) -> None:
    picture = np.full((256, 256, 3), 90, np.uint8)
    world, landmarks = Network(find_model("lite"), LANDMARKS, (4, 0)).run(picture)
    everything = Network(find_model("lite"), LANDMARKS).run(picture)
    np.testing.assert_array_equal(world, everything[4])
    np.testing.assert_array_equal(landmarks, everything[0])


@pytest.mark.parametrize("wanted", [(0, 5), (-1,)])
def test_outputs_that_a_network_does_not_have_are_refused(models_there: None, wanted: Sequence[int]) -> None:
    with pytest.raises(ValueError, match="5 outputs"):
        with_outputs(part_of("lite", LANDMARKS), wanted)


def test_only_the_list_of_outputs_is_changed(models_there: None) -> None:
    network = part_of("lite", LANDMARKS)
    changed = with_outputs(network, OUTPUTS)
    assert len(changed) == len(network)
    different = [at for at, (here, there) in enumerate(zip(network, changed, strict=True)) if here != there]
    assert different[-1] - different[0] < 4 * 5
    assert network == part_of("lite", LANDMARKS)


def test_a_bundle_with_another_network_in_its_place_is_refused_in_words(models_there: None, tmp_path: Path) -> None:
    path = tmp_path / "own.task"
    path.write_bytes(pack_bundle({LANDMARKS: part_of("lite", DETECTOR)}))
    with pytest.raises(ModelError, match=r"is not a pose model bundle with pose_landmarks_detector\.tflite"):
        Network(Model(path, "own", ""), LANDMARKS, OUTPUTS)


def part_of(name: str, part: str) -> bytes:
    """A network's file out of a built bundle."""
    with zipfile.ZipFile(find_model(name).path) as bundle:
        return bundle.read(part)
