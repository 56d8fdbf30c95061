"""The decoder's graph holds the context's phrases with their words, and everything else as [unk]."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import pytest

from assistant.language.listening import CONTEXTS, Listening
from assistant.language.phrases import graph, vocabulary
from assistant.speech.decoding_graph import UNKNOWN, Costs, decoding_graph, word_labels
from assistant.speech.fst_file import Graph
from assistant.speech.model_folder import number_model, pronunciations
from assistant.speech.transitions import entering, lasting

LANGUAGES = ("en", "pt", "fr", "sw")


@dataclass(frozen=True)
class Step:
    source: int
    word: str
    target: int


@dataclass(frozen=True)
class Phrases:
    start: int
    arcs: tuple[Step, ...]
    finals: frozenset[int]


SOUNDS = {"a": (2, 3), "b": (3, 2), "c": (2, 2)}
A_THEN_B = Phrases(0, (Step(0, "a", 1), Step(1, "b", 2)), frozenset({2}))
COSTS = Costs(word=1.0, other_word=3.0, garbage=5.0)


def readings(graph: Graph, labels: list[int]) -> dict[tuple[int, ...], float]:
    """What a row of input labels may print, each with its least cost, by trying every path."""
    best: dict[tuple[int, int, tuple[int, ...]], float] = {}
    waiting: list[tuple[int, int, tuple[int, ...], float]] = [(0, 0, (), 0.0)]
    while waiting:
        state, place, printed, cost = waiting.pop()
        key = (state, place, printed)
        if best.get(key, float("inf")) <= cost:
            continue
        best[key] = cost
        for label, output, more, target in graph.arcs[state]:
            said = (*printed, output) if output else printed
            if label == 0:
                waiting.append((target, place, said, cost + more))
            elif place < len(labels) and labels[place] == label:
                waiting.append((target, place + 1, said, cost + more))
    ends: dict[tuple[int, ...], float] = {}
    for (state, place, printed), cost in best.items():
        if place == len(labels) and state in graph.final:
            ends[printed] = min(cost, ends.get(printed, float("inf")))
    return ends


def frames(units: list[int]) -> list[int]:
    """Each unit entered anew where it differs from the one before, else lasting."""
    return [entering(units[0])] + [entering(n) if n != m else lasting(n) for m, n in pairwise(units)]


@pytest.mark.parametrize(
    "units", [[2, 3, 3, 2], [0, 2, 2, 3, 0, 0, 3, 2, 0], [2, 0, 3, 0, 3, 0, 2], [2, 2, 2, 3, 0, 3, 3, 2, 2]]
)
def test_a_phrase_is_heard_with_or_without_blanks_and_however_long(units: list[int]) -> None:
    labels = word_labels(SOUNDS)
    built = decoding_graph(A_THEN_B, SOUNDS, labels, COSTS)
    row = frames(units)
    if units == [2, 3, 3, 2]:  # the second 3 begins the next word: entered anew without a blank
        row[2] = entering(3)
    ends = readings(built, row)
    assert ends[(labels["a"], labels["b"])] == pytest.approx(2 * COSTS.word)
    unknown = labels[UNKNOWN]
    assert ends[(unknown, unknown)] == pytest.approx(2 * COSTS.other_word)


def test_words_out_of_order_are_unknown() -> None:
    labels = word_labels(SOUNDS)
    built = decoding_graph(A_THEN_B, SOUNDS, labels, COSTS)
    ends = readings(built, frames([3, 2, 0, 2, 3]))
    assert set(ends) == {(labels[UNKNOWN], labels[UNKNOWN])}


def test_garbage_is_unknown_at_its_own_cost() -> None:
    labels = word_labels(SOUNDS)
    built = decoding_graph(A_THEN_B, SOUNDS, labels, COSTS)
    assert readings(built, frames([0, 1, 1, 0])) == {(labels[UNKNOWN],): pytest.approx(COSTS.garbage)}


def paths(phrases: Phrases, limit: int) -> Iterator[tuple[str, ...]]:
    """The first words of some phrases of a real context, by always taking the first or the last way on."""
    for choice in (0, -1):
        state, words = phrases.start, list[str]()
        while state not in phrases.finals and len(words) < limit:
            onward = [arc for arc in phrases.arcs if arc.source == state]
            words.append(onward[choice].word)
            state = onward[choice].target
        if state in phrases.finals:
            yield tuple(words)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("context", CONTEXTS)
def test_real_phrases_are_in_the_graph_of_their_context(language: str, context: Listening) -> None:
    sounds = pronunciations(language, number_model(language))
    labels = word_labels(sounds)
    of = graph(context, language)
    phrases = Phrases(of.start, tuple(Step(a.source, a.word, a.target) for a in of.arcs), of.finals)
    built = decoding_graph(phrases, sounds, labels, COSTS)
    tried = list(paths(phrases, 12))
    assert tried
    for words in tried:
        row: list[int] = []
        for word in words:
            row += [entering(unit) for unit in sounds[word]] + [entering(0)]
        assert tuple(labels[word] for word in words) in readings(built, row)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_word_of_the_language_can_be_pronounced(language: str) -> None:
    assert set(pronunciations(language, number_model(language))) == vocabulary(language)
