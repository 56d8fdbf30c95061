"""Train one language's network on one GPU from a corpus of clips (models.training.corpus writes it).

    python -m models.training.train --language en --corpus DIR --out FILE [--without SPEAKER] [--minutes M]

Connectionist temporal classification over the language's phones, the blank and the garbage unit. A clip's target
is the canonical pronunciation of each of its words, whoever speaks it; any word that no step listens for is one
garbage unit. The weights kept are a running mean of those of the later steps.
"""

from __future__ import annotations

import argparse
import copy
import math
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor, nn
from torch.nn import functional

from assistant.speech.lexicon import Lexicon, read_lexicon
from models.training.augment import Augmenter, Clips
from models.training.features import CEPSTRA, SAMPLE_RATE
from models.training.network import BLANK, GARBAGE, NumberNet, output_frames
from models.training.rooms import Dice, noise_bank

WIDTH = 320
SAMPLES_A_BATCH = 3_500_000
LONGEST_SECONDS = 5.5
SAMPLES_A_UNIT = 315
PEAK_RATE = 2e-3
WARM_UP = 300
NOISE_PIECES = 40
MEAN_KEEPS = 0.9995
SHARES = {"human": 0.6, "neural": 1.2, "rules": 1.0}  # of the draws, set against each other


@dataclass(frozen=True)
class Corpus:
    """Clips with the text and the speaker of each, on the training device; `kind` is human, neural or rules."""

    clips: Clips
    texts: Sequence[str]
    speakers: NDArray[np.str_]
    kinds: NDArray[np.str_]


def read_corpus(folder: Path, language: str, without: Sequence[str], device: torch.device) -> Corpus:
    """The shards of `language` and the wordless ones ('any') in the order of their names, less some speakers."""
    paths = [path for name in (language, "any") for path in sorted((folder / name).glob("*.npz"))]
    if not paths:
        raise FileNotFoundError(f"{folder / language} holds no .npz shard of a corpus")
    pieces: list[NDArray[np.int16]] = []
    labels: dict[str, list[NDArray[np.generic]]] = {key: [] for key in ("length", "text", "speaker", "kind")}
    for path in paths:
        with np.load(path) as shard:
            kept = ~np.isin(shard["speaker"], list(without))
            pieces.append(shard["audio"][np.repeat(kept, shard["length"])])
            for key, column in labels.items():
                column.append(shard[key][kept])
    lengths, texts, speakers, kinds = (np.concatenate(column) for column in labels.values())
    starts = np.concatenate([[0], np.cumsum(lengths)[:-1]])
    clips = Clips(
        *(torch.as_tensor(part, device=device) for part in (np.concatenate(pieces), starts, lengths))
    )
    return Corpus(clips, [str(text) for text in texts], speakers, kinds)


def target_units(text: str, lexicon: Lexicon) -> list[int]:
    """The units that a text should be heard as."""
    units: list[int] = []
    for word in text.split():
        units.extend(lexicon.words.get(word, (GARBAGE,)))
    return units


@dataclass(frozen=True)
class Choice:
    """Which clips a run trains on: their numbers by length, the weight of each, and their targets."""

    numbers: Tensor
    weights: Tensor
    targets: dict[int, list[int]]


def choose(corpus: Corpus, lexicon: Lexicon) -> Choice:
    """The clips that are short enough, and long enough for their targets even when sped up; longest last."""
    lengths = corpus.clips.lengths.cpu().numpy()
    usable = np.flatnonzero(lengths < LONGEST_SECONDS * SAMPLE_RATE)
    targets = {i: target_units(corpus.texts[i], lexicon) for i in usable.tolist()}
    fits = [i for i, units in targets.items() if len(units) * SAMPLES_A_UNIT < lengths[i]]
    numbers = np.array(sorted(fits, key=lambda i: int(lengths[i])))
    weights = np.ones(len(numbers))
    for kind, share in SHARES.items():
        those = corpus.kinds[numbers] == kind
        if those.any():
            weights[those] = share * len(numbers) / those.sum()
    device = corpus.clips.samples.device
    return Choice(torch.as_tensor(numbers, device=device), torch.as_tensor(weights, device=device), targets)


class Batches:
    """Clip numbers of about equal length, drawn by weight; shorter clips in larger batches."""

    def __init__(self, choice: Choice, lengths: Tensor, dice: Dice, buckets: int = 12) -> None:
        self.dice = dice
        whole = torch.arange(len(choice.numbers), device=dice.device)
        self.pieces = [piece for piece in whole.chunk(buckets) if len(piece)]
        self.numbers, self.weights, self.lengths = choice.numbers, choice.weights, lengths
        masses = torch.stack([choice.weights[piece].sum() for piece in self.pieces])
        sizes = torch.tensor([self.size(piece) for piece in self.pieces], device=dice.device)
        self.chances = masses / sizes

    def size(self, piece: Tensor) -> int:
        longest = int(self.lengths[self.numbers[piece[-1]]])
        return max(16, SAMPLES_A_BATCH // (longest + 6000))

    def draw(self) -> Tensor:
        which = int(torch.multinomial(self.chances, 1, generator=self.dice.generator))
        piece = self.pieces[which].to(self.dice.device)
        picks = torch.multinomial(
            self.weights[piece],
            self.size(self.pieces[which]),
            replacement=True,
            generator=self.dice.generator,
        )
        return self.numbers[piece[picks]]


def loss_of(net: NumberNet, features: Tensor, frames: Tensor, targets: Sequence[Sequence[int]]) -> Tensor:
    """Mean over the batch of the negative log probability of each target, per target unit."""
    with torch.autocast(features.device.type, torch.bfloat16):
        log_probabilities = net(features).transpose(0, 1).float()
    sizes = torch.tensor([len(target) for target in targets])
    flat = torch.tensor([unit for target in targets for unit in target], dtype=torch.long)
    return functional.ctc_loss(
        log_probabilities,
        flat.to(features.device),
        output_frames(frames).clamp(max=log_probabilities.shape[0]),
        sizes.to(features.device),
        blank=BLANK,
        zero_infinity=True,
    )


def rate_at(progress: float, step: int) -> float:
    """The share of the peak learning rate: a short rise, then half a cosine down to nearly nothing."""
    return min(1.0, (step + 1) / WARM_UP) * (0.01 + 0.99 * 0.5 * (1 + math.cos(math.pi * progress)))


def measure_features(net: NumberNet, augmenter: Augmenter, batches: Batches) -> None:
    """Set the net's feature normalisation from a few batches."""
    rows = torch.cat([augmenter.batch(batches.draw())[0].flatten(0, 1) for _ in range(8)])
    net.mean.copy_(rows.mean(0))
    net.scale.copy_(1.0 / rows.std(0).clamp(min=1e-3))


def mean_posterior(net: NumberNet, augmenter: Augmenter, batches: Batches) -> NDArray[np.float64]:
    """How probable each unit is on average over frames of training batches."""
    total = torch.zeros(net.output.out_features, dtype=torch.float64, device=augmenter.dice.device)
    with torch.no_grad():
        for _ in range(60):
            features, _frames = augmenter.batch(batches.draw())
            total += net(features).exp().mean((0, 1)).double()
    result: NDArray[np.float64] = (total / total.sum()).cpu().numpy()
    return result


@dataclass(frozen=True)
class Plan:
    """How long to train, from what, and how fast: until `steps` or `seconds` of the clock, whichever ends first."""

    steps: int
    seconds: float
    seed: int
    peak_rate: float = PEAK_RATE
    start: Path | None = None


def train(corpus: Corpus, choice: Choice, units: int, plan: Plan) -> dict[str, object]:
    """Train as planned and return the checkpoint."""
    device = corpus.clips.samples.device
    torch.manual_seed(plan.seed)
    dice = Dice(plan.seed, device)
    augmenter = Augmenter(corpus.clips, noise_bank(dice, corpus.clips.samples, NOISE_PIECES), dice)
    batches = Batches(choice, corpus.clips.lengths, dice)
    net = NumberNet(units, WIDTH, CEPSTRA).to(device)
    if plan.start:
        net.load_state_dict(torch.load(plan.start, map_location=device, weights_only=False)["net"])
    else:
        measure_features(net, augmenter, batches)
    mean_net = copy.deepcopy(net)
    optimiser = torch.optim.AdamW(
        net.parameters(), lr=plan.peak_rate, weight_decay=0.01, fused=device.type == "cuda"
    )
    began, step, progress, smooth = time.monotonic(), 0, 0.0, float("nan")
    while progress < 1.0:
        for group in optimiser.param_groups:
            group["lr"] = plan.peak_rate * rate_at(progress, step)
        chosen = batches.draw()
        with torch.no_grad():
            features, frames = augmenter.batch(chosen)
        loss = loss_of(net, features, frames, [choice.targets[number] for number in chosen.tolist()])
        optimiser.zero_grad(set_to_none=True)
        loss.backward()  # type: ignore[no-untyped-call]
        nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        optimiser.step()
        follow(mean_net, net, min(MEAN_KEEPS, 1 - 1 / (1 + step / 4)))
        step += 1
        if step % 100 == 0:
            smooth = loss.item()
            print(f"step {step}  loss {smooth:.3f}  {time.monotonic() - began:.0f} s", flush=True)
        progress = max(step / plan.steps, (time.monotonic() - began) / plan.seconds)
    mean_net.eval()
    return {
        "net": mean_net.state_dict(),
        "mean_posterior": mean_posterior(mean_net, augmenter, batches),
        "steps": step,
        "loss": smooth,
    }


def follow(mean_net: NumberNet, net: NumberNet, keep: float) -> None:
    """Move the running mean of weights and of batch statistics towards `net`."""
    means, news = list(mean_net.state_dict().values()), list(net.state_dict().values())
    moving = [number for number, mean in enumerate(means) if mean.is_floating_point()]
    with torch.no_grad():
        torch._foreach_lerp_([means[i] for i in moving], [news[i] for i in moving], 1 - keep)


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--language", required=True)
    parser.add_argument("--corpus", type=Path, required=True)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--without", nargs="*", default=[], help="speakers to leave out")
    parser.add_argument("--minutes", type=float, default=60.0, help="stop then at the latest")
    parser.add_argument("--steps", type=int, default=20000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--start", type=Path, help="a checkpoint to go on from")
    parser.add_argument("--peak-rate", type=float, default=PEAK_RATE)
    parser.add_argument("--device", default="cuda")
    arguments = parser.parse_args()
    torch.backends.cuda.matmul.allow_tf32 = True
    torch.backends.cudnn.allow_tf32 = True
    lexicon = read_lexicon(Path(__file__).parent.parent / arguments.language)
    corpus = read_corpus(
        arguments.corpus, arguments.language, arguments.without, torch.device(arguments.device)
    )
    choice = choose(corpus, lexicon)
    print(f"{len(choice.numbers)} clips, {len(lexicon.units)} units", flush=True)
    plan = Plan(arguments.steps, 60 * arguments.minutes, arguments.seed, arguments.peak_rate, arguments.start)
    kept = train(corpus, choice, len(lexicon.units), plan)
    torch.save({**kept, "units": lexicon.units, "width": WIDTH, "without": arguments.without}, arguments.out)


if __name__ == "__main__":
    main()
