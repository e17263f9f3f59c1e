"""Write TFLite metadata into a network: how its input picture is normalised, how its outputs are called, and which are wanted."""

from __future__ import annotations

import importlib.util
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import flatbuffers
import numpy as np

METADATA_NAME = b"TFLITE_METADATA"  # the name under which TFLite readers look for the buffer


def _schema(name: str) -> Any:
    """Load a schema module out of the mediapipe package without the package itself, which takes seconds to import."""
    package = importlib.util.find_spec("mediapipe")
    if package is None or package.origin is None:
        raise ImportError("mediapipe is not installed; install the pinned requirements")
    path = Path(package.origin).parent / "tasks" / "metadata" / f"{name}.py"
    spec = importlib.util.spec_from_file_location(name, path)
    if spec is None or spec.loader is None:
        raise ImportError(f"{path} can't be loaded; install the pinned mediapipe")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


words, net = _schema("metadata_schema_py_generated"), _schema("schema_py_generated")


@dataclass(frozen=True)
class Normalisation:
    """The picture's values 0..255 become (value - mean) / std, alike for red, green and blue."""

    mean: float
    std: float


def with_metadata(network: bytes, normalisation: Normalisation) -> bytes:
    """Return the TFLite file `network` with metadata for its image input and its named outputs."""
    model: Any = net.ModelT.InitFromObj(net.Model.GetRootAs(network, 0))
    graph = model.subgraphs[0]
    outputs = [_text(graph.tensors[index].name) for index in graph.outputs]
    buffer = net.BufferT()
    buffer.data = np.frombuffer(_describe(normalisation, outputs), dtype=np.uint8)
    model.buffers.append(buffer)
    entry = net.MetadataT()
    entry.name, entry.buffer = METADATA_NAME, len(model.buffers) - 1
    kept = [old for old in model.metadata or [] if old.name != METADATA_NAME]
    model.metadata = [*kept, entry]
    return _packed(model, b"TFL3", len(network) + 4096)


def read_normalisation(network: bytes) -> Normalisation:
    """Return the normalisation that a TFLite file's metadata asks for; ValueError without metadata."""
    model = net.Model.GetRootAs(network, 0)  # read where it lies: unpacking all of it takes seconds
    for place in range(model.MetadataLength()):
        entry = model.Metadata(place)
        if entry.Name() == METADATA_NAME:
            data = bytes(model.Buffers(entry.Buffer()).DataAsNumpy())
            root: Any = words.ModelMetadataT.InitFromObj(words.ModelMetadata.GetRootAs(data, 0))
            options = root.subgraphMetadata[0].inputTensorMetadata[0].processUnits[0].options
            return Normalisation(float(options.mean[0]), float(options.std[0]))
    raise ValueError("the network carries no metadata")


def with_outputs(network: bytes, wanted: Sequence[int]) -> bytes:
    """Return the TFLite file `network` with those of its outputs that are `wanted`, by their places, first and then over again.

    A runtime computes what outputs need and no more, so what the others alone need costs nothing any longer. Their number stays,
    so that nothing else in the file has to move. ValueError where the network has no such outputs.
    """
    data = bytearray(network)
    outputs = net.Model.GetRootAs(data, 0).Subgraphs(0).OutputsAsNumpy()  # a view: what is written to it is in data
    if not 0 <= min(wanted) <= max(wanted) < np.size(outputs):
        raise ValueError(f"the network has {np.size(outputs)} outputs, not those at {list(wanted)}")
    outputs[:] = np.resize(outputs[list(wanted)], len(outputs))
    return bytes(data)


def _describe(normalisation: Normalisation, outputs: list[str]) -> bytes:
    graph = words.SubGraphMetadataT()
    graph.inputTensorMetadata = [_image_input(normalisation)]
    graph.outputTensorMetadata = [_named(name) for name in outputs]
    root = words.ModelMetadataT()
    root.name = "pose"
    root.subgraphMetadata = [graph]
    return _packed(root, b"M001", 4096)


def _image_input(normalisation: Normalisation) -> Any:
    options = words.NormalizationOptionsT()
    options.mean, options.std = [normalisation.mean], [normalisation.std]
    unit = words.ProcessUnitT()
    unit.optionsType, unit.options = words.ProcessUnitOptions.NormalizationOptions, options
    picture = words.ImagePropertiesT()
    picture.colorSpace = words.ColorSpaceType.RGB
    content = words.ContentT()
    content.contentPropertiesType = words.ContentProperties.ImageProperties
    content.contentProperties = picture
    tensor = _named("image")
    tensor.content, tensor.processUnits = content, [unit]
    return tensor


def _named(name: str) -> Any:
    tensor = words.TensorMetadataT()
    tensor.name = name
    return tensor


def _packed(root: Any, identifier: bytes, room: int) -> bytes:
    builder = flatbuffers.Builder(room)
    builder.Finish(root.Pack(builder), file_identifier=identifier)
    return bytes(builder.Output())


def _text(name: bytes | str) -> str:
    return name.decode() if isinstance(name, bytes) else name
