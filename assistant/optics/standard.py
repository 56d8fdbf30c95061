"""Tolerance standards as data: reading `data/*.toml` into frozen rows.

One file a standard. A row holds for a band of power, a band of cylinder, or both; a band leaves out its
lower bound and holds its upper one, unless it says `..._from_d`. A limit is an amount (`d`, `deg`, `mm`,
`prism`), a `percent` of the figure judged, or `prism` widened to the effect of `or_mm`. A new standard is
a new file here and nothing else.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib.resources import files
from typing import Any, Final, Literal

from assistant.optics.power import OpticsError

ON_LIMIT: Final = 1e-9
"""-2.87 + 3.00 is a hair over 0.13 in binary; a figure exactly on a limit is within it."""

Meridian = Literal["sphere", "each", "strongest"]
"""Which meridian the power row judges: the sphere of the minus form, each principal one, the strongest."""

KINDS: Final = (
    "power",
    "cylinder",
    "axis",
    "horizontal_imbalance",
    "vertical_imbalance",
    "centre_thickness",
)


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table; bands in dioptres without sign, None where the row does not ask."""

    kind: str
    known: str
    clause: str = ""
    power_over_d: float | None = None
    power_to_d: float | None = None
    cylinder_from_d: float | None = None
    cylinder_over_d: float | None = None
    cylinder_to_d: float | None = None
    d: float | None = None
    deg: float | None = None
    mm: float | None = None
    percent: float | None = None
    prism: float | None = None
    or_mm: float | None = None
    below: bool = False
    """The limit itself is already too much."""

    def holds_for(self, power_d: float, cylinder_d: float) -> bool:
        """Whether a lens of this power and cylinder (dioptres, sign ignored) falls in this row's bands."""
        power, cylinder = abs(power_d), abs(cylinder_d)
        return (
            (self.power_over_d is None or power > self.power_over_d + ON_LIMIT)
            and (self.power_to_d is None or power <= self.power_to_d + ON_LIMIT)
            and (self.cylinder_from_d is None or cylinder >= self.cylinder_from_d - ON_LIMIT)
            and (self.cylinder_over_d is None or cylinder > self.cylinder_over_d + ON_LIMIT)
            and (self.cylinder_to_d is None or cylinder <= self.cylinder_to_d + ON_LIMIT)
        )

    def amount(self, judged: float) -> float:
        """The limit for a figure of size `judged`, in the row's own unit."""
        if self.percent is not None:
            return self.percent / 100.0 * abs(judged)
        return next(v for v in (self.d, self.deg, self.mm, self.prism) if v is not None)

    @property
    def seen(self) -> bool:
        """The value was seen at the place named in `known`, not only remembered."""
        return self.known.startswith("seen")

    @property
    def band(self) -> str:
        """The bands in words: "power over 3.00 to 6.00 D, cylinder to 0.75 D"; "any" if neither is asked."""
        power = _band("power", None, self.power_over_d, self.power_to_d)
        cylinder = _band("cylinder", self.cylinder_from_d, self.cylinder_over_d, self.cylinder_to_d)
        return ", ".join(b for b in (power, cylinder) if b) or "any"


@dataclass(frozen=True, slots=True)
class Table:
    """A standard as read: its name, its edition, and its rows by kind."""

    id: str
    name: str
    edition: str
    covers: str
    meridian: Meridian
    rows: Mapping[str, tuple[Row, ...]] = field(repr=False)

    def row(self, kind: str, power_d: float, cylinder_d: float) -> Row | None:
        """The row of this kind for a lens of this strongest power and cylinder, None if there is none."""
        return next((r for r in self.rows.get(kind, ()) if r.holds_for(power_d, cylinder_d)), None)


def read_table(name: str, text: str) -> Table:
    """One standard from TOML text; `name` is its file's name and becomes its id.

    Raises `OpticsError` naming file and field.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise OpticsError(f"{name}: {error}") from error
    meridian: Meridian = _one_of(name, "meridian", data.get("meridian"), ("sphere", "each", "strongest"))
    return Table(
        name.removesuffix(".toml"),
        _text(name, data, "name"),
        _text(name, data, "edition"),
        _text(name, data, "covers"),
        meridian,
        {kind: _rows(name, kind, data[kind]) for kind in KINDS if kind in data},
    )


def packaged_tables() -> tuple[Table, ...]:
    """Every standard shipped in `data/`, by name."""
    folder = files("assistant.optics") / "data"
    entries = sorted((f for f in folder.iterdir() if f.name.endswith(".toml")), key=lambda f: f.name)
    return tuple(read_table(f.name, f.read_text(encoding="utf-8")) for f in entries)


def _rows(name: str, kind: str, group: dict[str, Any]) -> tuple[Row, ...]:
    common = {key: value for key, value in group.items() if key != "rows"}
    return tuple(
        _row(f"{name}: [{kind}] row {number}", kind, common | one)
        for number, one in enumerate(group.get("rows", ()), start=1)
    )


def _row(where: str, kind: str, fields: dict[str, Any]) -> Row:
    try:
        row = Row(kind, **fields)
    except TypeError as error:
        raise OpticsError(f"{where}: {error}") from error
    limits = [limit for limit in (row.d, row.deg, row.mm, row.percent, row.prism) if limit is not None]
    if len(limits) != 1:
        raise OpticsError(f"{where}: {len(limits)} limits; allowed is one of d, deg, mm, percent, prism")
    return row


def _text(name: str, data: dict[str, Any], key: str) -> str:
    value = data.get(key)
    if not isinstance(value, str) or not value:
        raise OpticsError(f"{name}: {key} is {value!r}; allowed is a text")
    return value


def _one_of(name: str, key: str, value: Any, allowed: tuple[str, ...]) -> Any:
    if value not in allowed:
        raise OpticsError(f"{name}: {key} is {value!r}; allowed are {', '.join(allowed)}")
    return value


def _band(what: str, least: float | None, over: float | None, most: float | None) -> str:
    low = (
        f" from {_bound(least)}" if least is not None else f" over {_bound(over)}" if over is not None else ""
    )
    high = f" to {_bound(most)}" if most is not None else ""
    return f"{what}{low}{high} D" if low or high else ""


def _bound(power_d: float) -> str:
    """Two places, three only where the third says something: 3.00, 3.375."""
    return f"{power_d:.3f}".removesuffix("0")
