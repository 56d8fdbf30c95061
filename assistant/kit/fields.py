"""Reading a TOML file field by field, so that every complaint names file, line, field and what is allowed."""

import math
import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

_HEADER: Final = re.compile(r"^\s*(\[\[?)\s*([\w.-]+)\s*\]\]?")
_KEY: Final = re.compile(r"^\s*([\w-]+)\s*=")
_AT_LINE: Final = re.compile(r"\(at line (\d+), column \d+\)")


class KitError(ValueError):
    """A kit that cannot be used: file, line and field where known, and what is allowed."""

    def __init__(self, file: str, line: int | None, name: str, problem: str) -> None:
        self.file, self.line, self.field, self.problem = file, line, name, problem
        where = file if line is None else f"{file} line {line}"
        super().__init__(f"{where}, {name}: {problem}" if name else f"{where}: {problem}")


@dataclass(frozen=True, slots=True)
class Document:
    """A TOML file read, with the line on which each section and key stands."""

    file: str
    data: Mapping[str, Any]
    lines: Mapping[tuple[str, str], int] = field(repr=False)

    @classmethod
    def read(cls, file: str, text: str) -> "Document":
        """Raises `KitError` with the line where the text is not TOML."""
        try:
            data = tomllib.loads(text)
        except tomllib.TOMLDecodeError as error:
            at = _AT_LINE.search(str(error))
            problem = _AT_LINE.sub("", str(error)).strip()
            raise KitError(file, int(at[1]) if at else None, "", f"not TOML: {problem}") from error
        return cls(file, data, _lines(text))

    def section(self, name: str) -> "Section":
        values = self.data.get(name)
        if not isinstance(values, dict):
            raise KitError(self.file, None, f"[{name}]", f"is missing; allowed is one section [{name}]")
        return Section(self, name, values)

    def sections(self, name: str) -> tuple["Section", ...]:
        """The repeated sections [[name]], at least one."""
        entries = self.data.get(name)
        if not isinstance(entries, list) or not entries or not all(isinstance(e, dict) for e in entries):
            raise KitError(self.file, None, f"[[{name}]]", f"is missing; allowed is one [[{name}]] or more")
        return tuple(Section(self, f"{name}[{n}]", values) for n, values in enumerate(entries, start=1))

    def refuse_others(self, allowed: Sequence[str]) -> None:
        """Refuse a section nobody asked for: it is a slip of the pen."""
        for name in self.data:
            if name not in allowed:
                line = self.lines.get((name, "")) or self.lines.get((f"{name}[1]", ""))
                line = line or self.lines.get(("", name))
                raise KitError(self.file, line, name, f"is not known; allowed are {', '.join(allowed)}")


@dataclass(frozen=True, slots=True)
class Section:
    document: Document
    name: str
    values: Mapping[str, Any]

    def error(self, key: str, problem: str) -> KitError:
        lines = self.document.lines
        line = lines.get((self.name, key)) or lines.get((self.name, ""))
        return KitError(self.document.file, line, f"{self.name}.{key}", problem)

    def value(self, key: str, allowed: str) -> Any:
        if key not in self.values:
            raise self.error(key, f"is missing; allowed is {allowed}")
        return self.values[key]

    def number(self, key: str, low: float, high: float) -> float:
        value = self.value(key, f"{low:g} to {high:g}")
        if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
            raise self.error(key, f"is {_shown(value)}; allowed is {low:g} to {high:g}")
        return float(value)

    def whole(self, key: str, low: int, high: int) -> int:
        value = self.number(key, low, high)
        if value != math.floor(value):
            raise self.error(key, f"is {value:g}; allowed is a whole number from {low} to {high}")
        return int(value)

    def text(self, key: str, allowed: str = "a text in quotes") -> str:
        value = self.value(key, allowed)
        if not isinstance(value, str) or not value.strip():
            raise self.error(key, f"is {_shown(value)}; allowed is {allowed}")
        return value

    def one_of(self, key: str, allowed: Sequence[str]) -> str:
        value = self.value(key, ", ".join(allowed))
        if value not in allowed:
            raise self.error(key, f"is {_shown(value)}; allowed are {', '.join(allowed)}")
        return str(value)

    def range(self, key: str, low: float, high: float) -> tuple[float, float]:
        allowed = f"two numbers, low then high, from {low:g} to {high:g}"
        value = self.value(key, allowed)
        numbers = isinstance(value, list) and [v for v in value if type(v) in (int, float)]
        if not numbers or len(numbers) != 2 or value != numbers or not low <= value[0] <= value[1] <= high:
            raise self.error(key, f"is {_shown(value)}; allowed are {allowed}")
        return float(value[0]), float(value[1])

    def refuse_others(self, allowed: Sequence[str]) -> None:
        for key in self.values:
            if key not in allowed:
                raise self.error(key, f"is not known; allowed are {', '.join(allowed)}")


def _shown(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else repr(value)


def _lines(text: str) -> dict[tuple[str, str], int]:
    """Line of every (section, key), and of every section's header as (section, "")."""
    lines: dict[tuple[str, str], int] = {}
    seen: dict[str, int] = {}
    section = ""
    for number, line in enumerate(text.splitlines(), start=1):
        if header := _HEADER.match(line):
            section = header[2]
            if header[1] == "[[":
                seen[section] = seen.get(section, 0) + 1
                section = f"{section}[{seen[section]}]"
            lines[section, ""] = number
        elif key := _KEY.match(line):
            lines.setdefault((section, key[1]), number)
    return lines
