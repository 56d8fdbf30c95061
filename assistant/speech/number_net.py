"""The acoustic network in numpy, forwards and backwards: what fitting a model to a helper needs.

Listening itself is vosk's work. The layers are read from the model's own config lines, so any depth, width and
offsets that models/training writes will do.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from assistant.speech.acoustic_file import AcousticModel, Kind
from assistant.speech.kaldi_binary import Floats, ModelFormatError

SUBSAMPLING = 3
_AFFINE = re.compile(r"component-node name=(\S+) component=\S+ input=(.*)")
_OFFSET = re.compile(r"Offset\([^,()]+, (-?\d+)\)|[^,()\s]+")


@dataclass(frozen=True, slots=True)
class Layer:
    """An affine map over frames at `offsets` and, but for the last layer, a rectifier; `residual`: plus input."""

    weights: Floats
    """(out, offsets x in)"""
    bias: Floats
    offsets: tuple[int, ...]
    residual: bool


@dataclass(frozen=True, slots=True)
class Net:
    """Layers in order; the last gives the scores of the units."""

    layers: tuple[Layer, ...]

    @property
    def strided(self) -> int:
        """The layer whose output is kept at every third frame: all offsets after it are multiples of three."""
        late = [n for n, layer in enumerate(self.layers) if any(o % SUBSAMPLING for o in layer.offsets)]
        return late[-1]

    @property
    def context(self) -> int:
        """Frames looked ahead, and as many behind."""
        return sum(layer.offsets[-1] for layer in self.layers)


@dataclass(frozen=True, slots=True)
class Pass:
    """What each layer took in (its frames already spliced) and gave before the rectifier; the last: scores."""

    spliced: tuple[Floats, ...]
    lengths: tuple[int, ...]
    outputs: tuple[Floats, ...]

    @property
    def scores(self) -> Floats:
        return self.outputs[-1]


def net_of(model: AcousticModel) -> Net:
    """Raises ModelFormatError where the network is not of the shape that this project trains."""
    inputs = {match[1]: match[2] for line in model.config if (match := _AFFINE.fullmatch(line))}
    names = {component.name for component in model.components}
    layers = []
    for component in model.components:
        if component.kind is Kind.AFFINE and component.weights is not None and component.bias is not None:
            offsets = _offsets(inputs[component.name])
            residual = component.name.replace(".affine", ".sum") in names
            layers.append(Layer(component.weights, component.bias, offsets, residual))
    if len(layers) < 2 or any(layer.offsets != tuple(-o for o in layer.offsets[::-1]) for layer in layers):
        raise ModelFormatError("the network is not of the shape that can be fitted to a helper")
    return Net(tuple(layers))


def model_with(model: AcousticModel, net: Net) -> AcousticModel:
    """The model with the weights of `net`."""
    fresh = iter(net.layers)
    components = []
    for component in model.components:
        if component.kind is Kind.AFFINE:
            layer = next(fresh)
            component = replace(component, weights=layer.weights, bias=layer.bias)
        components.append(component)
    return replace(model, components=tuple(components))


def forward(net: Net, features: Floats) -> Pass:
    """Cepstra (frames, dim) to scores (a third of the frames, units), edges repeated as Kaldi does."""
    wanted = -(-len(features) // SUBSAMPLING)
    padding = (net.context, net.context + SUBSAMPLING - 1)
    hidden = np.pad(features, (padding, (0, 0)), mode="edge")
    spliced, lengths, outputs = [], [], []
    for number, layer in enumerate(net.layers):
        taps = _taps(net, number, len(hidden))
        lengths.append(len(hidden))
        spliced.append(np.concatenate([hidden[tap] for tap in taps], 1))
        outputs.append(spliced[-1] @ layer.weights.T + layer.bias)
        if number < len(net.layers) - 1:
            new = np.maximum(outputs[-1], 0)
            hidden = new + hidden[taps[len(taps) // 2]] if layer.residual else new
            if number == len(net.layers) - 2:
                hidden = hidden[:wanted]
    return Pass(tuple(spliced), tuple(lengths), tuple(outputs))


def backward(net: Net, run: Pass, gradient: Floats) -> list[tuple[Floats, Floats]]:
    """From the gradient by the scores to that by (weights, bias) of each layer."""
    found: list[tuple[Floats, Floats]] = []
    for number in reversed(range(len(net.layers))):
        outputs = run.outputs[number]
        if number < len(net.layers) - 1:
            short = len(outputs) - len(gradient)
            gradient = np.pad(gradient, ((0, short), (0, 0))) if short else gradient
        through = gradient if number == len(net.layers) - 1 else gradient * (outputs > 0)
        found.append((through.T @ run.spliced[number], through.sum(0)))
        if number:
            gradient = _to_input(net, number, run.lengths[number], through, gradient)
    return found[::-1]


def _to_input(net: Net, number: int, length: int, through: Floats, gradient: Floats) -> Floats:
    layer, taps = net.layers[number], _taps(net, number, length)
    columns = through @ layer.weights
    dim = columns.shape[1] // len(taps)
    result = np.zeros((length, dim), np.float32)
    for place, tap in enumerate(taps):
        result[tap] += columns[:, place * dim : (place + 1) * dim]
    if layer.residual:
        result[taps[len(taps) // 2]] += gradient
    return result


def _taps(net: Net, number: int, length: int) -> Sequence[slice]:
    """The frames of a layer's input that each offset takes."""
    offsets = net.layers[number].offsets
    unit = 1 if number <= net.strided else SUBSAMPLING
    stride = SUBSAMPLING if number == net.strided else 1
    reach = 2 * offsets[-1] // unit
    starts = [(offset + offsets[-1]) // unit for offset in offsets]
    return [slice(start, length - reach + start, stride) for start in starts]


def _offsets(descriptor: str) -> tuple[int, ...]:
    inner = descriptor.removeprefix("Append(").removesuffix(")") if "Append" in descriptor else descriptor
    return tuple(int(match[1] or 0) for match in _OFFSET.finditer(inner))
