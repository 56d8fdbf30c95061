"""English as people speak it whose first language is another: single sounds replaced by their nearest neighbours.

From memory of what speakers of French, Portuguese, Swahili and German commonly do; no source.
"""

from __future__ import annotations

import random

# sound -> what may stand for it; each speaker makes one choice for each sound and keeps to it in a phrase
IPA_CHOICES = {
    "θ": ("s", "t", "f", "θ"),
    "ɹ": ("ʁ", "ɾ", "r", "ɹ"),
    "ɪ": ("i", "ɪ", "e"),
    "æ": ("a", "ɛ", "æ"),
    "ʌ": ("a", "ɔ", "ʌ"),
    "oʊ": ("o", "ɔ", "oʊ"),
    "eɪ": ("e", "ɛ", "eɪ"),
    "uː": ("u", "uː"),
    "iː": ("i", "iː"),
    "ɔː": ("o", "ɔ", "ɔː"),
    "ɜː": ("œ", "e", "ɜː"),
    "ɚ": ("a", "ə", "ɚ"),
    "ᵻ": ("i", "e"),
    "h": ("", "h"),
    "v": ("v", "f"),
    "z": ("z", "s"),
    "w": ("w", "v"),
    "ɾ": ("t", "ɾ"),
}


def _replace(text: str, choices: dict[str, tuple[str, ...]], rng: random.Random) -> str:
    chosen = {sound: rng.choice(others) for sound, others in choices.items()}
    result, place = [], 0
    by_length = sorted(chosen, key=len, reverse=True)
    while place < len(text):
        sound = next((sound for sound in by_length if text.startswith(sound, place)), text[place])
        result.append(chosen.get(sound, sound))
        place += len(sound)
    return "".join(result)


def foreign_english(ipa: str, rng: random.Random) -> str:
    """English phonemes in the International Phonetic Alphabet, as one speaker might say them."""
    return _replace(ipa, IPA_CHOICES, rng)
