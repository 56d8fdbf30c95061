"""How often a wrong number is accepted in the end, and how many tries an entry takes.

PYTHONPATH=tests python -m benchmarks.speech_accepted MODEL FOLDER SPEAKER [--first-take 3]

FOLDER holds human recordings named <digit>_<speaker>_<take>.wav; MODEL must not have been trained on SPEAKER. An
entry is an axis of three digits. First the confusions are measured: 1,500 axes put together from the recordings and
600 times "yes" and "no" (by synthesis, in babble at 10 dB) go through vosk and the real understanding. Then entries
are drawn from these outcomes and go through the real talk (`dialogue`): heard, read back, yes or no; wrong ones that
pass are held against the optics, which accept an axis within the step's tolerance of what is wanted. After six tries
the entry is keyed. Assumed, without a source: in one of a hundred read-backs the helper says yes to anything.
"""

import argparse
import random
import tempfile
from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

import numpy as np
from benchmarks.speech_noise import RATE_HZ, babble_of, in_noise

from assistant.language.listening import Listening
from assistant.speech import dialogue
from assistant.speech.dialogue import Talk
from assistant.speech.equipment import recognisers
from assistant.speech.model_folder import model_dir
from assistant.speech.recogniser import Recogniser, VoskRecogniser
from assistant.speech.sound import Samples, Sound, joined, read_sound, resampled
from assistant.speech.synth import Pace, Synthesiser
from assistant.speech.understanding import Asked, Understanding, understand

AXES, ANSWERS, MOST_TRIES = 1500, 300, 6
INATTENTIVE, TOLERANCE_DEG = 0.01, 3
AXIS = Asked(Listening.AXIS, "en", low=0, high=180)
YES_NO = Asked(Listening.YES_NO, "en")
Outcomes = dict[str, list[Understanding]]


def axes_heard(
    hears: Recogniser, clips: Sequence[Path], rng: random.Random
) -> list[tuple[int, Understanding]]:
    """What each of many axes, said digit by digit, was understood as."""
    takes = {digit: [clip for clip in clips if clip.name.startswith(f"{digit}_")] for digit in range(10)}
    found = []
    for _ in range(AXES):
        axis = rng.randrange(1, 181)
        sounds = [read_sound(rng.choice(takes[int(digit)])) for digit in f"{axis:03d}"]
        found.append((axis, understand(hears.recognise(joined(sounds, rng.uniform(0.08, 0.25))), AXIS)))
    return found


def answers_heard(hears: Recogniser, speaker: Synthesiser) -> Outcomes:
    """What "yes" and "no" were understood as, in the talk of others."""
    rng = np.random.default_rng(4)
    talk = [
        _at_rate(speaker.render(text, "en"))
        for text in ("one two three four", "minus six point five", "help")
    ]
    outcomes: Outcomes = {}
    for word in ("yes", "no"):
        clip = _at_rate(speaker.render(word, "en", Pace.USUAL))
        noisy = [in_noise(clip, babble_of(talk), 10, rng) for _ in range(ANSWERS)]
        outcomes[word] = [understand(hears.recognise(Sound(samples, RATE_HZ)), YES_NO) for samples in noisy]
    return outcomes


def entered(
    axis: int, heard: list[Understanding], answers: Outcomes, rng: random.Random
) -> tuple[int | None, int]:
    """One entry to its end: the axis that was accepted (None: keyed) and the tries it took."""
    talk = Talk(AXIS)
    for tries in range(1, MOST_TRIES + 1):
        talk, _ = dialogue.heard(talk, rng.choice(heard))
        while talk.candidate is not None:
            value = int(Decimal(talk.candidate.value))
            means_yes = value == axis or rng.random() < INATTENTIVE
            talk, _ = dialogue.heard(talk, rng.choice(answers["yes" if means_yes else "no"]))
            if talk.over:
                return value, tries
    return None, MOST_TRIES


def _at_rate(sound: Sound) -> Samples:
    return resampled(sound, RATE_HZ).samples


def simulated(measured: list[tuple[int, Understanding]], answers: Outcomes, entries: int) -> Counter[str]:
    """Counts over many entries. An axis draws among all that was heard for it, and what it missed by."""
    rng, counts = random.Random(9), Counter[str]()
    by_axis: dict[int, list[Understanding]] = {}
    for axis, understanding in measured:
        by_axis.setdefault(axis, []).append(understanding)
    said = sorted(by_axis)
    for _ in range(entries):
        axis = rng.choice(said)
        value, tries = entered(axis, by_axis[axis], answers, rng)
        counts["tries"] += tries
        counts["keyed after all"] += value is None
        if value is not None and value != axis:
            counts["wrong after read-back"] += 1
            counts["wrong after the optics"] += abs((value - axis + 90) % 180 - 90) <= TOLERANCE_DEG
    return counts


def main() -> None:
    options = argparse.ArgumentParser()
    options.add_argument("model", type=Path)
    options.add_argument("folder", type=Path)
    options.add_argument("speaker")
    options.add_argument("--entries", type=int, default=100_000)
    options.add_argument("--first-take", type=int, default=0, help="leave out those that MODEL was fitted to")
    given = options.parse_args()
    found = sorted(given.folder.rglob(f"?_{given.speaker}_*.wav"))
    clips = [clip for clip in found if int(clip.stem.rpartition("_")[2]) >= given.first_take]
    with tempfile.TemporaryDirectory() as name:
        hears = VoskRecogniser(model_dir("en", Listening.AXIS, Path(name), model=given.model))
        measured = axes_heard(hears, clips, random.Random(1))
        speaker = Synthesiser(Path(name) / "speech")
        answers = answers_heard(recognisers(Path(name))(YES_NO), speaker)
        speaker.close()
    right = sum(u.accepted and u.value == axis for axis, u in measured)
    wrong = sum(u.accepted and u.value != axis for axis, u in measured)
    print(f"{given.speaker}: of {AXES} axes {right} heard right, {wrong} wrong, the rest refused")
    for word, other in (("yes", "no"), ("no", "yes")):
        crossed = sum(u.accepted and u.value == other for u in answers[word])
        print(f"of {ANSWERS} '{word}' {crossed} heard as '{other}'")
    counts = simulated(measured, answers, given.entries)
    print(f"of {given.entries} entries: {counts['wrong after read-back']} wrong after read-back,", end=" ")
    print(
        f"{counts['wrong after the optics']} after the optics; {counts['keyed after all']} keyed after all;",
        end=" ",
    )
    print(f"tries an entry {counts['tries'] / given.entries:.2f}")


if __name__ == "__main__":
    main()
