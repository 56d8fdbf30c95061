"""The bytes of Kaldi's files: written, read back, and refused when damaged."""

import numpy as np
import pytest

from assistant.speech import acoustic_file, fst_file, transitions
from assistant.speech.acoustic_file import AcousticModel, Component, Kind
from assistant.speech.kaldi_binary import ModelFormatError, Reader, Writer


def tiny_model(units: int = 4) -> AcousticModel:
    rng = np.random.default_rng(1)
    weights = rng.normal(size=(units, 6)).astype(np.float32)
    bias = rng.normal(size=units).astype(np.float32)
    return AcousticModel(
        ("input-node name=input dim=2", "output-node name=output input=output"),
        (
            Component("a", Kind.AFFINE, units, weights, bias),
            Component("r", Kind.RECTIFIER, units),
            Component("s", Kind.SUM, units),
            Component("l", Kind.LOG_SOFTMAX, units),
        ),
        np.full(units, 1 / units, np.float32),
    )


def test_a_model_is_read_as_it_was_written() -> None:
    model = tiny_model()
    again = acoustic_file.read(acoustic_file.write(model), "final.mdl")
    assert again.config == model.config
    assert [(c.name, c.kind, c.dim) for c in again.components] == [
        (c.name, c.kind, c.dim) for c in model.components
    ]
    assert np.array_equal(again.priors, model.priors)
    assert again.components[0].bias is not None
    assert model.components[0].bias is not None
    assert np.array_equal(again.components[0].bias, model.components[0].bias)


def test_weights_lose_at_most_half_a_step_of_sixteen_bits() -> None:
    weights = tiny_model().components[0].weights
    read = acoustic_file.read(acoustic_file.write(tiny_model()), "final.mdl").components[0].weights
    assert weights is not None
    assert read is not None
    step = (weights.max() - weights.min()) / 65535
    assert np.abs(weights - read).max() <= 0.51 * step


def test_a_constant_matrix_survives_sixteen_bits() -> None:
    out = Writer()
    out.matrix_16_bit(np.full((2, 3), 0.25, np.float32))
    assert np.array_equal(Reader(out.bytes(), "m").matrix(), np.full((2, 3), 0.25, np.float32))


@pytest.mark.parametrize("units", [3, 17])
def test_each_unit_has_two_transitions_counted_from_one(units: int) -> None:
    count = transitions.count_transitions(acoustic_file.write(tiny_model(units)), "final.mdl")
    assert count == transitions.transition_ids(units)
    used = {transitions.entering(u) for u in range(units)} | {transitions.lasting(u) for u in range(units)}
    assert used == set(range(1, count + 1))


def test_a_model_cut_short_anywhere_is_refused() -> None:
    data = acoustic_file.write(tiny_model())
    for length in range(0, len(data), 7):
        with pytest.raises(ModelFormatError, match=r"final\.mdl, byte \d+"):
            acoustic_file.read(data[:length], "final.mdl")


def test_a_component_of_another_kind_is_named() -> None:
    data = acoustic_file.write(tiny_model()).replace(b"NoOpComponent", b"SigmComponent")
    with pytest.raises(ModelFormatError, match="component s is of a kind"):
        acoustic_file.read(data, "final.mdl")


def test_a_graph_is_read_as_it_was_written() -> None:
    graph = fst_file.Graph()
    for _ in range(3):
        graph.add_state()
    graph.add_arc(0, 2, 1, 0.5, 1)
    graph.add_arc(1, 1, 0, 0.0, 1)
    graph.add_arc(1, 0, 0, 0.0, 2)
    graph.final[2] = 0.0
    again = fst_file.read(fst_file.write(graph), "HCLG.fst")
    assert again == graph


def test_a_graph_cut_short_or_leading_nowhere_is_refused() -> None:
    graph = fst_file.Graph()
    graph.add_state()
    graph.add_arc(0, 1, 0, 0.0, 0)
    graph.final[0] = 0.0
    data = fst_file.write(graph)
    with pytest.raises(ModelFormatError, match="cut short"):
        fst_file.read(data[:-3], "HCLG.fst")
    graph.add_arc(0, 1, 0, 0.0, 9)
    with pytest.raises(ModelFormatError, match="state 9"):
        fst_file.read(fst_file.write(graph), "HCLG.fst")
    with pytest.raises(ModelFormatError, match="not a binary graph"):
        fst_file.read(b"<html>", "HCLG.fst")
