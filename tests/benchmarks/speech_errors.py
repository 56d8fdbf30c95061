"""How often is a spoken answer understood, taken for another, or asked again? Each context, through vosk.

    PYTHONPATH=tests python -m benchmarks.speech_errors --language en --clips FOLDER [--model FOLDER]
        [--noise babble:10]

FOLDER holds shards written by `python -m models.training.corpus ... --test`: voices that training never hears. A
clip is listened for in a context that its words are an answer in, the rarest first; clips of other words are
listened for in every context in turn, and should all be asked again.
"""

import argparse
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from benchmarks.speech_noise import RATE_HZ, Noise, babble_of, hum, in_noise, talk_in

from assistant.language.listening import CONTEXTS, Listening, Value
from assistant.language.parse import parse
from assistant.language.phrases import graph, vocabulary
from assistant.speech.decoding_graph import Costs
from assistant.speech.model_folder import COSTS, model_dir
from assistant.speech.recogniser import VoskRecogniser
from assistant.speech.sound import Samples, Sound
from assistant.speech.understanding import Asked, understand


@dataclass(frozen=True)
class Clip:
    samples: Samples
    text: str
    speaker: str


@dataclass(frozen=True)
class Condition:
    """Silence, or a noise so many decibels below the voice."""

    noise: Noise | None = None
    ratio_db: float = 0.0


def clips_of(folder: Path, pattern: str = "*.npz") -> list[Clip]:
    """Every clip of the shards in `folder`."""
    found: list[Clip] = []
    for path in sorted(folder.glob(pattern)):
        with np.load(path) as shard:
            ends = np.cumsum(shard["length"])[:-1]
            pieces = np.split(shard["audio"], ends)
            columns = zip(pieces, shard["text"], shard["speaker"], strict=True)
            found.extend(Clip(piece, str(text), str(speaker)) for piece, text, speaker in columns)
    if not found:
        raise SystemExit(f"{folder} holds no shard like {pattern}")
    return found


def belongs(words: Sequence[str], listening: Listening, language: str) -> bool:
    """Whether these words are a path through the context's graph."""
    of = graph(listening, language)
    steps = {(arc.source, arc.word): arc.target for arc in of.arcs}
    state: int | None = of.start
    for word in words:
        state = steps.get((state, word)) if state is not None else None
    return state in of.finals


def shared_out(clips: Sequence[Clip], language: str) -> Iterator[tuple[Listening, Clip, Value | None]]:
    """Each clip with a context, and the value that it should be understood as (None: asked again)."""
    taken: Counter[Listening] = Counter()
    known = vocabulary(language)
    turns = 0
    for clip in clips:
        words = tuple(clip.text.split())
        fitting = [context for context in CONTEXTS if belongs(words, context, language)]
        if fitting:
            context = min(fitting, key=lambda c: taken[c])
            heard = parse(words, context, language)
            if heard.accepted:
                taken[context] += 1
                yield context, clip, heard.value
        elif 2 * sum(word not in known for word in words) >= len(words):
            turns += 1
            yield CONTEXTS[turns % len(CONTEXTS)], clip, None


def measure(
    clips: Sequence[Clip], language: str, model: Path | None, costs: Costs, condition: Condition
) -> Mapping[str, Counter[str]]:
    """Outcomes by context, and of other words under 'other words': right, wrong, again."""
    rng = np.random.default_rng(1)
    outcomes: dict[str, Counter[str]] = defaultdict(Counter)
    with tempfile.TemporaryDirectory() as cache:
        ears: dict[Listening, VoskRecogniser] = {}
        for context, clip, value in shared_out(clips, language):
            if context not in ears:
                ears[context] = VoskRecogniser(
                    model_dir(language, context, Path(cache), model=model, costs=costs)
                )
            samples = clip.samples
            if condition.noise:
                samples = in_noise(samples, condition.noise, condition.ratio_db, rng)
            asked = Asked(context, language)
            said = understand(ears[context].recognise(Sound(samples, RATE_HZ)), asked)
            name = str(context) if value is not None else "other words"
            outcomes[name][_outcome(said.accepted, said.value == value)] += 1
    return outcomes


def _outcome(accepted: bool, same: bool) -> str:
    return "again" if not accepted else "right" if same else "wrong"


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--language", required=True)
    parser.add_argument("--clips", type=Path, required=True)
    parser.add_argument("--pattern", default="*.npz")
    parser.add_argument("--model", type=Path)
    parser.add_argument("--noise", help="babble:DB or hum:DB")
    parser.add_argument(
        "--talk", type=Path, help="a folder of .wav talk for babble, else the clips themselves"
    )
    parser.add_argument("--costs", help="word,other word,garbage")
    arguments = parser.parse_args()
    clips = clips_of(arguments.clips, arguments.pattern)
    condition = Condition()
    if arguments.noise:
        kind, ratio = arguments.noise.split(":")
        babble = talk_in(arguments.talk) if arguments.talk else babble_of([clip.samples for clip in clips])
        noise = hum if kind == "hum" else babble
        condition = Condition(noise, float(ratio))
    costs = Costs(*map(float, arguments.costs.split(","))) if arguments.costs else COSTS
    outcomes = measure(clips, arguments.language, arguments.model, costs, condition)
    total: Counter[str] = Counter()
    for name, counts in sorted(outcomes.items()):
        if name != "other words":
            total += counts
        _show(name, counts)
    _show("all contexts", total)


def _show(name: str, counts: Counter[str]) -> None:
    count = counts.total()
    shares = "  ".join(
        f"{kind} {counts[kind]} ({counts[kind] / count:.1%})" for kind in ("right", "wrong", "again")
    )
    print(f"{name:14} {count:5}  {shares}")


if __name__ == "__main__":
    main()
