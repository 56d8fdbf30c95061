"""What the board shows, as values that travel as JSON. No patient's name is in it: none is known. Pure.

Codes stay beside their words, so that a program can count them and a supervisor need not know them.
"""

import msgspec


class _View(msgspec.Struct, frozen=True, kw_only=True):
    pass


class VerdictView(_View, frozen=True):
    case: str
    at: float
    passed: bool
    short: str
    """The figure that decided, with what is allowed."""
    rows: list[str]
    """Every figure with what is allowed, the worst first."""
    causes: list[str]
    """In words, likeliest first; empty where it passed."""


class BenchView(_View, frozen=True):
    """One bench. Times in seconds since 1970-01-01 UTC by the board's clock."""

    name: str
    helper: int | None
    """Number of the helper's picture."""
    case: str | None
    eye: str | None
    step: str
    """Where a question waits, the step under it."""
    doing: str
    """The same in words."""
    place: int
    """Which step of its whole way this is, from 1."""
    places: int
    step_since: float
    """0 where it is not known."""
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
    asked_at: float | None
    """When the question that waits was asked; None for none."""
    trouble: str


class QuestionView(_View, frozen=True):
    """A question that waits, with what is needed to answer it."""

    bench: str
    line: int
    code: str
    title: str
    """The question in words."""
    yes_does: str
    no_does: str
    asked_at: float
    helper: int | None
    case: str | None
    eye: str | None
    step: str
    doing: str
    reasons: list[str]
    plan: list[str]
    readings: list[str]
    answered: bool
    """The answer is given and has not reached the bench yet."""


class StepView(_View, frozen=True):
    step: str
    doing: str
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


class PatternView(_View, frozen=True):
    """What many pairs show: whose fault, at which bench, from what, how sure, and what to do."""

    about: str
    """kit, instrument or person."""
    bench: str | None
    helper: int | None
    what: str
    evidence: str
    sure: float
    """1 minus the chance of a false alarm."""
    todo: str


class TodayView(_View, frozen=True):
    began: float
    """When the first of its benches opened the day, by the board's clock; 0 for none yet."""
    pairs_done: int
    not_made: int
    """Returned to the clinician or given up."""
    pair_minutes: float | None
    """Mean over the pairs handed over."""
    steps: list[StepView]
    """Worst first."""
    broken: int
    set_aside: int
    running_out: list[PocketView]
    running_out_more: int
    """Pockets that run out too and are not listed."""
    to_count: list[DifferenceView]
    patterns: list[PatternView]


class BoardView(_View, frozen=True):
    version: int
    now: float
    clinic: str
    kit: str
    benches: list[BenchView]
    questions: list[QuestionView]
    """Oldest first."""
    today: TodayView
    trouble: str = ""
    """Of the board's own disk, in a sentence."""


class FullView(_View, frozen=True):
    """For the screen at the board itself: what must not go over the network too."""

    board: BoardView
    code: str
    """To pair with."""
    addresses: list[str]
    fingerprint: str
    paired: list[str]
    """Benches that hold a token."""
