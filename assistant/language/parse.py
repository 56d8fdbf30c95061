"""Words to a value, as a context listens for it. What may be wrong is asked again, never guessed."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from assistant.language.grammar import heard_digits, phrases
from assistant.language.lexicon import lexicon
from assistant.language.listening import Listening, Value, Words

_BETWEEN_WORDS = re.compile(r"[\s\-‐.,;!?]+")


class Unheard(StrEnum):
    """Why an entry is asked again; also the suffix of a prompt `refused-<code>`."""

    NOTHING_HEARD = "nothing_heard"
    NOT_UNDERSTOOD = "not_understood"
    WRONG_LENGTH = "wrong_length"
    OUT_OF_RANGE = "out_of_range"
    NEEDS_SIGN = "needs_sign"
    CONFUSABLE = "confusable"
    """Easily taken for another value that is possible too: asked again digit by digit."""


@dataclass(frozen=True, slots=True)
class Heard:
    """`value` None, or `ambiguous`: asked again, for `reason`."""

    value: Value | None
    ambiguous: bool = False
    reason: Unheard | None = None

    @property
    def accepted(self) -> bool:
        """Whether it goes to read-back."""
        return self.value is not None and not self.ambiguous


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the step allows: a count of digits, or bounds of a number, both ends included."""

    digits: int | None = None
    low: float | None = None
    high: float | None = None

    def refuses(self, value: Value) -> Unheard | None:
        if isinstance(value, Decimal):
            low_ok = self.low is None or value >= Decimal(str(self.low))
            high_ok = self.high is None or value <= Decimal(str(self.high))
            return None if low_ok and high_ok else Unheard.OUT_OF_RANGE
        return None if self.digits in (None, len(value)) else Unheard.WRONG_LENGTH


def words_of(text: str, language: str) -> Words:
    """Text as the words the grammar knows: small letters, no hyphens, other spellings put right."""
    alias = lexicon(language).alias
    return tuple(alias.get(word, word) for word in _BETWEEN_WORDS.split(text.lower()) if word)


def parse(
    words: Sequence[str] | str,
    listening: Listening,
    language: str,
    *,
    digits: int | None = None,
    low: float | None = None,
    high: float | None = None,
) -> Heard:
    """The value that the words mean in this context.

    `digits` fixes the count of digits; `low` and `high` bound a number, both included. No words whatever make
    it raise; a language there is none of raises `LanguageError`, listening for counts `ValueError`.
    """
    listening = Listening(listening)
    said = words_of(words if isinstance(words, str) else " ".join(words), language)
    if not said:
        return Heard(None, reason=Unheard.NOTHING_HEARD)
    wanted = Wanted(digits if listening is Listening.DIGITS else None, low, high)
    meanings = _meanings(said, listening, language)
    if not meanings:
        return Heard(None, reason=Unheard.NOT_UNDERSTOOD)
    if len(meanings) > 1:
        return Heard(None, True, _two_meanings(meanings))
    (value,) = meanings
    if (refused := wanted.refuses(value)) is not None:
        return Heard(None, reason=refused)
    if _may_be_another(said, value, listening, language, wanted):
        return Heard(value, True, Unheard.CONFUSABLE)
    return Heard(value)


def _meanings(said: Words, listening: Listening, language: str) -> frozenset[Value]:
    if listening is Listening.DIGITS:
        text = heard_digits(said, language)
        return frozenset() if text is None else frozenset({text})
    return phrases(listening, language).get(said, frozenset())


def _two_meanings(meanings: frozenset[Value]) -> Unheard:
    sizes = {abs(value) if isinstance(value, Decimal) else value for value in meanings}
    return Unheard.NEEDS_SIGN if len(sizes) == 1 else Unheard.CONFUSABLE


def _may_be_another(said: Words, value: Value, listening: Listening, language: str, wanted: Wanted) -> bool:
    """Whether a word that sounds like one of these would make another value that is possible."""
    others = (_meanings(other, listening, language) for other in _mistaken(said, language))
    return any(v != value and wanted.refuses(v) is None for meanings in others for v in meanings)


def _mistaken(said: Words, language: str) -> Iterator[Words]:
    """The phrase with one of its words taken for the other of a confusable pair."""
    for first, second in lexicon(language).confusable:
        for is_said, is_heard in ((first, second), (second, first)):
            for place in range(len(said) - len(is_said) + 1):
                if said[place : place + len(is_said)] == is_said:
                    yield (*said[:place], *is_heard, *said[place + len(is_said) :])
