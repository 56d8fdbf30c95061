"""A value in words. A synthesiser loses signs, points and zeros, so it is never handed a digit."""

from decimal import ROUND_HALF_EVEN, Decimal

from assistant.language.lexicon import digit_ways, lexicon, ways
from assistant.language.lexicon_file import LARGEST_WHOLE, LanguageError
from assistant.language.listening import TEXT_KINDS, Listening, Words

Amount = Decimal | float | str
FINEST = Decimal("0.01")
"""Figures are said to the hundredth, finer than any gauge or scale of a kit; the rest is binary rounding."""

_SIGNED = (Listening.POWER, Listening.CYLINDER)
_WHOLE = (Listening.COUNT, Listening.ACUITY)


def spell_number(value: Amount, kind: Listening | str, language: str) -> str:
    """`value` as the language says it: words and spaces, never a digit, sign or point.

    A power says its sign and, at nought, that there is none; digits are said one by one; yes-no and commands
    are ids. Numbers are said to the hundredth. Raises `LanguageError` naming the value for one that the kind
    does not allow: a text that is no digits, a count that is not whole, a number beyond 9999.
    """
    kind = Listening(kind)
    if kind in (Listening.YES_NO, Listening.COMMANDS):
        words = _command(str(value), language)
    elif kind in TEXT_KINDS:
        words = digit_ways(language, _digit_text(value, kind))[0]
    else:
        words = _number(_to_hundredths(value, kind), kind, language)
    return " ".join(words)


def _command(command: str, language: str) -> Words:
    commands = lexicon(language).commands
    if command not in commands:
        raise LanguageError(f"command {command!r} has no words; allowed is {', '.join(commands)}")
    return (commands[command][0],)


def _digit_text(value: Amount, kind: Listening) -> str:
    text = value if isinstance(value, str) else f"{Decimal(value):f}"
    if not (text.isascii() and text.isdigit()):
        raise LanguageError(f"{kind} {text!r} cannot be said digit by digit; allowed is digits only")
    return text


def _to_hundredths(value: Amount, kind: Listening) -> Decimal:
    amount = Decimal(str(value))
    if not amount.is_finite() or abs(amount) > LARGEST_WHOLE:
        raise LanguageError(f"{kind} {value} has no words; allowed is -{LARGEST_WHOLE} to {LARGEST_WHOLE}")
    if kind in _WHOLE and amount != amount.to_integral_value():
        raise LanguageError(f"{kind} {value} is not whole")
    return amount.quantize(FINEST, ROUND_HALF_EVEN)


def _number(amount: Decimal, kind: Listening, language: str) -> Words:
    lex = lexicon(language)
    if not amount:
        return (lex.zero_power[0],) if kind in _SIGNED else ways(language, 0)[0]
    sign: Words = ()
    if kind in _SIGNED or amount < 0:
        sign = tuple(lex.signs["minus" if amount < 0 else "plus"][0].split())
    whole, _, places = f"{abs(amount):f}".partition(".")
    places = places.rstrip("0")
    fraction = (*lex.decimal_point[0].split(), *digit_ways(language, places)[0]) if places else ()
    return (*sign, *ways(language, int(whole))[0], *fraction)
