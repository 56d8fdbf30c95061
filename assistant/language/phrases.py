"""The word graph of each listening context, its vocabulary, and phrases to train and test with."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Protocol, TypeVar

from assistant.language.grammar import phrases
from assistant.language.lexicon import lexicon
from assistant.language.listening import CONTEXTS, Listening, Value, Words

T = TypeVar("T")
LONGEST_DIGITS = 12


class Chooser(Protocol):
    """What is asked of a random generator; `random.Random` is one. The caller seeds it."""

    def choice(self, seq: Sequence[T]) -> T: ...


@dataclass(frozen=True, slots=True)
class Arc:
    source: int
    word: str
    target: int


@dataclass(frozen=True, slots=True)
class WordGraph:
    """Deterministic and minimal: a phrase belongs to the context exactly if it is a path to a final state.

    States are numbered from 0 without a gap.
    """

    start: int
    arcs: tuple[Arc, ...]
    finals: frozenset[int]


@cache
def graph(listening: Listening, language: str, digits: int | None = None) -> WordGraph:
    """The word graph of a context. `digits` fixes how many digits there are, for digits only.

    Digits without a count may go on for ever. Raises `ValueError` for a count outside 1 to 12, a count given
    for another context, or a context that is not listened for.
    """
    if listening is Listening.DIGITS:
        return _digit_graph(language, digits)
    if digits not in (None, _DIGITS_OF.get(listening)):
        raise ValueError(f"digits is {digits} for {listening}; allowed is None")
    return _minimal(phrases(listening, language))


_DIGITS_OF = {Listening.DIGIT: 1, Listening.CHECK_NUMBER: 2}


@cache
def vocabulary(language: str) -> frozenset[str]:
    """Every word that any context of the language listens for."""
    return frozenset(arc.word for context in CONTEXTS for arc in graph(context, language).arcs)


@cache
def by_value(listening: Listening, language: str) -> Mapping[Value, tuple[Words, ...]]:
    """Every value that can be spoken in a context, each with all phrases that mean only it.

    Raises `ValueError` for digits and counts, which are not enumerated.
    """
    found: dict[Value, list[Words]] = {}
    for words, values in phrases(listening, language).items():
        if len(values) == 1:
            found.setdefault(next(iter(values)), []).append(words)
    return {value: tuple(said) for value, said in found.items()}


def sample(
    listening: Listening, language: str, rng: Chooser, digits: int | None = None
) -> tuple[Words, Value]:
    """A value of the context, all equally likely, and one of the phrases that mean it.

    Digits without a count: one to six of them.
    """
    if listening is Listening.DIGITS:
        count = digits if digits is not None else rng.choice(range(1, 7))
        chosen = [rng.choice("0123456789") for _ in range(_valid_count(count))]
        said = lexicon(language).digits
        return tuple(rng.choice(said[int(digit)]) for digit in chosen), "".join(chosen)
    spoken = by_value(listening, language)
    value = rng.choice(tuple(spoken))
    return rng.choice(spoken[value]), value


def _valid_count(digits: int) -> int:
    if not 1 <= digits <= LONGEST_DIGITS:
        raise ValueError(f"digits is {digits}; allowed is 1 to {LONGEST_DIGITS}")
    return digits


def _digit_graph(language: str, digits: int | None) -> WordGraph:
    words = sorted(word for said in lexicon(language).digits for word in said)
    if digits is None:
        return WordGraph(0, tuple(Arc(state, word, 1) for state in (0, 1) for word in words), frozenset({1}))
    places = range(_valid_count(digits))
    return WordGraph(0, tuple(Arc(n, word, n + 1) for n in places for word in words), frozenset({digits}))


class _Node:
    """A state while the graph is built. Two nodes with the same future become one state."""

    __slots__ = ("arcs", "final")

    def __init__(self) -> None:
        self.arcs: dict[str, _Node] = {}
        self.final = False


def _minimal(said: Iterable[Words]) -> WordGraph:
    """The smallest deterministic graph of a finite set of phrases: a trie, its equal ends shared."""
    root = _Node()
    for words in said:
        node = root
        for word in words:
            node = node.arcs.setdefault(word, _Node())
        node.final = True
    merged: dict[tuple[bool, tuple[tuple[str, int], ...]], int] = {}
    start = _merge(root, merged)
    last = len(merged) - 1  # ends were numbered first; turn round so that the start is 0
    arcs = (Arc(last - state, word, last - to) for (_, out), state in merged.items() for word, to in out)
    finals = frozenset(last - state for (final, _), state in merged.items() if final)
    return WordGraph(last - start, tuple(sorted(arcs, key=lambda a: (a.source, a.word))), finals)


def _merge(node: _Node, merged: dict[tuple[bool, tuple[tuple[str, int], ...]], int]) -> int:
    out = tuple(sorted((word, _merge(after, merged)) for word, after in node.arcs.items()))
    return merged.setdefault((node.final, out), len(merged))
