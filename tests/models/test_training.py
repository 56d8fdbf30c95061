"""The training code agrees with Kaldi where the two must meet. Needs the extra `train`; skipped without it."""

import re

import numpy as np
import pytest
from numpy.typing import NDArray

from assistant.speech.acoustic_file import AcousticModel, read, write

torch = pytest.importorskip("torch", reason="the extra 'train' is not installed")

from models.training import features  # noqa: E402
from models.training.export import acoustic_model, tempered_priors  # noqa: E402
from models.training.network import CONTEXT, SUBSAMPLING, NumberNet, output_frames  # noqa: E402

Rows = NDArray[np.float64]


def test_cepstra_are_those_of_kaldi() -> None:
    """Source: kaldi-native-fbank, Kaldi's own feature code behind a Python binding."""
    fbank = pytest.importorskip("kaldi_native_fbank", reason="kaldi-native-fbank is not installed")
    options = fbank.MfccOptions()
    options.frame_opts.samp_freq, options.frame_opts.dither = features.SAMPLE_RATE, 0.0
    options.use_energy, options.num_ceps = False, features.CEPSTRA
    options.mel_opts.num_bins = features.MEL_BINS
    options.mel_opts.low_freq, options.mel_opts.high_freq = features.LOW_HZ, features.HIGH_HZ
    samples = np.rint(np.random.default_rng(0).normal(size=8000) * 1000)
    samples[2000:4000] = 0
    theirs = fbank.OnlineMfcc(options)
    theirs.accept_waveform(features.SAMPLE_RATE, samples.tolist())
    theirs.input_finished()
    expected = np.array([theirs.get_frame(i) for i in range(theirs.num_frames_ready)])
    made = features.Cepstra()(features.LogMel()(torch.tensor(samples, dtype=torch.float32)[None]))[0].numpy()
    assert made.shape == expected.shape
    assert np.abs(made - expected).max() < 1e-3


def trained_net() -> NumberNet:
    """A net whose normalisations are not those it was born with."""
    torch.manual_seed(1)
    net = NumberNet(7, 16, features.CEPSTRA)
    net.mean.copy_(torch.randn(features.CEPSTRA))
    net.scale.copy_(torch.rand(features.CEPSTRA) + 0.5)
    for _ in range(3):
        net(torch.randn(4, 60, features.CEPSTRA) * 3)
    net.eval()
    return net


def run(model: AcousticModel, cepstra: Rows) -> Rows:
    """Every node by its config line over all frames; edges repeat, as Kaldi's decoder makes them."""
    parts = {component.name: component for component in model.components}
    padded = np.pad(cepstra, ((CONTEXT, CONTEXT), (0, 0)), mode="edge")
    values: dict[str, tuple[int, Rows]] = {"input": (-CONTEXT, padded)}

    def value(term: str, first: int, count: int) -> Rows:
        match = re.fullmatch(r"Offset\((\S+), (-?\d+)\)", term)
        name, offset = (match[1], int(match[2])) if match else (term, 0)
        start, rows = values[name]
        return rows[first + offset - start : first + offset - start + count]

    for line in model.config:
        if not line.startswith("component-node"):
            continue
        name = line.split()[1].partition("=")[2]
        descriptor = line.partition(" input=")[2]
        terms = re.findall(r"Offset\([^)]*\)|\b[a-z][a-z0-9.]*", descriptor)
        terms = [term for term in terms if term not in ("Append", "Sum")]
        offsets = [int(m[1]) if (m := re.search(r", (-?\d+)\)", term)) else 0 for term in terms]
        starts = [values[re.sub(r"Offset\((\S+),.*", r"\1", term)] for term in terms]
        first = max(start - offset for (start, _), offset in zip(starts, offsets, strict=True))
        last = min(start + len(r) - offset for (start, r), offset in zip(starts, offsets, strict=True))
        taken = [value(term, first, last - first) for term in terms]
        joined = sum(taken) if descriptor.startswith("Sum") else np.concatenate(taken, axis=1)
        component = parts[name]
        if component.weights is not None and component.bias is not None:
            joined = joined @ component.weights.T.astype(float) + component.bias
        elif name.endswith("relu"):
            joined = np.maximum(joined, 0)
        elif name.endswith("softmax"):
            joined = joined - np.log(np.exp(joined).sum(1, keepdims=True))
        values[name] = (first, np.asarray(joined, dtype=np.float64))
    start, rows = values["output.softmax"]
    return rows[-start::SUBSAMPLING]


@pytest.mark.parametrize("frames", [9, 40, 41])
def test_the_exported_net_computes_what_the_trained_one_does(frames: int) -> None:
    net = trained_net()
    priors = tempered_priors(np.full(7, 1 / 7), 0.9)
    model = read(write(acoustic_model(net, priors)), "final.mdl")
    cepstra = np.random.default_rng(2).normal(size=(frames, features.CEPSTRA)) * 3
    with torch.no_grad():
        expected = net(torch.tensor(cepstra, dtype=torch.float32)[None])[0].numpy()
    made = run(model, cepstra)
    assert expected.shape == made.shape == (int(output_frames(torch.tensor(frames))), 7)
    assert np.abs(made - expected).max() < 0.01  # weights are stored in 16-bit steps


def test_tempered_priors_sum_to_one_and_are_flatter() -> None:
    priors = tempered_priors(np.array([0.9, 0.09, 0.01]), 0.5)
    assert priors.sum() == pytest.approx(1.0)
    assert priors[0] / priors[2] == pytest.approx((0.9 / 0.01) ** 0.5, rel=1e-5)
