"""A language's digits, signs and commands as if the program had no model of it."""

from assistant.language.lexicon import bring, lexicon
from assistant.language.lexicon_file import Lexicon


def as_if_new(language: str, code: str) -> None:
    """Bring the first words of `language` under a code of their own."""
    words = lexicon(language)
    first = {name: said[:1] for name, said in words.commands.items()}
    signs = {name: said[:1] for name, said in words.signs.items()}
    digits = tuple(said[:1] for said in words.digits)
    point = words.decimal_point[:1]
    bring(Lexicon(code, "Test", 0, digits, (), point, digits[0], (), signs, {}, {}, first, {}, ()))
