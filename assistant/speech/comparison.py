"""Whether a fitted model hears its helper better than the shared one, on recordings it was not fitted to."""

import random
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from assistant.language.listening import Listening
from assistant.language.parse import parse
from assistant.speech.enrolment import Clip, Fit, check_enough, fit
from assistant.speech.model_folder import model_dir
from assistant.speech.recogniser import VoskRecogniser
from assistant.speech.sound import joined
from assistant.speech.understanding import Asked, understand

SINGLE = (Listening.DIGIT, Listening.COMMANDS)
MOST_FOLDS = 3
IN_A_STRING = 3
STRINGS = 20
"""Rows of three digits put together from the recordings held back, each time."""
GAPS_S = (0.08, 0.25)


@dataclass(frozen=True, slots=True)
class Tally:
    """Answers understood rightly, and wrong ones that would have gone to read-back, of so many."""

    right: int = 0
    wrong: int = 0
    of: int = 0

    def __add__(self, other: "Tally") -> "Tally":
        return Tally(self.right + other.right, self.wrong + other.wrong, self.of + other.of)

    @property
    def cost(self) -> int:
        """An answer asked again counts one, a wrong one that passes two."""
        return self.of - self.right + self.wrong


@dataclass(frozen=True, slots=True)
class Compared:
    """Over all recordings, each heard by a model fitted to the others."""

    shared: Tally
    fitted: Tally

    @property
    def better(self) -> bool:
        return self.fitted.cost < self.shared.cost

    @property
    def worse(self) -> bool:
        return self.fitted.cost > self.shared.cost


Base = Callable[[Sequence[Clip], Path], Path]
"""The model folder to begin from, for these recordings; it may be made in the folder given."""
Told = Callable[[int, int], None]
"""Rounds done, and of all."""


def folds(clips: Sequence[Clip]) -> list[tuple[list[Clip], list[Clip]]]:
    """(to fit to, held back): of every word each third recording, or each second where there are but two.

    Raises ValueError where no word was recorded twice.
    """
    order: list[int] = []
    seen: dict[tuple[str, ...], int] = {}
    for clip in clips:
        order.append(seen.get(clip.words, 0))
        seen[clip.words] = order[-1] + 1
    if max(order, default=0) == 0:
        raise ValueError("no word was recorded twice, so it cannot be tried whether a fitted model is better")
    parts = min(MOST_FOLDS, max(order) + 1)
    numbered = [(n % parts, clip) for n, clip in zip(order, clips, strict=True)]
    return [
        ([clip for n, clip in numbered if n != held], [clip for n, clip in numbered if n == held])
        for held in range(parts)
    ]


def compare(base: Base, language: str, clips: Sequence[Clip], how: Fit, told: Told) -> Compared:
    """Fit without each take in turn and try that take. Raises what `fit` and `folds` raise, and SpeechError."""
    check_enough(clips)
    parts = folds(clips)
    before, after = Tally(), Tally()
    with tempfile.TemporaryDirectory() as name:
        for number, (fitted_to, held) in enumerate(parts):
            own = Path(name) / str(number)
            shared = base(fitted_to, Path(name) / f"{number}-base")

            def progress(done: int, rounds: int, _loss: float, number: int = number) -> None:
                told(number * rounds + done, (len(parts) + 1) * rounds)

            fit(shared, fitted_to, own, how, progress)
            before += tried(shared, language, held, Path(name) / "graphs")
            after += tried(own, language, held, Path(name) / "graphs")
    return Compared(before, after)


def tried(model: Path, language: str, clips: Sequence[Clip], cache: Path) -> Tally:
    """Digits and commands by themselves, and digits strung together, as the steps would take them."""
    total = Tally()
    for context in SINGLE:
        ear = VoskRecogniser(model_dir(language, context, cache, model=model))
        asked = Asked(context, language)
        for clip in clips:
            wanted = parse(clip.words, context, language).value
            if wanted is not None:
                heard = understand(ear.recognise(clip.sound), asked)
                total += _one(heard.value == wanted, heard.accepted)
    return total + _strings(model, language, clips, cache)


def _strings(model: Path, language: str, clips: Sequence[Clip], cache: Path) -> Tally:
    digits = [
        (clip, str(value))
        for clip in clips
        if (value := parse(clip.words, Listening.DIGIT, language).value) is not None
    ]
    if not digits:
        return Tally()
    asked = Asked(Listening.DIGITS, language, digits=IN_A_STRING)
    ear = VoskRecogniser(model_dir(language, Listening.DIGITS, cache, IN_A_STRING, model))
    rng, total = random.Random(1), Tally()
    for _ in range(STRINGS):
        drawn = [rng.choice(digits) for _ in range(IN_A_STRING)]
        sound = joined([clip.sound for clip, _ in drawn], rng.uniform(*GAPS_S))
        heard = understand(ear.recognise(sound), asked)
        total += _one(heard.value == "".join(digit for _, digit in drawn), heard.accepted)
    return total


def _one(right: bool, accepted: bool) -> Tally:
    return Tally(right and accepted, accepted and not right, 1)
