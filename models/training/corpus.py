"""Write the corpus: shards of clips at 8000 samples a second, spoken by synthesisers and by people.

    python -m models.training.corpus rules  --language en --out DIR --clips 40000   # espeak-ng
    python -m models.training.corpus neural --language en --out DIR --clips 4000 --kokoro FOLDER
    python -m models.training.corpus human  --zip RECORDINGS.zip --out DIR          # the spoken digits, English
    python -m models.training.corpus other  --folder SOUNDS --out DIR               # other talk, music
    python -m models.training.corpus listed --list FILE.tsv --language fr --out DIR # recordings named in a table

A shard (.npz) holds the samples of its clips end to end (`audio`, int16) and for each clip `length`, `text`,
`speaker` and `kind` (rules, neural or human). `--test` draws only the voices that training never hears.
"""

from __future__ import annotations

import argparse
import functools
import io
import multiprocessing
import random
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile
import soxr
from numpy.typing import NDArray

from models.training.accents import foreign_english
from models.training.espeak import Espeak, variants
from models.training.features import SAMPLE_RATE
from models.training.phrases import Speaker
from models.training.voices import (
    ACCENTS,
    FOREIGN_READERS,
    TEST_VARIANTS,
    TEST_VOICES,
    UNHUMAN,
    neural_mixture,
    respelt,
    rule_voice,
)

SHARD_CLIPS = {"rules": 800, "neural": 100}
PEAK = 20000.0
QUIET = 0.02  # of the peak: below it a clip's ends are silence
STRINGS_A_SPEAKER = 1200
FOREIGN_SHARE = 0.35
OTHER = "<other>"


@dataclass(frozen=True)
class Clip:
    """One recording: 16-bit samples and what is known of them."""

    audio: NDArray[np.int16]
    text: str
    speaker: str
    kind: str


def trimmed(samples: NDArray[np.float64], rate: int) -> NDArray[np.int16]:
    """At SAMPLE_RATE, loudest sample PEAK, silence cut off both ends but for 20 ms."""
    if rate != SAMPLE_RATE:
        samples = soxr.resample(samples, rate, SAMPLE_RATE)
    peak = float(np.abs(samples).max(initial=0.0))
    if peak == 0.0:
        return np.zeros(0, np.int16)
    loud = np.flatnonzero(np.abs(samples) > QUIET * peak)
    samples = samples[max(0, loud[0] - 160) : loud[-1] + 160]
    return np.rint(samples * (PEAK / peak)).astype(np.int16)


def write_shard(path: Path, clips: list[Clip]) -> None:
    """Written beside its place and moved there whole, so that a run that is stopped leaves no torn shard."""
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_suffix(".part")
    with part.open("wb") as file:
        np.savez(
            file,
            audio=np.concatenate([clip.audio for clip in clips]),
            length=np.array([len(clip.audio) for clip in clips], np.int64),
            text=np.array([clip.text for clip in clips]),
            speaker=np.array([clip.speaker for clip in clips]),
            kind=np.array([clip.kind for clip in clips]),
        )
    part.replace(path)


def rule_clips(language: str, count: int, test: bool, rng: random.Random) -> Iterator[Clip]:
    """Clips by espeak-ng, each in another voice, now and then with pauses between the words."""
    espeak, speaker = Espeak(), Speaker(language, rng)
    names = tuple(name for name in variants() if (name in TEST_VARIANTS) == test and name not in UNHUMAN)
    for _ in range(count):
        text, voice = speaker.text(), rule_voice(language, names, rng)
        foreign = respelt(text) if language == "en" and rng.random() < FOREIGN_SHARE else None
        name = f"{rng.choice(FOREIGN_READERS)}+{voice.name.partition('+')[2]}" if foreign else voice.name
        espeak.choose(name)
        said = (foreign or text).replace(" ", ", " if rng.random() < 0.2 else " ")
        audio = trimmed(espeak.speak(said, voice.manner).astype(np.float64), espeak.sample_rate)
        if len(audio):
            yield Clip(audio, text, name, "rules")


def neural_clips(language: str, count: int, test: bool, rng: random.Random, folder: Path) -> Iterator[Clip]:
    """Clips by Kokoro in mixtures of its voices, or in each test voice by itself."""
    from models.training import kokoro

    espeak, speaker, engine = Espeak(), Speaker(language, rng), kokoro.Kokoro(folder)
    names = tuple(name for name in engine.voices if (name in TEST_VOICES) == test)
    for _ in range(count):
        text = speaker.text()
        espeak.choose(rng.choice(ACCENTS[language]))
        mixture = {rng.choice(names): 1.0} if test else neural_mixture(language, names, rng)
        said = text.replace(" ", ", ") if rng.random() < 0.15 else text
        phonemes = espeak.phonemes(said)
        if language == "en" and not test and rng.random() < FOREIGN_SHARE:
            phonemes = foreign_english(phonemes, rng)
        samples = engine.speak(phonemes, mixture, rng.uniform(0.75, 1.6))
        audio = trimmed(samples.astype(np.float64), kokoro.SAMPLE_RATE)
        yield Clip(audio, text, "+".join(mixture), "neural")


def other_clips(folder: Path) -> Iterator[Clip]:
    """People saying things that no step listens for: each sound file of `folder`, one other word every 0.45
    seconds; from folders named 'music', pieces of two seconds without any word."""
    for path in sorted(folder.rglob("*.wav")):
        samples, rate = soundfile.read(path, dtype="float64")
        if "music" in path.parts:
            for start in range(0, len(samples) - 2 * rate, 20 * rate):
                yield Clip(trimmed(samples[start : start + 2 * rate], rate), "", "music", "rules")
            continue
        audio = trimmed(samples, rate)
        words = round(len(audio) / SAMPLE_RATE / 0.45)
        if words and len(audio) < 6 * SAMPLE_RATE:
            yield Clip(audio, " ".join([OTHER] * words), path.parent.name, "rules")


DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def human_digits(recordings: Path) -> dict[str, list[Clip]]:
    """The spoken digits by speaker, in the order of their names (digit, speaker, number)."""
    speakers: dict[str, list[Clip]] = {}
    with zipfile.ZipFile(recordings) as archive:
        for name in sorted(archive.namelist()):
            if not name.endswith(".wav"):
                continue
            digit, speaker, _number = Path(name).stem.split("_")
            samples, rate = soundfile.read(io.BytesIO(archive.read(name)), dtype="float64")
            clip = Clip(trimmed(samples, rate), DIGITS[int(digit)], speaker, "human")
            speakers.setdefault(speaker, []).append(clip)
    return speakers


def string_of(clips: list[Clip], rng: random.Random) -> Clip:
    """Some clips of one speaker said one after another, with or without pauses."""
    parts: list[NDArray[np.int16]] = []
    for clip in clips:
        if parts:
            parts.append(np.zeros(int(rng.choice((0.0, 0.05, 0.3)) * rng.random() * SAMPLE_RATE), np.int16))
        parts.append((clip.audio * rng.uniform(0.5, 1.0)).astype(np.int16))
    return Clip(np.concatenate(parts), " ".join(clip.text for clip in clips), clips[0].speaker, "human")


def human_clips(recordings: Path, rng: random.Random) -> Iterator[Clip]:
    """Every recording by itself, and strings of two to four of them."""
    for clips in human_digits(recordings).values():
        yield from clips
        for _ in range(STRINGS_A_SPEAKER):
            yield string_of([rng.choice(clips) for _ in range(rng.randint(2, 4))], rng)


def listed_clips(table: Path, rng: random.Random) -> Iterator[Clip]:
    """The recordings of a table (path from the table's folder, words, speaker and kind, with tabs between), and
    strings of two to four by each human speaker."""
    speakers: dict[str, list[Clip]] = {}
    for line in table.read_text("utf-8").splitlines():
        name, text, speaker, kind = line.split("\t")
        samples, rate = soundfile.read(table.parent / name, dtype="float64")
        clip = Clip(trimmed(samples, rate), text, speaker, kind)
        yield clip
        if kind == "human":
            speakers.setdefault(speaker, []).append(clip)
    for clips in speakers.values():
        for _ in range(STRINGS_A_SPEAKER):
            yield string_of([rng.choice(clips) for _ in range(rng.randint(2, 4))], rng)


def write_part(job: tuple[str, str, int, int, bool, Path, Path | None]) -> None:
    """One shard, in a process of its own."""
    engine, language, count, seed, test, path, folder = job
    rng = random.Random(seed)
    if engine == "rules":
        clips = list(rule_clips(language, count, test, rng))
    else:
        assert folder is not None
        clips = list(neural_clips(language, count, test, rng, folder))
    write_shard(path, clips)


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("engine", choices=("rules", "neural", "human", "other", "listed"))
    parser.add_argument("--language", choices=tuple(ACCENTS), default="en")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--clips", type=int, default=40000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--test", action="store_true")
    parser.add_argument("--kokoro", type=Path)
    parser.add_argument("--zip", type=Path)
    parser.add_argument("--folder", type=Path)
    parser.add_argument("--list", type=Path)
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    arguments = parser.parse_args()
    if arguments.engine == "human":
        clips = list(human_clips(arguments.zip, random.Random(arguments.seed)))
        write_shard(arguments.out / arguments.language / "human.npz", clips)
        return
    if arguments.engine == "listed":
        listed = list(listed_clips(arguments.list, random.Random(arguments.seed)))
        write_shard(arguments.out / arguments.language / f"listed-{arguments.list.stem}.npz", listed)
        return
    if arguments.engine == "other":
        write_shard(arguments.out / "any" / "other.npz", list(other_clips(arguments.folder)))
        return
    shards = -(-arguments.clips // SHARD_CLIPS[arguments.engine])
    name = functools.partial("{}-{:04d}.npz".format, arguments.engine)
    jobs = [
        (
            arguments.engine,
            arguments.language,
            -(-arguments.clips // shards),
            arguments.seed * 100_000 + number,
            arguments.test,
            arguments.out / arguments.language / name(number),
            arguments.kokoro,
        )
        for number in range(shards)
    ]
    Speaker(arguments.language, random.Random(0)).prepare()
    # espeak-ng hangs when it is started a second time in a process, so each shard has a process of its own
    with multiprocessing.get_context("fork").Pool(arguments.processes, maxtasksperchild=1) as pool:
        pool.map(write_part, jobs, chunksize=1)


if __name__ == "__main__":
    main()
