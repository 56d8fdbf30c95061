"""Every sentence the program says, by id, in the languages of `ftl/`, with all its figures in words.

A message may give a `[none]` variant for a variable: it is chosen where the program has no such value.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from importlib.resources import files

from fluent.runtime import FluentBundle
from fluent.syntax import FluentParser, ast
from fluent.syntax.visitor import Visitor

from assistant.language.lexicon import LANGUAGES
from assistant.language.lexicon_file import LanguageError
from assistant.language.listening import Listening
from assistant.language.spell import Amount, spell_number

NONE = "none"


class PromptError(LanguageError):
    """A prompt that cannot be said; the message names the file and the id."""


class Talk(StrEnum):
    """How much is said at a step."""

    LEARNER = "learner"
    USUAL = "usual"
    TERSE = "terse"


@dataclass(frozen=True, slots=True)
class Spoken:
    """A figure of a sentence: its kind says how it is spelt."""

    kind: Listening | str
    value: Amount


@dataclass(slots=True)
class _Uses(Visitor):
    """What a message needs: its variables, those it can do without, and the messages it is made of."""

    variables: set[str] = field(default_factory=set)
    optional: set[str] = field(default_factory=set)
    messages: set[str] = field(default_factory=set)

    def visit_VariableReference(self, node: ast.VariableReference) -> None:  # noqa: N802 - Fluent's name
        self.variables.add(node.id.name)

    def visit_MessageReference(self, node: ast.MessageReference) -> None:  # noqa: N802
        self.messages.add(node.id.name)

    def visit_SelectExpression(self, node: ast.SelectExpression) -> None:  # noqa: N802
        keys = {variant.key.name for variant in node.variants if isinstance(variant.key, ast.Identifier)}
        if NONE in keys and isinstance(node.selector, ast.VariableReference):
            self.optional.add(node.selector.id.name)
        self.generic_visit(node)


@dataclass(frozen=True, slots=True)
class Prompts:
    """One language's messages, checked."""

    file: str
    bundle: FluentBundle
    uses: Mapping[str, _Uses]

    def needs(self, text_id: str) -> tuple[frozenset[str], frozenset[str]]:
        """(variables, those of them that may be left out), through the messages it is made of."""
        found = self.uses[text_id]
        inner = [self.needs(name) for name in found.messages]
        return (
            frozenset(found.variables).union(*(variables for variables, _ in inner)),
            frozenset(found.optional).union(*(optional for _, optional in inner)),
        )


def read_prompts(text: str, language: str) -> Prompts:
    """A Fluent file's text. Raises `PromptError` naming file and line of what is not Fluent."""
    file = f"{language}.ftl"
    resource = FluentParser().parse(text)
    uses: dict[str, _Uses] = {}
    for entry in resource.body:
        if isinstance(entry, ast.Junk):
            line = text.count("\n", 0, entry.span.start if entry.span else 0) + 1
            raise PromptError(f"{file}, line {line}: not a Fluent message: {entry.annotations[0].message}")
        if isinstance(entry, ast.Message):
            if entry.id.name in uses:
                raise PromptError(f"{file}, {entry.id.name}: given twice")
            uses[entry.id.name] = found = _Uses()
            found.visit(entry)
    for text_id, found in uses.items():
        if unknown := found.messages - set(uses):
            raise PromptError(f"{file}, {text_id}: there is no message {', '.join(sorted(unknown))}")
    bundle = FluentBundle([language], use_isolating=False)
    bundle.add_resource(resource)
    return Prompts(file, bundle, uses)


@cache
def prompts(language: str) -> Prompts:
    """The messages of a language. Raises `LanguageError` naming the languages there are."""
    if language not in LANGUAGES:
        raise LanguageError(f"language {language!r} is not known; allowed is {', '.join(LANGUAGES)}")
    folder = files("assistant.language") / "ftl"
    return read_prompts((folder / f"{language}.ftl").read_text("utf-8"), language)


def say(text_id: str, language: str, **args: Spoken | str) -> str:
    """The sentence `text_id` in words alone. Figures come as `Spoken`; text chooses a variant or is a name.

    Raises `PromptError` for an id there is none of, a variable left out, or a digit in what would be said.
    """
    of = prompts(language)
    if text_id not in of.uses:
        raise PromptError(f"{of.file}: there is no message {text_id}")
    variables, optional = of.needs(text_id)
    missing = variables - set(args)
    if missing - optional:
        raise PromptError(f"{of.file}, {text_id}: needs {', '.join(sorted(missing - optional))}")
    given = {name: _in_words(value, language) for name, value in args.items() if name in variables}
    said = _formatted(of, text_id, {**given, **dict.fromkeys(missing, NONE)})
    if re.search(r"\d", said):
        raise PromptError(f"{of.file}, {text_id}: {said!r} holds a digit; figures are passed as Spoken")
    return said


def worded(text_id: str, talk: Talk) -> str:
    """The id of a step's sentence in this amount of talk; other prompts have one form."""
    prefix = {Talk.LEARNER: "learner-", Talk.USUAL: "", Talk.TERSE: "short-"}[talk]
    return f"{prefix}{text_id}" if text_id.startswith("step-") else text_id


def _formatted(of: Prompts, text_id: str, args: dict[str, str]) -> str:
    pattern = of.bundle.get_message(text_id).value
    if pattern is None:
        raise PromptError(f"{of.file}, {text_id}: says nothing")
    said, errors = of.bundle.format_pattern(pattern, args)
    if errors:
        raise PromptError(f"{of.file}, {text_id}: {errors[0]}")
    return " ".join(str(said).split())


def _in_words(value: Spoken | str, language: str) -> str:
    return value if isinstance(value, str) else spell_number(value.value, value.kind, language)
