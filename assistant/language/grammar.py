"""Every phrase each context listens for, with what it means, from the language's data file.

The phrases are enumerated once (some thousands a context) and everything else is read off them: what is
heard, the word graph of the recogniser, the vocabulary, phrases to train and test with. So all of them agree.

A phrase with two meanings holds both and is asked again. A power said without its sign is such a phrase.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal
from functools import cache
from itertools import product
from types import MappingProxyType

from assistant.language.lexicon import digit_ways, lexicon, ways
from assistant.language.lexicon_file import Lexicon
from assistant.language.listening import Listening, Value, Words

Phrases = Mapping[Words, frozenset[Value]]

LARGEST_AXIS = 180
LARGEST_SPOKEN_POWER = Decimal(20)
LARGEST_LENGTH = 99
ACUITIES = range(3, 61)
EIGHTHS = (0, 12, 25, 37, 50, 62, 75, 87)
"""Hundredths of the powers that are spoken: quarter and eighth steps, an eighth written as two places."""
BARE_DIGIT_PAIRS_FROM = 30
"""A length said as two bare digits: below this it may be a decimal whose point was lost."""

_Meaning = tuple[Words, Value]


@cache
def phrases(listening: Listening, language: str) -> Phrases:
    """Every phrase of a context and its meanings. Digits have no end: see `heard_digits`.

    Raises `ValueError` for digits and for counts, which are not enumerated.
    """
    if listening not in _CONTEXTS:
        raise ValueError(f"{listening} is not a list of phrases; allowed is {', '.join(_CONTEXTS)}")
    found: dict[Words, frozenset[Value]] = {}
    for words, value in _CONTEXTS[listening](lexicon(language)):
        found[words] = found.get(words, frozenset()) | {value}
    return MappingProxyType(found)


def heard_digits(words: Words, language: str) -> str | None:
    """Words said digit by digit as text; None if one of them is no digit."""
    by_word = {word: str(n) for n, said in enumerate(lexicon(language).digits) for word in said}
    found = [by_word.get(word) for word in words]
    return "".join(digit for digit in found if digit is not None) if words and None not in found else None


def _digit(lex: Lexicon) -> Iterator[_Meaning]:
    for n, said in enumerate(lex.digits):
        for word in said:
            yield (word,), str(n)


def _check_number(lex: Lexicon) -> Iterator[_Meaning]:
    for n in range(100):
        as_number = ways(lex.code, n) if n >= 10 else ()
        yield from _each((*digit_ways(lex.code, f"{n:02d}"), *as_number), f"{n:02d}")


def _axis(lex: Lexicon) -> Iterator[_Meaning]:
    for n in range(LARGEST_AXIS + 1):
        as_digits = (
            way for width in (1, 2, 3) if n < 10**width for way in digit_ways(lex.code, f"{n:0{width}d}")
        )
        yield from _each((*ways(lex.code, n), *as_digits), Decimal(n))


def _acuity(lex: Lexicon) -> Iterator[_Meaning]:
    six = digit_ways(lex.code, "6")
    for n in ACUITIES:
        said = ways(lex.code, n)
        whole_line = (before + after for before in six for after in said)
        yield from _each((*said, *digit_ways(lex.code, str(n)), *whole_line), Decimal(n))


def _length(lex: Lexicon) -> Iterator[_Meaning]:
    tenths = [(way, 10 * d) for d in range(10) for way in digit_ways(lex.code, str(d))]
    twentieths = [(way, h) for h in range(0, 100, 5) for way in _two_places(lex, h)]
    after_point = _joined(_words(lex.decimal_point), (*tenths, *twentieths))
    for whole in range(LARGEST_LENGTH + 1):
        said = _whole(lex, whole)
        bare = said if whole >= BARE_DIGIT_PAIRS_FROM else _as_number(lex, whole)
        yield from _each(bare, Decimal(whole))
        yield from _measured(whole, _joined(said, after_point))
        yield from _measured(whole, _joined(ways(lex.code, whole), _named(lex.fraction_after)))
    yield from _measured(0, after_point)
    yield from _measured(0, _named(lex.fraction_alone))


def _power(lex: Lexicon) -> Iterator[_Meaning]:
    signed = {"plus": 1, "minus": -1}
    for words, size in _power_sizes(lex):
        for sign, factor in signed.items():
            value = size * factor if size else Decimal(0)
            yield words, value
            yield from _each((before + words for before in _words(lex.signs[sign])), value)
    yield from _each(_words(lex.zero_power), Decimal(0))


def _power_sizes(lex: Lexicon) -> Iterator[tuple[Words, Decimal]]:
    """Powers without their sign."""
    after_point = _joined(_words(lex.decimal_point), _after_point(lex))
    for whole in range(int(LARGEST_SPOKEN_POWER) + 1):
        said = _as_number(lex, whole)
        found = [(way, 0) for way in said]
        found += _joined(_whole(lex, whole), after_point)
        found += _joined(said, _named(lex.fraction_after))
        found += [
            (_short(short, way, part), h)
            for short in lex.power_short
            for way in said
            for part, h in _parts(lex)
        ]
        yield from ((words, size) for words, size in _measured(whole, found) if size <= LARGEST_SPOKEN_POWER)
    quarters = [(way, h) for h in (25, 50, 75) for way in _as_number(lex, h)]
    yield from _measured(0, (*after_point, *_named(lex.fraction_alone), *quarters))


def _after_point(lex: Lexicon) -> list[tuple[Words, int]]:
    """An eighth step after the point: two places, and one place where the second is nought."""
    two = [(way, h) for h in EIGHTHS for way in _two_places(lex, h)]
    one = [(way, h) for h in EIGHTHS if h % 10 == 0 for way in digit_ways(lex.code, str(h // 10))]
    return [*two, *one]


def _parts(lex: Lexicon) -> list[tuple[Words, int]]:
    """An eighth step as it follows a whole number with no point between."""
    return [(way, h) for h in EIGHTHS if h for way in ways(lex.code, h)]


def _two_places(lex: Lexicon, hundredths: int) -> tuple[Words, ...]:
    as_number = ways(lex.code, hundredths) if hundredths >= 10 else ()
    return (*digit_ways(lex.code, f"{hundredths:02d}"), *as_number)


def _as_number(lex: Lexicon, whole: int) -> tuple[Words, ...]:
    """A whole number as a number: none where the language only has digits and it needs more than one."""
    return ways(lex.code, whole) if lex.rules or whole < 10 else ()


def _whole(lex: Lexicon, whole: int) -> tuple[Words, ...]:
    """A whole number as a number and, of two digits, digit by digit."""
    return (*ways(lex.code, whole), *(digit_ways(lex.code, str(whole)) if whole >= 10 else ()))


def _short(pattern: str, whole: Words, hundredths: Words) -> Words:
    slots = {"{whole}": whole, "{hundredths}": hundredths}
    return tuple(word for part in pattern.split() for word in slots.get(part, (part,)))


def _named(fractions: Mapping[int, Words]) -> list[tuple[Words, int]]:
    return [
        (tuple(said.split()), hundredths) for hundredths, all_said in fractions.items() for said in all_said
    ]


def _measured(whole: int, parts: Iterable[tuple[Words, int]]) -> Iterator[tuple[Words, Decimal]]:
    for words, hundredths in parts:
        yield words, whole + Decimal(hundredths) / 100


def _joined(before: Iterable[Words], after: Iterable[tuple[Words, int]]) -> list[tuple[Words, int]]:
    return [(first + words, hundredths) for first, (words, hundredths) in product(before, after)]


def _words(said: Words) -> tuple[Words, ...]:
    return tuple(tuple(phrase.split()) for phrase in said)


def _each(said: Iterable[Words], value: Value) -> Iterator[_Meaning]:
    return ((words, value) for words in said)


def _yes_no(lex: Lexicon) -> Iterator[_Meaning]:
    for answer in ("yes", "no"):
        yield from _each(_words(lex.commands[answer]), answer)


def _commands(lex: Lexicon) -> Iterator[_Meaning]:
    for command, said in lex.commands.items():
        yield from _each(_words(said), command)


_CONTEXTS: Mapping[Listening, Callable[[Lexicon], Iterator[_Meaning]]] = {
    Listening.DIGIT: _digit,
    Listening.CHECK_NUMBER: _check_number,
    Listening.AXIS: _axis,
    Listening.ACUITY: _acuity,
    Listening.LENGTH: _length,
    Listening.POWER: _power,
    Listening.CYLINDER: _power,
    Listening.YES_NO: _yes_no,
    Listening.COMMANDS: _commands,
}
