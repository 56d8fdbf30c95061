"""What a listening context hears, as the list of phrases that vosk takes at run time.

Vosk makes pairs of neighbouring words of the list and nothing more: it holds to the words and mostly to their order.
What comes out in a wrong order is refused when it is parsed.
"""

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from functools import cache

from assistant.language.listening import Listening, Words
from assistant.language.phrases import Arc, WordGraph, graph, vocabulary

UNKNOWN = "[unk]"
_Ways = Mapping[int, Words]


@cache
def runtime_grammar(context: Listening, language: str, digits: int | None = None) -> tuple[str, ...]:
    """Phrases of the context that hold every pair of words that may follow one another, as few as come easily.

    The language's other words stand beside them each by itself, and the unknown word: what is said and is none of
    the phrases has somewhere to go.
    """
    said = covering(graph(context, language, digits))
    others = vocabulary(language) - {word for phrase in said for word in phrase}
    return (*(" ".join(phrase) for phrase in said), *sorted(others), UNKNOWN)


def covering(of: WordGraph) -> tuple[Words, ...]:
    """Phrases of a word graph in which every word that may begin, follow another or end does so."""
    into, out_of = _shortest_in(of), _shortest_out(of)
    seen: set[tuple[str, str]] = set()
    chosen: list[Words] = []
    for middle in _middles(of):
        words = into[middle[0].source] + tuple(arc.word for arc in middle) + out_of[middle[-1].target]
        if not (pairs := _pairs(words)) <= seen:
            seen |= pairs
            chosen.append(words)
    return tuple(chosen)


def _middles(of: WordGraph) -> Iterator[tuple[Arc, ...]]:
    """Every word by itself, and every two that follow one another."""
    after: dict[int, list[Arc]] = {}
    for arc in of.arcs:
        after.setdefault(arc.source, []).append(arc)
    for first in of.arcs:
        yield (first,)
        yield from ((first, second) for second in after.get(first.target, ()))


def _pairs(words: Words) -> frozenset[tuple[str, str]]:
    return frozenset(zip(("", *words), (*words, ""), strict=True))


def _shortest_in(of: WordGraph) -> _Ways:
    """The shortest way from the start to each state."""
    ways: dict[int, Words] = {of.start: ()}
    waiting = deque([of.start])
    while waiting:
        state = waiting.popleft()
        for arc in _leaving(of.arcs, state):
            if arc.target not in ways:
                ways[arc.target] = (*ways[state], arc.word)
                waiting.append(arc.target)
    return ways


def _shortest_out(of: WordGraph) -> _Ways:
    """The shortest way from each state to the end of a phrase."""
    ways: dict[int, Words] = dict.fromkeys(sorted(of.finals), ())
    waiting = deque(ways)
    while waiting:
        state = waiting.popleft()
        for arc in (arc for arc in of.arcs if arc.target == state):
            if arc.source not in ways:
                ways[arc.source] = (arc.word, *ways[state])
                waiting.append(arc.source)
    return ways


def _leaving(arcs: Iterable[Arc], state: int) -> Iterator[Arc]:
    return (arc for arc in arcs if arc.source == state)
