"""Judging a finished lens or pair by the tolerance standard in force; the tables are data (`standard.py`).

Errors are measured minus ordered, both in minus form: the more plus principal meridian is compared with the
more plus one, whatever their directions, and direction is the axis row's business. So a sphere ordered and
read back with a trace of cylinder is judged on both meridians (or the sphere) and on the cylinder, never on
an axis nobody ordered. No axis is judged for a cylinder, ordered or measured, under 0.12 D: ANSI Z80.1 has
no row there, the other tables give no lower end, and such an axis cannot be read.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np
import numpy.typing as npt

from assistant.optics.power import Power, axis_difference_deg, blur
from assistant.optics.prism import Imbalance
from assistant.optics.standard import ON_LIMIT, Row, Table, packaged_tables

LEAST_AXIS_CYLINDER_D: Final = 0.12

_UNITS: Final = {"axis": "°", "horizontal_imbalance": "Δ", "vertical_imbalance": "Δ"}


@dataclass(frozen=True, slots=True)
class RowVerdict:
    """One row of the standard applied to one figure. `kind` is one of `standard.KINDS`."""

    kind: str
    error: float
    """Signed, in the row's unit; the largest of the meridians where the row judges each."""
    limit: float
    passed: bool
    text: str
    """Standard, row and limit in words."""
    known: str
    """How the row's value is known: "seen: ..." or "from memory, ..."."""

    @property
    def unverified(self) -> bool:
        return not self.known.startswith("seen")

    @property
    def used(self) -> float:
        """Share of the limit used up; over 1 the row fails."""
        return abs(self.error) / self.limit


@dataclass(frozen=True, slots=True)
class Judgement:
    """A lens judged: `rows` in the standard's order; powers in dioptres, axis in degrees."""

    passed: bool
    rows: tuple[RowVerdict, ...]
    row: str
    """The row that decided: the worst failed one, or of a pass the one nearest its limit."""
    sphere_error: float
    cylinder_error: float
    axis_error_deg: float | None
    """None where either has no cylinder."""
    blur: float

    @property
    def unverified(self) -> bool:
        """A row used rests on memory, not on the standard's text; screens say so."""
        return any(row.unverified for row in self.rows)


@dataclass(frozen=True, slots=True)
class PrismLimits:
    """Most imbalance allowed to a pair, prism dioptres; None where the standard has no such row."""

    horizontal: float | None
    vertical: float | None


@dataclass(frozen=True, slots=True)
class Standard:
    """One tolerance standard. Powers in dioptres in either form, angles in degrees."""

    table: Table

    @property
    def id(self) -> str:
        return self.table.id

    @property
    def title(self) -> str:
        return f"{self.table.name}:{self.table.edition}"

    @property
    def unverified(self) -> bool:
        """Some row was never seen, only remembered; screens say so wherever a verdict rests on it."""
        return any(not row.seen for rows in self.table.rows.values() for row in rows)

    def judge(self, ordered: Power, measured: Power) -> Judgement:
        """Judge one lens: each principal power, cylinder and axis."""
        want, got = ordered.minus_form, measured.minus_form
        axis_error = _axis_error(want, got)
        verdicts = [self._power(want, got), self._cylinder(want, got)]
        limit = self.axis_tolerance_deg(want.cylinder)
        if axis_error is not None and limit is not None and abs(got.cylinder) >= LEAST_AXIS_CYLINDER_D:
            verdicts.append(self._verdict(self._row("axis", want), axis_error, limit))
        return Judgement(
            all(v.passed for v in verdicts),
            tuple(verdicts),
            max(verdicts, key=lambda v: (not v.passed, v.used)).text,
            got.sphere - want.sphere,
            got.cylinder - want.cylinder,
            axis_error,
            blur(want, got),
        )

    def axis_tolerance_deg(self, cylinder_d: float) -> float | None:
        """Axis tolerance, plus or minus, for an ordered cylinder; None under 0.12 D."""
        if abs(cylinder_d) < LEAST_AXIS_CYLINDER_D - ON_LIMIT:
            return None
        row = self.table.row("axis", 0.0, cylinder_d)
        return None if row is None else row.amount(cylinder_d)

    def power_within(
        self, needed: Power, lens_sphere: npt.ArrayLike, lens_cylinder: npt.ArrayLike
    ) -> npt.NDArray[np.bool_]:
        """Which lenses, minus form, arrays (...) in dioptres, are within the power and cylinder rows."""
        want = needed.minus_form
        sphere, cylinder = np.asarray(lens_sphere, float), np.asarray(lens_cylinder, float)
        judged, limit = self._power_limit(want)
        offsets = _meridian_errors(want, sphere, cylinder)[list(judged)]
        cylinder_limit = self._row("cylinder", want).amount(want.cylinder)
        within = (np.abs(offsets) <= limit + ON_LIMIT).all(axis=0)
        return np.asarray(within & (np.abs(cylinder - want.cylinder) <= cylinder_limit + ON_LIMIT))

    def prism_limits(self, right: Power, left: Power) -> PrismLimits:
        """Most horizontal and vertical imbalance for a pair of these powers.

        The band goes by the strongest principal meridian of either lens. Where the standard allows a
        distance instead, its effect is that of the two lenses' mean power in that direction, and the larger
        of prism and effect is allowed (reading of the tables from memory, sure of neither).
        """
        horizontal = self._pair_row("horizontal_imbalance", right, left)
        vertical = self._pair_row("vertical_imbalance", right, left)
        return PrismLimits(_prism(horizontal, right, left, 0), _prism(vertical, right, left, 1))

    def judge_imbalance(self, right: Power, left: Power, found: Imbalance) -> tuple[RowVerdict, ...]:
        """Judge a pair's imbalance, horizontal then vertical, by the rows this standard has."""
        limits = self.prism_limits(right, left)
        judged = (
            ("horizontal_imbalance", found.horizontal, limits.horizontal),
            ("vertical_imbalance", found.vertical, limits.vertical),
        )
        return tuple(
            self._verdict(row, amount, limit)
            for kind, amount, limit in judged
            if limit is not None and (row := self._pair_row(kind, right, left)) is not None
        )

    def _power(self, want: Power, got: Power) -> RowVerdict:
        judged, limit = self._power_limit(want)
        errors = _meridian_errors(want, np.array(got.sphere), np.array(got.cylinder))[list(judged)]
        worst = float(errors[np.argmax(np.abs(errors))])
        return self._verdict(self._row("power", want), worst, limit)

    def _cylinder(self, want: Power, got: Power) -> RowVerdict:
        row = self._row("cylinder", want)
        return self._verdict(row, got.cylinder - want.cylinder, row.amount(want.cylinder))

    def _power_limit(self, want: Power) -> tuple[tuple[int, ...], float]:
        """Which meridians are judged (0 the sphere, 1 across it) and the limit for each."""
        strongest = int(np.argmax(np.abs(want.meridians)))
        judged = {"sphere": (0,), "strongest": (strongest,), "each": (0, 1)}[self.table.meridian]
        size = want.sphere if self.table.meridian == "sphere" else want.meridians[strongest]
        return judged, self._row("power", want).amount(size)

    def _row(self, kind: str, want: Power) -> Row:
        power = want.sphere if self.table.meridian == "sphere" else max(want.meridians, key=abs)
        row = self.table.row(kind, power, want.cylinder)
        if row is None:
            raise LookupError(f"{self.title} has no {kind} row for {want}")
        return row

    def _pair_row(self, kind: str, right: Power, left: Power) -> Row | None:
        return self.table.row(kind, max((*right.meridians, *left.meridians), key=abs), 0.0)

    def _verdict(self, row: Row, error: float, limit: float) -> RowVerdict:
        passed = abs(error) < limit - ON_LIMIT if row.below else abs(error) <= limit + ON_LIMIT
        unit = _UNITS.get(row.kind, " D")
        sign = "under " if row.below else "at most " if "imbalance" in row.kind else "±"
        clause = f", {row.clause}" if row.clause else ""
        kind = f"{self.table.meridian} meridian" if row.kind == "power" else row.kind.replace("_", " ")
        text = f"{self.title}{clause}, {kind}, {row.band}: {sign}{limit:.3g}{unit}"
        return RowVerdict(row.kind, error, limit, passed, text, row.known)


STANDARDS: Final[Mapping[str, Standard]] = MappingProxyType(
    {table.id: Standard(table) for table in packaged_tables()}
)
FOR_MOUNTED_LENSES: Final = tuple(
    id for id, standard in STANDARDS.items() if "vertical_imbalance" in standard.table.rows
)
"""Ids of the standards that judge a finished pair; the others are for lenses alone."""


def _axis_error(want: Power, got: Power) -> float | None:
    if want.axis is None or got.axis is None:
        return None
    return axis_difference_deg(got.axis, want.axis)


def _meridian_errors(
    want: Power, sphere: npt.NDArray[np.float64], cylinder: npt.NDArray[np.float64]
) -> npt.NDArray[np.float64]:
    return np.stack([sphere - want.sphere, sphere + cylinder - want.meridians[1]])


def _prism(row: Row | None, right: Power, left: Power, direction: int) -> float | None:
    if row is None:
        return None
    if row.or_mm is None:
        return row.amount(0.0)
    mean = abs(float(right.matrix[direction, direction] + left.matrix[direction, direction])) / 2.0
    return max(row.amount(0.0), mean * row.or_mm / 10.0)
