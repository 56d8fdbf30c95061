"""From what a step may hear to the graph that the decoder searches, in numbers of the model's own units.

Each unit lasts one frame or more; between units there may be blank. Beside the phrases of the step runs a second
way through the graph, a loop over every word of the language and the garbage unit, all printed as `[unk]`: speech
that is none of the step's phrases takes it, and whoever listens discards any result that holds an `[unk]`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from assistant.speech.fst_file import Graph
from assistant.speech.transitions import entering, lasting

BLANK_UNIT = 0
GARBAGE_UNIT = 1
EPSILON = 0
UNKNOWN = "[unk]"


class Arc(Protocol):
    """A word between two states of a word graph."""

    @property
    def source(self) -> int: ...
    @property
    def word(self) -> str: ...
    @property
    def target(self) -> int: ...


class WordGraph(Protocol):
    """The phrases of one listening context (assistant.language.phrases builds them)."""

    @property
    def start(self) -> int: ...
    @property
    def arcs(self) -> Sequence[Arc]: ...
    @property
    def finals(self) -> Iterable[int]: ...


@dataclass(frozen=True)
class Costs:
    """What entering a word costs, in natural logarithms: of a phrase, of the loop beside it, the garbage unit."""

    word: float = 2.0
    other_word: float = 7.0
    garbage: float = 8.0


@dataclass
class Builder:
    """The graph as it grows. `chains` shares the inside of a word among all arcs that end in the same state."""

    pronunciations: Mapping[str, tuple[int, ...]]
    labels: Mapping[str, int]
    graph: Graph
    chains: dict[tuple[str, int, int], int]

    def unit_state(self, unit: int) -> int:
        """A state that is in once `unit` has begun and stays while it lasts."""
        state = self.graph.add_state()
        self.graph.add_arc(state, lasting(unit), EPSILON, 0.0, state)
        return state

    def boundary(self) -> tuple[int, int]:
        """Where a word has ended, and where the next begins, with or without blank between them."""
        ended, ready = self.graph.add_state(), self.graph.add_state()
        blank = self.unit_state(BLANK_UNIT)
        self.graph.add_arc(ended, EPSILON, EPSILON, 0.0, ready)
        self.graph.add_arc(ended, entering(BLANK_UNIT), EPSILON, 0.0, blank)
        self.graph.add_arc(blank, EPSILON, EPSILON, 0.0, ready)
        return ended, ready

    def chain(self, units: tuple[int, ...], target: int) -> int:
        """The state in which the first of `units` has begun; the last leads to `target`."""
        states = [self.unit_state(unit) for unit in units]
        for here, there, unit in zip(states, states[1:], units[1:], strict=False):
            blank = self.unit_state(BLANK_UNIT)
            self.graph.add_arc(here, entering(unit), EPSILON, 0.0, there)
            self.graph.add_arc(here, entering(BLANK_UNIT), EPSILON, 0.0, blank)
            self.graph.add_arc(blank, entering(unit), EPSILON, 0.0, there)
        self.graph.add_arc(states[-1], EPSILON, EPSILON, 0.0, target)
        return states[0]

    def word(self, source: int, word: str, target: int, output: str, cost: float) -> None:
        units = self.pronunciations[word]
        key = (word, target, self.labels[output])
        if key not in self.chains:
            self.chains[key] = self.chain(units, target)
        self.graph.add_arc(source, entering(units[0]), self.labels[output], cost, self.chains[key])


def word_labels(words: Iterable[str]) -> dict[str, int]:
    """Numbers for words.txt: 0 is the empty word, 1 `[unk]`, then the words in order of their letters."""
    return {name: number for number, name in enumerate(["<eps>", UNKNOWN, *sorted(set(words))])}


def decoding_graph(
    phrases: WordGraph,
    pronunciations: Mapping[str, tuple[int, ...]],
    labels: Mapping[str, int],
    costs: Costs,
) -> Graph:
    """The graph for HCLG.fst. `pronunciations` must hold every word of the language, since those that are not of
    this step compete as `[unk]`. Raises KeyError for a word of `phrases` that is not in it."""
    builder = Builder(pronunciations, labels, Graph(), {})
    start = builder.graph.add_state()
    states = {phrases.start, *phrases.finals}
    states.update(state for arc in phrases.arcs for state in (arc.source, arc.target))
    places = {state: builder.boundary() for state in sorted(states)}
    builder.graph.add_arc(start, EPSILON, EPSILON, 0.0, places[phrases.start][0])
    for arc in phrases.arcs:
        builder.word(places[arc.source][1], arc.word, places[arc.target][0], arc.word, costs.word)
    for state in phrases.finals:
        builder.graph.final[places[state][1]] = 0.0
    _add_loop(builder, start, costs)
    return builder.graph


def _add_loop(builder: Builder, start: int, costs: Costs) -> None:
    ended, ready = builder.boundary()
    builder.graph.add_arc(start, EPSILON, EPSILON, 0.0, ended)
    for word in sorted(builder.pronunciations):
        builder.word(ready, word, ended, UNKNOWN, costs.other_word)
    garbage = builder.chain((GARBAGE_UNIT,), ended)
    builder.graph.add_arc(ready, entering(GARBAGE_UNIT), builder.labels[UNKNOWN], costs.garbage, garbage)
    builder.graph.final[ready] = 0.0
