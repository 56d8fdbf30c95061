"""Fitting a model to a helper: its parts against other computations, and the whole on the project's own voice."""

from pathlib import Path

import numpy as np
import pytest

from assistant.cli import main
from assistant.speech import acoustic_file, ctc
from assistant.speech.cepstra import cepstra
from assistant.speech.enrolment import Clip, Fit, fit
from assistant.speech.lexicon import read_lexicon
from assistant.speech.model_folder import number_model
from assistant.speech.number_net import Layer, Net, backward, forward, net_of
from assistant.speech.sound import Sound, write_sound
from assistant.speech.synth import Synthesiser

WORDS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]


def noise(seconds: float, rate: int = 8000) -> Sound:
    return Sound(np.random.default_rng(3).integers(-9000, 9000, round(seconds * rate)).astype(np.int16), rate)


def test_cepstra_are_those_the_models_were_trained_on() -> None:
    torch = pytest.importorskip("torch", reason="the training extra is not installed")
    from models.training.features import Cepstra, LogMel

    sound = noise(0.5)
    trained_on = Cepstra()(LogMel()(torch.tensor(sound.samples[None].astype("f4"))))[0].numpy()
    assert np.allclose(cepstra(sound), trained_on, atol=1e-3)


def test_ctc_is_the_sum_over_all_alignments() -> None:
    scores = np.random.default_rng(1).normal(size=(3, 3)).astype(np.float32)
    logs = ctc.log_softmax(scores)
    ways = [(1, 2, 2), (1, 1, 2), (0, 1, 2), (1, 0, 2), (1, 2, 0)]  # every way to lay 1 2 over three frames
    by_hand = -np.log(sum(np.exp(sum(logs[t, u] for t, u in enumerate(way))) for way in ways))
    found, gradient = ctc.loss(scores, (1, 2))
    assert found == pytest.approx(by_hand, abs=1e-9)
    for frame, unit in np.ndindex(3, 3):
        moved = scores.copy()
        moved[frame, unit] += 1e-2
        fell = scores.copy()
        fell[frame, unit] -= 1e-2
        slope = (ctc.loss(moved, (1, 2))[0] - ctc.loss(fell, (1, 2))[0]) / 2e-2
        assert gradient[frame, unit] == pytest.approx(slope, abs=1e-4)


def test_too_few_frames_are_refused() -> None:
    with pytest.raises(ValueError, match="2 frames are too few for 2 sounds"):
        ctc.loss(np.zeros((2, 3), np.float32), (1, 1))


def test_gradients_run_back_through_every_layer() -> None:
    rng = np.random.default_rng(2)

    def layer(out: int, dim: int, offsets: tuple[int, ...], residual: bool) -> Layer:
        weights = rng.normal(0, 0.4, (out, dim * len(offsets))).astype(np.float32)
        return Layer(weights, np.full(out, 0.1, np.float32), offsets, residual)

    layers = [layer(6, 4, (-1, 0, 1), False), layer(6, 6, (-3, 0, 3), True), layer(3, 6, (0,), False)]
    features = rng.normal(size=(13, 4)).astype(np.float32)
    wanted = rng.normal(size=(5, 3)).astype(np.float32)
    net = Net(tuple(layers))
    found = backward(net, forward(net, features), wanted)
    for number in range(3):
        for place in ((0, 0), (2, 3), (1, 1)):
            sums = []
            for step in (1e-2, -1e-2):
                weights = layers[number].weights.copy()
                weights[place] += step
                moved = [*layers]
                moved[number] = Layer(
                    weights, layers[number].bias, layers[number].offsets, layers[number].residual
                )
                sums.append(float((forward(Net(tuple(moved)), features).scores * wanted).sum()))
            assert found[number][0][place] == pytest.approx((sums[0] - sums[1]) / 2e-2, abs=0.05)


def test_a_fitted_model_is_closer_to_the_speaker(synthesiser: Synthesiser, tmp_path: Path) -> None:
    """A voice half as high again as the synthesiser's, which the shared model does not know."""
    clips = []
    for word in WORDS:
        usual = synthesiser.render(word, "en")
        clips.append(Clip(Sound(usual.samples, round(usual.rate * 1.5)), (word,)))
    fit(number_model("en"), clips, tmp_path / "own", Fit(rounds=3, each_round=8))
    words = read_lexicon(number_model("en")).words

    def lost(folder: Path) -> float:
        path = folder / "am" / "final.mdl"
        net = net_of(acoustic_file.read(path.read_bytes(), str(path)))
        return sum(ctc.loss(forward(net, cepstra(c.sound)).scores, words[c.words[0]])[0] for c in clips)

    assert lost(tmp_path / "own") < lost(number_model("en"))


def test_recordings_that_cannot_be_used_are_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write_sound(tmp_path / "banana_1.wav", noise(0.5))
    home = str(tmp_path / "home")
    options = ["--from", str(tmp_path), "--home", home]
    assert main(["voice", "enrol", "--helper", "amina", *options]) == 2
    assert "banana_1.wav: neither the file nor its folder" in capsys.readouterr().err
    (tmp_path / "banana_1.wav").rename(tmp_path / "seven_1.wav")
    assert main(["voice", "enrol", "--helper", "amina", *options]) == 2
    assert "there are 1 recordings; at least 10 are needed" in capsys.readouterr().err
    assert main(["voice", "enrol", "--helper", "../x", *options]) == 2
    assert "allowed are letters" in capsys.readouterr().err
