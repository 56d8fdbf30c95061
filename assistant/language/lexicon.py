"""The languages there are, and every way each says a whole number or a string of digits.

A language is two files and no Python: its number words in `data/<language>.toml`, its sentences in
`ftl/<language>.ftl`.
"""

from functools import cache
from importlib.resources import files
from itertools import product

from assistant.language.lexicon_file import LARGEST_WHOLE, LanguageError, Lexicon, Rule, read_lexicon
from assistant.language.listening import Words


def lexicon(language: str) -> Lexicon:
    """The number words of a language, by its code. Raises `LanguageError` naming the languages there are."""
    if language in _brought:
        return _brought[language]
    if language not in LANGUAGES:
        known = (*LANGUAGES, *_brought)
        raise LanguageError(f"language {language!r} is not known; allowed is {', '.join(known)}")
    return _shipped(f"{language}.toml")


def sentences_in(language: str) -> str:
    """The language whose sentences are said to who speaks `language`: itself where it has any, else the one that
    its file names, else the first. Raises `LanguageError` for a language that is not known.
    """
    return language if language in LANGUAGES else lexicon(language).prompts or LANGUAGES[0]


def bring(words: Lexicon) -> None:
    """Know a language that is not among the program's own, from now on: it can be listened for.

    Raises `LanguageError` for the code of one of the program's own, for one that was brought with other words, and
    where its sentences are to be those of a language that has none.
    """
    if words.prompts and words.prompts not in LANGUAGES:
        allowed = ", ".join(LANGUAGES)
        raise LanguageError(f"{words.code}.toml, prompts: is {words.prompts!r}; allowed is {allowed}")
    if words.code in LANGUAGES:
        raise LanguageError(f"language {words.code!r} is one of the program's own; choose another code")
    if _brought.setdefault(words.code, words) != words:
        raise LanguageError(f"language {words.code!r} is known already, with other words")


@cache
def ways(language: str, number: int) -> tuple[Words, ...]:
    """Every way a whole number 0 to 9999 is said, the program's own first.

    Raises `LanguageError` for a number outside that range or one the language file has no rule for.
    """
    if not 0 <= number <= LARGEST_WHOLE:
        raise LanguageError(f"whole number {number} has no words; allowed is 0 to {LARGEST_WHOLE}")
    if not lexicon(language).rules:
        return digit_ways(language, str(number))
    found = _said(lexicon(language).rules, language, number)
    if not found:
        raise LanguageError(f"{language}.toml, [numbers]: no rule says {number}")
    return found


@cache
def digit_ways(language: str, text: str) -> tuple[Words, ...]:
    """Every way a string of digits is said digit by digit, the program's own first."""
    return tuple(product(*(lexicon(language).digits[int(character)] for character in text)))


def _said(rules: tuple[Rule, ...], language: str, number: int) -> tuple[Words, ...]:
    found: dict[Words, None] = {}
    for rule in rules:
        split = rule.split(number)
        if split is None:
            continue
        for pattern in rule.patterns:
            found |= dict.fromkeys(_filled(pattern, language, *split))
    return tuple(found)


def _filled(pattern: str, language: str, lead: int, rest: int) -> list[Words]:
    """A pattern with every way of its parts put in."""
    parts: list[tuple[Words, ...]] = []
    for word in pattern.split():
        number = {"{lead}": lead, "{rest}": rest}.get(word)
        parts.append(((word,),) if number is None else ways(language, number))
    return [tuple(word for part in choice for word in part) for choice in product(*parts)]


@cache
def _shipped(file: str) -> Lexicon:
    folder = files("assistant.language") / "data"
    read = read_lexicon((folder / file).read_text("utf-8"), file)
    if file != f"{read.code}.toml":
        raise LanguageError(f"{file}, code: must be the file's own name, not {read.code!r}")
    return read


def _found() -> tuple[str, ...]:
    """Codes of the languages that have a data file, in the order of their keys."""
    folder = files("assistant.language") / "data"
    shipped = [_shipped(entry.name) for entry in folder.iterdir() if entry.name.endswith(".toml")]
    by_key = {one.key: one.code for one in shipped}
    if len(by_key) != len(shipped):
        raise LanguageError("data/*.toml, key: two languages have the same key")
    return tuple(by_key[key] for key in sorted(by_key))


_brought: dict[str, Lexicon] = {}
LANGUAGES = _found()
"""Codes of the program's own languages, in the order of their keys at the start of the day."""
