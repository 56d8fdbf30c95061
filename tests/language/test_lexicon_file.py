"""A language file with a fault names the file, the key and what is allowed."""

import re
from importlib.resources import files

import pytest

from assistant.language.lexicon import LANGUAGES, lexicon, ways
from assistant.language.lexicon_file import LanguageError, read_lexicon

ENGLISH = (files("assistant.language") / "data" / "en.toml").read_text("utf-8")


def test_the_file_as_shipped_reads() -> None:
    assert read_lexicon(ENGLISH, "en.toml") == lexicon("en")


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('code = "en"', "", "xx.toml, code: must be a text"),
        ("key = 1 ", "key = 0 ", "xx.toml, key: must be a digit, 1 to 9"),
        ('decimal_point = ["point"]', "decimal_point = []", "xx.toml, decimal_point: must be a list"),
        ('3 = ["three"]', '3 = ["3"]', "xx.toml, digits.3: '3' must be words"),
        ('3 = ["three"]', '3 = ["Three"]', "xx.toml, digits.3: 'Three' must be words in small letters"),
        ('3 = ["three"]', '3 = ["thr ee"]', "xx.toml, digits.3: a digit is one word"),
        ('minus = ["minus", "negative"]', "", "xx.toml, [signs]: must hold exactly minus, plus"),
        ('stop = ["stop"]', "", "xx.toml, [commands]: must hold exactly yes, no, again, back, help, stop"),
        (
            "{whole} {hundredths}",
            "{whole}",
            "xx.toml, power_short: every phrase holds {whole} and {hundredths}",
        ),
        ('"20+1..9"', '"20 and more"', "xx.toml, numbers.'20 and more': must read like"),
        ("twenty {rest}", "twenty", "xx.toml, numbers.'20+1..9': 'twenty' must say which"),
        ("twenty {rest}", "twenty {more}", "xx.toml, numbers.'20+1..9': only {lead} and {rest}"),
        ('"20+1..9"', '"20+1..20"', "xx.toml, numbers.'20+1..20': {lead} and {rest} must stay below 20"),
        ('["thirteen", "thirty"]', '["thirteen"]', "xx.toml, confusable.pairs: ['thirteen'] must be two"),
        ('o = "oh"', "o = 1", "xx.toml, [alias]: must give one word"),
        ("[alias]", "[alias", "xx.toml: "),
    ],
)
def test_a_fault_is_named(old: str, new: str, message: str) -> None:
    assert old in ENGLISH
    with pytest.raises(LanguageError, match=re.escape(message)):
        read_lexicon(ENGLISH.replace(old, new, 1), "xx.toml")


def test_a_number_outside_the_rules_is_named() -> None:
    with pytest.raises(LanguageError, match="10000"):
        ways("en", 10_000)


def test_languages_stand_in_the_order_of_their_keys() -> None:
    assert [lexicon(code).key for code in LANGUAGES] == [1, 2, 3, 4]
