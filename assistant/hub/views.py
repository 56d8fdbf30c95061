"""What the board shows, as values that travel as JSON. No patient's name is in it: none is known. Pure."""

import msgspec


class _View(msgspec.Struct, frozen=True, kw_only=True):
    pass


class VerdictView(_View, frozen=True):
    case: str
    at: float
    passed: bool
    rows: list[str]
    causes: list[str]


class BenchView(_View, frozen=True):
    """One bench. Times in seconds since 1970-01-01 UTC by the board's clock."""

    name: str
    helper: int | None
    """Number of the helper's picture."""
    case: str | None
    eye: str | None
    step: str
    step_since: float
    budget_s: float | None
    verdict: VerdictView | None
    connected: bool
    heard_at: float | None
    clock_off_s: float
    """Board's clock less the bench's."""
    lines: int
    pairs_done: int
    waiting: int
    """Orders in the queue."""
    asks: bool
    trouble: str


class QuestionView(_View, frozen=True):
    """A question that waits, with what is needed to answer it."""

    bench: str
    line: int
    code: str
    asked_at: float
    case: str | None
    step: str
    reasons: list[str]
    plan: list[str]
    readings: list[str]
    answered: bool
    """The answer is given and has not reached the bench yet."""


class StepView(_View, frozen=True):
    step: str
    done: int
    first_time: int


class PocketView(_View, frozen=True):
    pocket: int
    sphere: float
    cylinder: float
    left: int


class DifferenceView(_View, frozen=True):
    pocket: int
    expected: int
    found: int
    bench: str
    at: float


class TodayView(_View, frozen=True):
    pairs_done: int
    not_made: int
    """Returned to the clinician or given up."""
    pair_minutes: float | None
    """Mean over the pairs handed over."""
    steps: list[StepView]
    broken: int
    set_aside: int
    running_out: list[PocketView]
    to_count: list[DifferenceView]
    patterns: list[str]


class BoardView(_View, frozen=True):
    version: int
    now: float
    clinic: str
    kit: str
    benches: list[BenchView]
    questions: list[QuestionView]
    today: TodayView


class FullView(_View, frozen=True):
    """For the screen at the board itself: what must not go over the network too."""

    board: BoardView
    code: str
    """To pair with."""
    addresses: list[str]
    fingerprint: str
