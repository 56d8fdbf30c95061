"""What is shown of the moment a trainer looks at, as lines of text. Pure; plain mode prints all of them."""

from assistant.replay.gauge import Gauge, gauges_at
from assistant.replay.gauge_bar import line
from assistant.replay.listing import Row
from assistant.replay.pace import beyond
from assistant.replay.viewing import Viewing
from assistant.replay.wording import (
    all_said,
    asked_of_supervisor,
    doing,
    happened,
    helper_sign,
    lasting,
    mistakes_words,
    waited_for,
)
from assistant.ui.glyphs import Glyphs, for_terminal

WRONG = "[!!]"
ASKS = "[??]"
DIFFERENT = "[<>]"


def list_lines(rows: list[Row]) -> list[str]:
    """The list: number, name, day, bench, length, mistakes, outcome; then what could not be read."""
    width = max((len(row.name) for row in rows), default=0)
    told = []
    for number, row in enumerate(rows, 1):
        told.append(
            f"{number:>3}  {row.name:<{width}}  {row.day.date or '-':<10}  {row.bench or '-':<8}"
            f"  {lasting(row.seconds):>12}  {mistakes_count(row.mistakes):>11}  {row.outcome}"
        )
        told += [f"     {WRONG} {trouble}" for trouble in row.troubles]
    return told


def mistakes_count(count: int) -> str:
    return "no mistake" if count == 0 else "1 mistake" if count == 1 else f"{count} mistakes"


def place(viewing: Viewing) -> str:
    """Which event of how many, and how long after the first."""
    day = viewing.day
    return f"{viewing.place - day.first + 1}/{day.last - day.first + 1}  +{lasting(viewing.since_s)}"


def who_lines(viewing: Viewing) -> list[str]:
    """The helper, the language listened for where it is not the one spoken, and the pair."""
    moment = viewing.moment
    speaks = f", heard in {moment.own_language}" if moment.own_language else ""
    case = "" if moment.case is None else f", case {moment.case}"
    return [f"helper {helper_sign(moment.helper)}{speaks}{case}"]


def heading(viewing: Viewing) -> str:
    """Where in the session this is, who works, and on what."""
    moment = viewing.moment
    who = ", ".join(who_lines(viewing))
    return f"{place(viewing)}  line {moment.line}  {doing(moment.item)}, {who}"


def event_lines(viewing: Viewing) -> list[str]:
    """What was entered, what was wrong with it, and what the supervisor was asked because of it."""
    moment = viewing.moment
    return [
        happened(moment.event),
        *(f"{WRONG} {words}" for words in mistakes_words(moment)),
        *(f"{ASKS} {question}" for question in asked_of_supervisor(moment.effects)),
    ]


def said_lines(viewing: Viewing, language: str | None = None) -> list[str]:
    """What the helper heard then, in their language unless another is wanted."""
    moment = viewing.moment
    return list(all_said(moment.effects, language or moment.language))


def gauge_lines(viewing: Viewing, columns: int, glyphs: Glyphs) -> list[str]:
    """Readings that this entry completed, the worst first."""
    return [
        line(gauge, columns, glyphs)
        for gauge in worst_first(gauges_at(viewing.opened.timeline, viewing.place))
    ]


def worst_first(found: tuple[Gauge, ...]) -> list[Gauge]:
    """Those outside their window first, else as they are measured."""
    return sorted(found, key=lambda gauge: gauge.within)


def time_gauge(viewing: Viewing) -> Gauge | None:
    """Time on the step against its budget, the middle of the other sessions as its aim; None without a budget."""
    moment = viewing.moment
    spent, budget = moment.step_s, moment.before.kit.time_budget_s.get(moment.item.step)
    if spent is None or budget is None:
        return None
    middle = None if viewing.spread is None else viewing.spread.median_s
    return Gauge("time on the step", "s", spent, 0.0, budget, middle, spent <= budget)


def time_line(viewing: Viewing) -> str:
    """Time on the step against its budget and against the other sessions."""
    spent = viewing.moment.step_s
    if viewing.moment.before.day is None:
        return "the day was not open yet"
    if spent is None:
        return "time on the step: not known, the bench's clock was set back"
    budget = viewing.moment.before.kit.time_budget_s.get(viewing.moment.item.step)
    told = f"time on the step: {beside_budget(spent, budget)}"
    others = others_line(viewing)
    return f"{told}; {others}" if others else told


def beside_budget(spent_s: float, budget_s: float | None) -> str:
    """A time beside its budget: 9.4 s; 24 s of 40 s; 58 s of 40 s, 18 s OVER; 40.3 s of 40 s, OVER."""
    if budget_s is None:
        return lasting(spent_s)
    if spent_s <= budget_s:
        return f"{lasting(spent_s)} of {lasting(budget_s)}"
    if lasting(spent_s) == lasting(budget_s):
        return f"{beyond(spent_s, budget_s)} s of {budget_s:g} s, OVER"
    return f"{lasting(spent_s)} of {lasting(budget_s)}, {lasting(spent_s - budget_s)} OVER"


def others_line(viewing: Viewing) -> str:
    """How long the step took in the other sessions; empty where too few came to it."""
    others = viewing.spread
    if others is None:
        return ""
    within = f"half within {lasting(others.low_s)} to {lasting(others.high_s)}"
    return f"other sessions: {within}, middle {lasting(others.median_s)} ({others.visits} visits)"


def differing_count(viewing: Viewing) -> str:
    """How many steps would be decided differently."""
    count = len(viewing.differing)
    steps = "1 step" if count == 1 else f"{count} steps" if count else "no step"
    return f"{steps} would be decided differently under {viewing.under}"


def difference_lines(viewing: Viewing) -> list[str]:
    """What would have been decided differently here."""
    found = viewing.differing.get(viewing.moment.line, ())
    return [f"{DIFFERENT} under {viewing.under}, {one.words}" for one in found]


def all_lines(viewing: Viewing, columns: int, glyphs: Glyphs) -> list[str]:
    """Everything about the moment."""
    moment = viewing.moment
    wanted = waited_for(moment.effects)
    said = [f"said ({moment.language}): {sentence}" for sentence in said_lines(viewing)]
    lines = [
        heading(viewing),
        *(f"  {text}" for text in event_lines(viewing)),
        *(f"  {text}" for text in gauge_lines(viewing, columns - 2, glyphs)),
        f"  {time_line(viewing)}",
        *(f"  {text}" for text in said),
        *([f"  now wanted: {wanted}, {doing(moment.after.current)}"] if wanted else []),
        *(f"  {text}" for text in difference_lines(viewing)),
        *([f"  note: {viewing.note}"] if viewing.note else []),
    ]
    return [for_terminal(text, glyphs) for text in lines]
