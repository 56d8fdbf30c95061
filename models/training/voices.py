"""Who speaks the corpus: accents, voices and manners of each synthesiser, and the voices kept for testing."""

from __future__ import annotations

import random
from dataclasses import dataclass

from models.training.espeak import Manner

ACCENTS = {
    "en": ("gmw/en-US", "gmw/en-US", "gmw/en", "gmw/en", "gmw/en-029", "gmw/en-GB-scotland", "gmw/en-GB-x-rp",
           "gmw/en-GB-x-gbclan", "gmw/en-GB-x-gbcwmd", "gmw/en-US-nyc"),
    "pt": ("roa/pt", "roa/pt-BR"),
    "fr": ("roa/fr", "roa/fr", "roa/fr-BE", "roa/fr-CH"),
    "sw": ("bnt/sw",),
}  # fmt: skip
CANONICAL = {"en": "gmw/en-US", "pt": "roa/pt-BR", "fr": "roa/fr", "sw": "bnt/sw"}
UNHUMAN = frozenset(
    {"Demonic", "Mr serious", "Storm", "Tweaky", "UniRobot", "anikaRobot", "croak", "whisper", "whisperf",
     "announcer", "fast", "RicishayMax2"}
) | {f"robosoft{number}" for number in ("", 2, 3, 4, 5, 6, 7, 8)}  # fmt: skip
TEST_VARIANTS = frozenset({"f2", "m3", "Annie", "max", "klatt4", "Diogo", "michel", "linda"})
TEST_VOICES = frozenset(
    {"am_michael", "bf_emma", "bm_george", "af_bella", "pm_alex", "hf_beta", "im_nicola", "jf_alpha", "zf_xiaoni",
     "ef_dora"}
)  # fmt: skip
# Kokoro's voices that were made for the language, preferred to those made for others
NATIVE_VOICES = {"en": ("a", "b"), "pt": ("p", "e", "i"), "fr": ("ff", "e", "i"), "sw": ("i", "e", "p", "j")}


# English words spelt so that voices of other languages read them as their speakers would say them
FOREIGN_READERS = ("bnt/sw", "bnt/sw", "bnt/tn", "roa/it", "roa/es", "roa/pt-BR", "poz/id")
RESPELT = {
    "a": "e", "again": "agen", "and": "end", "back": "bek", "eight": "eit", "eighteen": "eitin", "eighty": "eiti",
    "eleven": "ileven", "fifteen": "fiftin", "fifty": "fifti", "five": "faiv", "forty": "foti", "four": "for",
    "fourteen": "fortin", "half": "haf", "help": "help", "hundred": "handred", "minus": "mainas",
    "negative": "negativ", "nine": "nain", "nineteen": "naintin", "ninety": "nainti", "no": "no", "oh": "o",
    "one": "wan", "plano": "plano", "plus": "plas", "point": "point", "positive": "positiv", "quarter": "kwota",
    "quarters": "kwotas", "seven": "seven", "seventeen": "seventin", "seventy": "seventi", "six": "siks",
    "sixteen": "sikstin", "sixty": "siksti", "stop": "stop", "ten": "ten", "thirteen": "tertin", "thirty": "terti",
    "three": "tri", "twelve": "twelv", "twenty": "twenti", "two": "tu", "yes": "yes", "zero": "ziro",
}  # fmt: skip


@dataclass(frozen=True)
class RuleVoice:
    """An espeak-ng voice with its manner."""

    name: str
    manner: Manner


def rule_voice(language: str, variants: tuple[str, ...], rng: random.Random) -> RuleVoice:
    """Any accent of the language in any of `variants`, high or low, slow or fast."""
    manner = Manner(rng.randint(90, 320), rng.randint(5, 95), rng.randint(10, 90))
    variant = rng.choice(variants)
    return RuleVoice(f"{rng.choice(ACCENTS[language])}+{variant}", manner)


def respelt(text: str) -> str | None:
    """An English text as FOREIGN_READERS can read it, or None when it holds a word that is not listed."""
    words = text.split()
    return " ".join(RESPELT[word] for word in words) if all(word in RESPELT for word in words) else None


def neural_mixture(language: str, voices: tuple[str, ...], rng: random.Random) -> dict[str, float]:
    """One or two of Kokoro's voices mixed by weight: a new speaker nearly every time."""
    native = [name for name in voices if name.startswith(NATIVE_VOICES[language])]
    first = rng.choice(native) if native and rng.random() < 0.6 else rng.choice(voices)
    second = rng.choice(voices)
    share = 0.0 if rng.random() < 0.25 else rng.uniform(0.0, 0.5)
    mixture = {first: 1.0 - share}
    mixture[second] = mixture.get(second, 0.0) + share
    return mixture
