"""What the corpus says: phrases that a step may hear, and everything else that a room may be saying."""

from __future__ import annotations

import random
from collections.abc import Sequence
from pathlib import Path

from assistant.language.listening import CONTEXTS
from assistant.language.phrases import sample, vocabulary

SHARE_OF_OTHER_WORDS = 0.22
SHARE_OF_LOOSE_WORDS = 0.18


def other_words(language: str) -> Sequence[str]:
    """Common words of a language that no step listens for."""
    path = Path(__file__).parent / "other_words" / f"{language}.txt"
    return [word for word in path.read_text("utf-8").split() if word not in vocabulary(language)]


class Speaker:
    """Draws texts for one language: phrases, loose words of the vocabulary, other words, and both mixed."""

    def __init__(self, language: str, rng: random.Random) -> None:
        self.language = language
        self.rng = rng
        self.vocabulary = sorted(vocabulary(language))
        self.others = other_words(language)

    def prepare(self) -> None:
        """Make the tables of phrases that stay in memory, before this process splits into many."""
        for context in CONTEXTS:
            sample(context, self.language, self.rng)

    def text(self) -> str:
        kind = self.rng.random()
        if kind < SHARE_OF_OTHER_WORDS:
            return " ".join(self.other_talk())
        if kind < SHARE_OF_OTHER_WORDS + SHARE_OF_LOOSE_WORDS:
            return " ".join(self.rng.choice(self.vocabulary) for _ in range(self.rng.randint(1, 4)))
        words, _value = sample(self.rng.choice(CONTEXTS), self.language, self.rng)
        return " ".join(words)

    def other_talk(self) -> list[str]:
        words = [self.rng.choice(self.others) for _ in range(self.rng.randint(1, 6))]
        if self.rng.random() < 0.3:
            words[self.rng.randrange(len(words))] = self.rng.choice(self.vocabulary)
        return words
