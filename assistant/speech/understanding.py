"""From what the recogniser gives to an entry, or to the reason why it is asked again. No sound in here."""

from collections import defaultdict
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from functools import cache

from assistant.language.listening import Listening, Value
from assistant.language.parse import Heard, Unheard, parse
from assistant.language.phrases import graph

UNKNOWN = "[unk]"
"""The recogniser's word for what is none of the step's words."""
SURE = 0.5
"""Least confidence at which an answer that is not read back is believed; below it is asked again."""
SURE_ENOUGH_TO_READ_BACK = 0.65
"""Least confidence at which a number goes to read-back: of the wrong ones half are asked again, and of the right ones
one in fifty (docs/models.md)."""
NOT_READ_BACK = frozenset({Listening.YES_NO, Listening.COMMANDS})


@dataclass(frozen=True, slots=True)
class Alternative:
    """One way to hear a clip. The confidences of all ways together make up one."""

    words: tuple[str, ...]
    confidence: float

    @property
    def text(self) -> str:
        return " ".join(self.words)


@dataclass(frozen=True, slots=True)
class Recognition:
    """What a clip was heard as, the likeliest first; `took_s` is the time that it took to find out."""

    alternatives: tuple[Alternative, ...]
    seconds: float
    took_s: float

    @property
    def best(self) -> Alternative:
        return self.alternatives[0] if self.alternatives else Alternative((), 0.0)


@dataclass(frozen=True, slots=True)
class Asked:
    """What an answer must be: its kind, its language and its limits, both included."""

    listening: Listening
    language: str
    digits: int | None = None
    low: float | None = None
    high: float | None = None
    read_back: bool = True
    """False where the right answer is known and only the ear is being tried: the first hearing is the answer."""
    may_be_empty: bool = False
    """Whether "no" is an answer: there is nothing in the pocket."""
    prompts: str = ""
    """The language that the bench speaks meanwhile, where it is another; empty: the same."""

    @property
    def grammar_digits(self) -> int | None:
        """The count of digits that the grammar itself can fix."""
        return self.digits if self.listening is Listening.DIGITS else None


@dataclass(frozen=True, slots=True)
class Understanding:
    """An entry if `accepted`: it goes to read-back. Otherwise `reason` says why it is asked again."""

    words: str
    confidence: float
    value: Value | None = None
    accepted: bool = False
    reason: Unheard | None = None


def together(hearings: Sequence[Sequence[Alternative]]) -> tuple[Alternative, ...]:
    """Several hearings of one clip as one, the likeliest first: confidences added up, and made to sum to 1 again.

    So a hearing has as much say as it has confidence in the ways it gives.
    """
    sums: dict[tuple[str, ...], float] = defaultdict(float)
    for hearing in hearings:
        for way in hearing:
            sums[way.words] += way.confidence
    whole = sum(sums.values())
    likeliest = sorted(sums.items(), key=lambda item: -item[1])
    return tuple(Alternative(words, confidence / whole) for words, confidence in likeliest)


def without_unknown(hearing: Sequence[Alternative]) -> tuple[Alternative, ...]:
    """The ways to hear a clip in which all words are known."""
    return tuple(way for way in hearing if UNKNOWN not in way.words)


def understand(recognition: Recognition, asked: Asked, refused: Set[Value] = frozenset()) -> Understanding:
    """The best reading of a clip; values in `refused` were read back already and were wrong.

    A clip whose likeliest hearing holds an unknown word is refused whole. Where the likeliest does not parse,
    or was refused before, the next alternative that does is taken; an ambiguous one is asked digit by digit.
    """
    best = recognition.best
    if UNKNOWN in best.words:
        return Understanding(best.text, best.confidence, reason=Unheard.NOT_UNDERSTOOD)
    first = _heard(best, asked)
    if first.ambiguous:
        return Understanding(best.text, best.confidence, first.value, reason=first.reason)
    for alternative in recognition.alternatives:
        heard = _heard(alternative, asked)
        if heard.accepted and heard.value not in refused:
            return _believed(alternative, heard.value, asked, first=alternative is best)
    reason = Unheard.NOT_UNDERSTOOD if first.accepted else first.reason
    return Understanding(best.text, best.confidence, reason=reason)


def complete(words: str, asked: Asked) -> bool:
    """Whether nothing could follow these words in what the step listens for: there is no need to wait."""
    start, steps, ends = _steps(asked.listening, asked.language, asked.grammar_digits)
    state: int | None = start
    for word in words.split():
        state = steps.get((state, word)) if state is not None else None
    return state in ends


@cache
def _steps(
    listening: Listening, language: str, digits: int | None
) -> tuple[int, Mapping[tuple[int, str], int], frozenset[int]]:
    """The word graph as a table: its start, its steps, and the final states that nothing follows."""
    of = graph(listening, language, digits)
    steps = {(arc.source, arc.word): arc.target for arc in of.arcs}
    return of.start, steps, of.finals - {arc.source for arc in of.arcs}


def _heard(alternative: Alternative, asked: Asked) -> Heard:
    if UNKNOWN in alternative.words:
        return Heard(None, reason=Unheard.NOT_UNDERSTOOD)
    return parse(
        alternative.words,
        asked.listening,
        asked.language,
        digits=asked.digits,
        low=asked.low,
        high=asked.high,
    )


def _believed(alternative: Alternative, value: Value | None, asked: Asked, first: bool) -> Understanding:
    """A likeliest hearing that is not likely enough is asked again; a later one stands in for one that failed."""
    if asked.listening in NOT_READ_BACK and alternative.confidence < SURE:
        return Understanding(alternative.text, alternative.confidence, reason=Unheard.NOT_UNDERSTOOD)
    if first and asked.listening not in NOT_READ_BACK and alternative.confidence < SURE_ENOUGH_TO_READ_BACK:
        return Understanding(alternative.text, alternative.confidence, value, reason=Unheard.NOT_UNDERSTOOD)
    return Understanding(alternative.text, alternative.confidence, value, True)
