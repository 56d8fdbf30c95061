"""Fit a language's number model to one helper, from a few clips of known words.

All layers move a little from the shared model, by gradient, and are pulled back to it; the clips are heard also
strung together and in noise, so that strings of words gain as single words do. The person's model is an ordinary
model folder.
"""

import random
import shutil
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from assistant.speech import acoustic_file, ctc
from assistant.speech.cepstra import RATE_HZ, cepstra
from assistant.speech.kaldi_binary import Floats
from assistant.speech.lexicon import read_lexicon
from assistant.speech.number_net import Layer, Net, backward, forward, model_with, net_of
from assistant.speech.sound import Samples, Sound, resampled

LEAST_CLIPS = 10
COPIED = ("conf/mfcc.conf", "conf/model.conf", "lexicon.tsv", "units.txt")


@dataclass(frozen=True, slots=True)
class Clip:
    """A recording and the words said in it."""

    sound: Sound
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Fit:
    """How far and how long the model is moved (by measuring, docs/models.md)."""

    rounds: int = 60
    each_round: int = 24
    """Examples drawn a round."""
    rate: float = 1e-4
    """At most; it rises over the first rounds and falls to a tenth at the end."""
    rising: int = 5
    pull: float = 0.005
    """Part of the way back to the shared model after each round."""
    longest: int = 4
    """Words strung together at most."""
    speed: float = 0.10
    """Said faster or slower, and with it higher or lower, by up to this part."""
    tilt: float = 0.5
    """High sounds weakened or strengthened, as by another microphone."""
    noise_db: tuple[float, float] = (5.0, 40.0)
    """Noise lies so far below the voice."""
    seed: int = 1

    def rate_of(self, done: int) -> float:
        """The rate of the round after `done` rounds."""
        return self.rate * min(1.0, (done + 1) / self.rising) * (1 - 0.9 * done / self.rounds)


def fit(
    shared: Path,
    clips: Sequence[Clip],
    own: Path,
    how: Fit = Fit(),
    told: Callable[[int, int, float], None] = lambda *_: None,
) -> None:
    """Write `own`, a model folder like `shared`, fitted to `clips`. `told`: round, rounds, loss so far.

    Raises ModelFormatError for a damaged model; ValueError for too few clips or a word the model lacks.
    """
    path = shared / "am" / "final.mdl"
    model = acoustic_file.read(path.read_bytes(), str(path))
    spelt = _spelt(clips, read_lexicon(shared).words)
    net = _fitted(net_of(model), spelt, how, told)
    (own / "am").mkdir(parents=True, exist_ok=True)
    for name in COPIED:
        (own / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(shared / name, own / name)
    draft = own / "am" / "final.mdl.part"
    draft.write_bytes(acoustic_file.write(model_with(model, net)))
    draft.replace(own / "am" / "final.mdl")


Spelt = tuple[Samples, tuple[int, ...]]


def check_enough(clips: Sequence[Clip]) -> None:
    """Raises ValueError for too few recordings."""
    if len(clips) < LEAST_CLIPS:
        raise ValueError(f"there are {len(clips)} recordings; at least {LEAST_CLIPS} are needed")


def _spelt(clips: Sequence[Clip], words: Mapping[str, tuple[int, ...]]) -> list[Spelt]:
    """Samples at the model's rate, with the units of what is said."""
    check_enough(clips)
    unknown = sorted({word for clip in clips for word in clip.words} - words.keys())
    if unknown:
        raise ValueError(f"the model does not know the words {', '.join(unknown)}")
    return [
        (resampled(clip.sound, RATE_HZ).samples, tuple(u for word in clip.words for u in words[word]))
        for clip in clips
    ]


def _fitted(net: Net, clips: Sequence[Spelt], how: Fit, told: Callable[[int, int, float], None]) -> Net:
    rng = random.Random(how.seed)
    noise = np.random.default_rng(how.seed)
    shared, steps = net, _Steps(net)
    for round_number in range(how.rounds):
        total, gradients = 0.0, steps.nothing()
        for _ in range(how.each_round):
            samples, units = _strung(clips, how, rng, noise)
            run = forward(net, cepstra(Sound(samples, RATE_HZ)))
            lost, by_scores = ctc.loss(run.scores, units)
            total += lost
            each = backward(net, run, by_scores / np.float32(how.each_round))
            for kept, found in zip(gradients, each, strict=True):
                kept[0][...] += found[0]
                kept[1][...] += found[1]
        net = _pulled(steps.step(net, gradients, how.rate_of(round_number)), shared, how.pull)
        told(round_number + 1, how.rounds, total / how.each_round)
    return net


def _strung(
    clips: Sequence[Spelt], how: Fit, rng: random.Random, noise: np.random.Generator
) -> tuple[Samples, tuple[int, ...]]:
    """Some clips one after another with pauses, as they might have been said and heard another time."""
    parts: list[Samples] = []
    units: list[int] = []
    for _ in range(rng.randint(1, how.longest)):
        samples, said = rng.choice(clips)
        parts += [_silence(rng.uniform(0.05, 0.3)), samples]
        units += said
    whole = np.concatenate([*parts, _silence(rng.uniform(0.1, 0.3))]).astype(np.float64)
    places = np.arange(0, len(whole) - 1, 1 + rng.uniform(-how.speed, how.speed))
    whole = np.interp(places, np.arange(len(whole)), whole)
    whole[1:] += rng.uniform(-how.tilt, how.tilt) * whole[:-1]
    whole *= rng.uniform(0.4, 1.3)
    level = float(np.sqrt((whole**2).mean())) * 10 ** (-rng.uniform(*how.noise_db) / 20)
    heard = whole + noise.normal(0, level, len(whole))
    return np.clip(heard, -32768, 32767).astype(np.int16), tuple(units)


def _silence(seconds: float) -> Samples:
    return np.zeros(round(seconds * RATE_HZ), np.int16)


class _Steps:
    """Adam (Kingma and Ba, 2015) over the weights and biases of a net."""

    def __init__(self, net: Net) -> None:
        self._rate, self._count = 0.0, 0
        self._first, self._second = self.nothing_like(net), self.nothing_like(net)
        self._net = net

    @staticmethod
    def nothing_like(net: Net) -> list[tuple[Floats, Floats]]:
        return [(np.zeros_like(layer.weights), np.zeros_like(layer.bias)) for layer in net.layers]

    def nothing(self) -> list[tuple[Floats, Floats]]:
        return self.nothing_like(self._net)

    def step(self, net: Net, gradients: Sequence[tuple[Floats, Floats]], rate: float) -> Net:
        self._rate = rate
        self._count += 1
        layers = []
        for number, layer in enumerate(net.layers):
            weights, bias = (
                old - self._change(self._first[number][part], self._second[number][part], gradient)
                for part, (old, gradient) in enumerate(
                    zip((layer.weights, layer.bias), gradients[number], strict=True)
                )
            )
            layers.append(replace(layer, weights=weights, bias=bias))
        return Net(tuple(layers))

    def _change(self, first: Floats, second: Floats, gradient: Floats) -> Floats:
        first[...] = 0.9 * first + 0.1 * gradient
        second[...] = 0.99 * second + 0.01 * gradient**2
        mean = first / (1 - 0.9**self._count)
        spread = np.sqrt(second / (1 - 0.99**self._count))
        return np.asarray(self._rate * mean / (spread + 1e-6), np.float32)


def _pulled(net: Net, shared: Net, part: float) -> Net:
    def back(now: Layer, then: Layer) -> Layer:
        return replace(
            now,
            weights=now.weights + np.float32(part) * (then.weights - now.weights),
            bias=now.bias + np.float32(part) * (then.bias - now.bias),
        )

    return Net(tuple(back(now, then) for now, then in zip(net.layers, shared.layers, strict=True)))
