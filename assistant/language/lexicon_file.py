"""A language file's number words as a frozen value, checked: every fault names the file and the key.

A rule of whole numbers reads BASE [x LEADS] [+ RESTS]: `"100x2..9+1..99" = ["{lead} hundred {rest}"]`
covers 201 to 999.
"""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from assistant.language.listening import Words

COMMAND_IDS = ("yes", "no", "again", "back", "help", "stop")
SIGNS = ("minus", "plus")
QUARTERS = (25, 50, 75)
"""Hundredths that have names of their own."""
LARGEST_WHOLE = 9999
NO_KEY = 0
"""A language that cannot be chosen by key at the start of the day."""
_LISTS = ("decimal_point", "zero_power", "power_short")
_CODE = re.compile(r"[a-z][a-z0-9-]*")
_RULE = re.compile(r"(\d+)(?:x(\d+)(?:\.\.(\d+))?)?(?:\+(\d+)(?:\.\.(\d+))?)?")
_PHRASE = re.compile(r"(?:[^\W\d_]|['’{} ])+")


class LanguageError(ValueError):
    """A language file that cannot be used; the message names the file, the key and what is allowed."""


@dataclass(frozen=True, slots=True)
class Rule:
    """Whole numbers base * lead + rest, and the patterns that say them."""

    base: int
    leads: range
    rests: range
    patterns: tuple[str, ...]

    def split(self, number: int) -> tuple[int, int] | None:
        """(lead, rest) if the rule covers `number`."""
        if self.base == 0:
            return (1, 0) if number == 0 else None
        for lead in self.leads:
            if number - self.base * lead in self.rests:
                return lead, number - self.base * lead
        return None


@dataclass(frozen=True, slots=True)
class Lexicon:
    """One language's number words. In every tuple the first phrase is the one the program says."""

    code: str
    name: str
    key: int
    """The digit that chooses this language at the start of the day."""
    digits: tuple[Words, ...]
    """Index 0 to 9; one word each."""
    rules: tuple[Rule, ...]
    """None: whole numbers are said digit by digit."""
    decimal_point: Words
    zero_power: Words
    power_short: tuple[str, ...]
    signs: Mapping[str, Words]
    fraction_after: Mapping[int, Words]
    fraction_alone: Mapping[int, Words]
    commands: Mapping[str, Words]
    alias: Mapping[str, str]
    confusable: tuple[tuple[Words, Words], ...]
    prompts: str = ""
    """Code of the language whose sentences are said with these words; empty: not given."""


def read_lexicon(text: str, file: str) -> Lexicon:
    """A language file's text as a `Lexicon`. Raises `LanguageError` naming `file` and the key."""
    read = _Reader(file, _parsed(text, file))
    point, zero, short = (read.phrases(key, read.raw.get(key)) for key in _LISTS)
    for pattern in short:
        if {"{whole}", "{hundredths}"} - set(pattern.split()):
            raise read.wrong("power_short", "every phrase holds {whole} and {hundredths}")
    quarters = tuple(str(n) for n in QUARTERS)
    return Lexicon(
        code=read.code(),
        name=read.text("name"),
        key=read.key(),
        digits=read.digits(),
        rules=read.rules(),
        decimal_point=point,
        zero_power=zero,
        power_short=short,
        signs=read.table("signs", SIGNS),
        fraction_after={int(k): v for k, v in read.table("fraction_after", quarters).items()},
        fraction_alone={int(k): v for k, v in read.table("fraction_alone", quarters).items()},
        commands=read.table("commands", COMMAND_IDS),
        alias=read.aliases(),
        confusable=read.pairs(),
    )


def read_digit_words(text: str, file: str) -> Lexicon:
    """A language of digits, signs, point and commands alone: every number is said digit by digit.

    A file that holds whole numbers as well is read as a language file. Raises `LanguageError`.
    """
    raw = _parsed(text, file)
    read = _Reader(file, raw)
    prompts = read.text("prompts") if "prompts" in raw else ""
    if "numbers" in raw:
        return replace(read_lexicon(text, file), prompts=prompts)
    digits, signs, commands = read.digits(), read.table("signs", SIGNS), read.table("commands", COMMAND_IDS)
    point = read.phrases("decimal_point", raw.get("decimal_point"))
    for phrase in (phrase for said in (point, *signs.values(), *commands.values()) for phrase in said):
        if " " in phrase:
            raise read.wrong(repr(phrase), "must be written as one word: it is learnt from recordings of it")
    return Lexicon(
        code=read.code(),
        name=read.text("name"),
        key=NO_KEY,
        digits=digits,
        rules=(),
        decimal_point=point,
        zero_power=digits[0],
        power_short=(),
        signs=signs,
        fraction_after={},
        fraction_alone={},
        commands=commands,
        alias=read.aliases(),
        confusable=(),
        prompts=prompts,
    )


def _parsed(text: str, file: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise LanguageError(f"{file}: {error}") from error


class _Reader:
    """Takes the parts out of a language file, naming file and key where one is wrong."""

    def __init__(self, file: str, raw: Mapping[str, Any]) -> None:
        self.file, self.raw = file, raw

    def wrong(self, key: str, allowed: str) -> LanguageError:
        return LanguageError(f"{self.file}, {key}: {allowed}")

    def text(self, key: str) -> str:
        value = self.raw.get(key)
        if not isinstance(value, str) or not value:
            raise self.wrong(key, "must be a text")
        return value

    def code(self) -> str:
        """It names files and folders, and stands on the screen."""
        value = self.text("code")
        if not _CODE.fullmatch(value):
            raise self.wrong("code", f"{value!r} must be small letters a to z, digits and -")
        return value

    def digits(self) -> tuple[Words, ...]:
        table = self.table("digits", tuple(str(n) for n in range(10)))
        for key, said in table.items():
            if any(" " in word for word in said):
                raise self.wrong(f"digits.{key}", "a digit is one word")
        return tuple(table[str(n)] for n in range(10))

    def key(self) -> int:
        value = self.raw.get("key")
        if not isinstance(value, int) or not 1 <= value <= 9:
            raise self.wrong("key", "must be a digit, 1 to 9")
        return value

    def phrases(self, key: str, value: object) -> Words:
        if not isinstance(value, list) or not value:
            raise self.wrong(key, "must be a list of one phrase or more")
        for phrase in value:
            if not isinstance(phrase, str) or phrase != phrase.lower() or not _PHRASE.fullmatch(phrase):
                raise self.wrong(key, f"{phrase!r} must be words in small letters, no digits or signs")
        return tuple(value)

    def table(self, name: str, keys: tuple[str, ...]) -> dict[str, Words]:
        table = self.raw.get(name)
        if not isinstance(table, dict) or set(table) != set(keys):
            raise self.wrong(f"[{name}]", f"must hold exactly {', '.join(keys)}")
        return {key: self.phrases(f"{name}.{key}", table[key]) for key in keys}

    def rules(self) -> tuple[Rule, ...]:
        table = self.raw.get("numbers")
        if not isinstance(table, dict) or not table:
            raise self.wrong("[numbers]", "must hold the whole numbers")
        return tuple(self._rule(key, value) for key, value in table.items())

    def _rule(self, key: str, value: object) -> Rule:
        match = _RULE.fullmatch(key)
        if match is None:
            raise self.wrong(
                f"numbers.{key!r}", 'must read like "20", "20+1..9", "100x2..9" or "100x2..9+1..99"'
            )
        base, lead, last_lead, rest, last_rest = (None if g is None else int(g) for g in match.groups())
        leads = range(1, 2) if lead is None else range(lead, (last_lead or lead) + 1)
        rests = range(1) if rest is None else range(rest, (last_rest or rest) + 1)
        patterns = self.phrases(f"numbers.{key!r}", value)
        for pattern in patterns:
            self._check_pattern(key, pattern, int(base or 0), leads, rests)
        return Rule(int(base or 0), leads, rests, patterns)

    def _check_pattern(self, key: str, pattern: str, base: int, leads: range, rests: range) -> None:
        slots = {word for word in pattern.split() if "{" in word}
        if slots - {"{lead}", "{rest}"}:
            raise self.wrong(f"numbers.{key!r}", "only {lead} and {rest} stand for numbers")
        if (len(rests) > 1 and "{rest}" not in slots) or (len(leads) > 1 and "{lead}" not in slots):
            raise self.wrong(
                f"numbers.{key!r}", f"{pattern!r} must say which: {{lead}} or {{rest}} is missing"
            )
        if ("{rest}" in slots and rests[-1] >= base) or ("{lead}" in slots and leads[-1] >= base):
            raise self.wrong(f"numbers.{key!r}", f"{{lead}} and {{rest}} must stay below {base}")

    def aliases(self) -> dict[str, str]:
        table = self.raw.get("alias", {})
        if not isinstance(table, dict) or not all(isinstance(v, str) for v in table.values()):
            raise self.wrong("[alias]", "must give one word for each other spelling")
        return dict(table)

    def pairs(self) -> tuple[tuple[Words, Words], ...]:
        table = self.raw.get("confusable")
        pairs = table.get("pairs") if isinstance(table, dict) else None
        if not isinstance(pairs, list):
            raise self.wrong("confusable.pairs", "must be a list of pairs of phrases")
        found = []
        for pair in pairs:
            both = self.phrases("confusable.pairs", pair)
            if len(both) != 2 or both[0] == both[1]:
                raise self.wrong("confusable.pairs", f"{pair!r} must be two different phrases")
            found.append((tuple(both[0].split()), tuple(both[1].split())))
        return tuple(found)
