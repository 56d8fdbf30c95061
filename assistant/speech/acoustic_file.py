"""`am/final.mdl`: the acoustic network with its transition model and priors, as Kaldi stores it.

The network is a list of config lines and named components of four kinds: an affine map, a rectifier, a sum
(Kaldi's NoOp) and the closing log-softmax. The transition model is in `transitions.py`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from assistant.speech.kaldi_binary import HEADER, Floats, Reader, Writer
from assistant.speech.transitions import read_transitions, write_transitions


class Kind(StrEnum):
    AFFINE = "FixedAffineComponent"
    RECTIFIER = "RectifiedLinearComponent"
    SUM = "NoOpComponent"
    LOG_SOFTMAX = "LogSoftmaxComponent"


@dataclass(frozen=True)
class Component:
    """A named part of the net; only an affine map has `weights` (rows out, columns in) and `bias`."""

    name: str
    kind: Kind
    dim: int
    weights: Floats | None = None
    bias: Floats | None = None


@dataclass(frozen=True)
class AcousticModel:
    """The whole file. `priors` sum to 1, one a unit; the decoder divides the net's output by them."""

    config: tuple[str, ...]
    components: tuple[Component, ...]
    priors: Floats

    @property
    def units(self) -> int:
        return len(self.priors)


def write(model: AcousticModel) -> bytes:
    """The bytes of final.mdl."""
    out = Writer()
    out.raw(HEADER)
    write_transitions(out, model.units)
    _write_network(out, model)
    out.token("<LeftContext>")
    out.integer(0)
    out.token("<RightContext>")
    out.integer(0)
    out.token("<Priors>")
    out.vector(model.priors)
    return out.bytes()


def _write_network(out: Writer, model: AcousticModel) -> None:
    out.token("<Nnet3>")
    out.raw(("\n" + "\n".join(model.config) + "\n\n").encode("ascii"))
    out.token("<NumComponents>")
    out.integer(len(model.components))
    for component in model.components:
        out.token("<ComponentName>", component.name, f"<{component.kind}>")
        _write_component(out, component)
        out.token(f"</{component.kind}>")
    out.token("</Nnet3>")


def _write_component(out: Writer, component: Component) -> None:
    if component.weights is not None and component.bias is not None:
        out.token("<LinearParams>")
        out.matrix_16_bit(component.weights)
        out.token("<BiasParams>")
        out.vector(component.bias)
        return
    out.token("<Dim>")
    out.integer(component.dim)
    if component.kind is Kind.SUM:
        out.token("<BackpropScale>")
        out.real(1.0)
        return
    empty = np.zeros(0, np.float32)
    out.token("<ValueAvg>")
    out.vector(empty)
    out.token("<DerivAvg>")
    out.vector(empty)
    out.token("<Count>")
    out.double(0.0)


def read(data: bytes, name: str) -> AcousticModel:
    """The model in `data`. Raises ModelFormatError, naming file and byte, for anything that this project's writer
    would not have written (a model from elsewhere may still be good: `count_transitions` reads any of them)."""
    reader = Reader(data, name)
    read_transitions(reader)
    config, components = _read_network(reader)
    reader.expect("<LeftContext>")
    reader.integer()
    reader.expect("<RightContext>")
    reader.integer()
    reader.expect("<Priors>")
    return AcousticModel(config, components, reader.vector())


def _read_network(reader: Reader) -> tuple[tuple[str, ...], tuple[Component, ...]]:
    reader.expect("<Nnet3>")
    reader.line()
    config: list[str] = []
    while line := reader.line():
        config.append(line)
    reader.expect("<NumComponents>")
    components = tuple(_read_component(reader) for _ in range(reader.integer()))
    reader.expect("</Nnet3>")
    return tuple(config), components


def _read_component(reader: Reader) -> Component:
    reader.expect("<ComponentName>")
    name, kind_token = reader.token(), reader.token()
    try:
        kind = Kind(kind_token.strip("<>"))
    except ValueError:
        raise reader.fail(
            f"component {name} is of a kind that this project does not write: {kind_token}"
        ) from None
    component = _read_affine(reader, name) if kind is Kind.AFFINE else _read_plain(reader, name, kind)
    reader.expect(f"</{kind}>")
    return component


def _read_affine(reader: Reader, name: str) -> Component:
    reader.expect("<LinearParams>")
    weights = reader.matrix()
    reader.expect("<BiasParams>")
    bias = reader.vector()
    if len(bias) != len(weights):
        raise reader.fail(f"component {name} has {len(weights)} rows but {len(bias)} biases")
    return Component(name, Kind.AFFINE, len(bias), weights, bias)


def _read_plain(reader: Reader, name: str, kind: Kind) -> Component:
    reader.expect("<Dim>")
    dim = reader.integer()
    if kind is Kind.SUM:
        reader.expect("<BackpropScale>")
        reader.real()
    else:
        reader.expect("<ValueAvg>")
        reader.vector()
        reader.expect("<DerivAvg>")
        reader.vector()
        reader.expect("<Count>")
        reader.real()
    return Component(name, kind, dim)
