"""The word graphs are exactly the phrases, as small as can be; samples are among them."""

import random
from collections.abc import Iterator

import pytest

from assistant.language.grammar import phrases
from assistant.language.lexicon import LANGUAGES, lexicon
from assistant.language.listening import CONTEXTS, Listening, Words
from assistant.language.parse import parse
from assistant.language.phrases import Arc, WordGraph, by_value, graph, sample, vocabulary

FINITE = [context for context in CONTEXTS if context is not Listening.DIGITS]


def paths(of: WordGraph) -> Iterator[Words]:
    """Every way from the start to a final state."""
    out: dict[int, list[Arc]] = {}
    for arc in of.arcs:
        out.setdefault(arc.source, []).append(arc)
    waiting: list[tuple[int, Words]] = [(of.start, ())]
    while waiting:
        state, words = waiting.pop()
        if state in of.finals:
            yield words
        waiting += [(arc.target, (*words, arc.word)) for arc in out.get(state, ())]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("listening", FINITE)
def test_the_paths_are_the_phrases(listening: Listening, language: str) -> None:
    found = list(paths(graph(listening, language)))
    assert len(found) == len(set(found))
    assert set(found) == set(phrases(listening, language))


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("listening", CONTEXTS)
def test_one_arc_a_word_and_no_two_states_with_one_future(listening: Listening, language: str) -> None:
    of = graph(listening, language)
    states = {of.start, *of.finals, *(s for arc in of.arcs for s in (arc.source, arc.target))}
    assert states == set(range(len(states)))
    assert len({(arc.source, arc.word) for arc in of.arcs}) == len(of.arcs)
    futures = {
        state: (state in of.finals, frozenset((a.word, a.target) for a in of.arcs if a.source == state))
        for state in states
    }
    assert len(set(futures.values())) == len(states)


@pytest.mark.parametrize("language", LANGUAGES)
def test_digit_graphs_hold_the_count_they_were_asked_for(language: str) -> None:
    ways = sum(len(said) for said in lexicon(language).digits)
    found = list(paths(graph(Listening.DIGITS, language, 3)))
    assert len(found) == ways**3
    assert {len(words) for words in found} == {3}


@pytest.mark.parametrize("digits", [0, 13])
def test_a_count_of_digits_that_cannot_be_is_named(digits: int) -> None:
    with pytest.raises(ValueError, match=f"digits is {digits}"):
        graph(Listening.DIGITS, "en", digits)


def test_a_count_of_digits_belongs_to_digits() -> None:
    with pytest.raises(ValueError, match="axis"):
        graph(Listening.AXIS, "en", 3)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("listening", FINITE)
def test_every_value_has_a_phrase_that_means_it_alone(listening: Listening, language: str) -> None:
    meant = {value for values in phrases(listening, language).values() for value in values}
    spoken = by_value(listening, language)
    assert set(spoken) == meant
    assert all(spoken.values())


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("listening", CONTEXTS)
def test_samples_are_in_the_graph_and_mean_their_value(listening: Listening, language: str) -> None:
    rng = random.Random(7)
    for _ in range(200):
        words, value = sample(listening, language, rng)
        assert set(words) <= vocabulary(language)
        assert parse(words, listening, language).value == value


def test_samples_follow_the_seed_and_the_count() -> None:
    first, second = (sample(Listening.DIGITS, "en", random.Random(3), 4) for _ in range(2))
    assert first == second
    assert len(first[0]) == 4


@pytest.mark.parametrize("language", LANGUAGES)
def test_words_are_single_and_plain(language: str) -> None:
    assert all(word.isalpha() and word == word.lower() for word in vocabulary(language))
