"""What is shown of the moment a trainer looks at, as lines of text. Pure; plain mode prints all of them."""

from assistant.replay.gauge import Gauge, gauges
from assistant.replay.gauge_bar import line
from assistant.replay.listing import Row
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
from assistant.ui.glyphs import Glyphs

WRONG = "[!!]"
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


def heading(viewing: Viewing) -> str:
    """Where in the session this is, who works, and on what."""
    moment, day = viewing.moment, viewing.day
    place = f"{viewing.place - day.first + 1}/{day.last - day.first + 1}"
    case = "" if moment.case is None else f", case {moment.case}"
    return (
        f"{place}  +{lasting(viewing.since_s)}  line {moment.line}  {doing(moment.item)}{case},"
        f" helper {helper_sign(moment.helper)}"
    )


def event_lines(viewing: Viewing) -> list[str]:
    """What was entered and what was wrong with it."""
    moment = viewing.moment
    return [happened(moment.event), *(f"{WRONG} {words}" for words in mistakes_words(moment))]


def said_lines(viewing: Viewing, language: str | None = None) -> list[str]:
    """What the helper heard then, in their language unless another is wanted."""
    moment = viewing.moment
    return list(all_said(moment.effects, language or moment.language))


def gauge_lines(viewing: Viewing, columns: int, glyphs: Glyphs) -> list[str]:
    """Readings that this entry completed, the worst first."""
    return [line(gauge, columns, glyphs) for gauge in worst_first(gauges(viewing.moment))]


def worst_first(found: tuple[Gauge, ...]) -> list[Gauge]:
    """Those outside their window first, else as they are measured."""
    return sorted(found, key=lambda gauge: gauge.within)


def time_line(viewing: Viewing) -> str:
    """Time on the step against its budget and against the other sessions."""
    moment = viewing.moment
    spent = moment.step_s
    if moment.before.day is None:
        return "the day was not open yet"
    if spent is None:
        return "time on the step: not known, the bench's clock was set back"
    told = f"time on the step: {lasting(spent)}"
    budget = moment.before.kit.time_budget_s.get(moment.item.step)
    if budget is not None:
        over = f", {lasting(spent - budget)} OVER" if spent > budget else ""
        told += f" of {lasting(budget)}{over}"
    others = viewing.spread
    if others is not None:
        told += (
            f"; other sessions: half within {lasting(others.low_s)} to {lasting(others.high_s)},"
            f" middle {lasting(others.median_s)} ({others.visits} visits)"
        )
    return told


def difference_lines(viewing: Viewing) -> list[str]:
    """What would have been decided differently here."""
    found = viewing.differing.get(viewing.moment.line, ())
    return [f"{DIFFERENT} under {viewing.under}, {one.words}" for one in found]


def all_lines(viewing: Viewing, columns: int, glyphs: Glyphs) -> list[str]:
    """Everything about the moment."""
    moment = viewing.moment
    wanted = waited_for(moment.effects)
    said = [f"said ({moment.language}): {sentence}" for sentence in said_lines(viewing)]
    return [
        heading(viewing),
        *(f"  {text}" for text in event_lines(viewing)),
        *(f"  asks the supervisor: {question}" for question in asked_of_supervisor(moment.effects)),
        *(f"  {text}" for text in gauge_lines(viewing, columns - 2, glyphs)),
        f"  {time_line(viewing)}",
        *(f"  {text}" for text in said),
        *([f"  now wanted: {wanted}, {doing(moment.after.current)}"] if wanted else []),
        *(f"  {text}" for text in difference_lines(viewing)),
        *([f"  note: {viewing.note}"] if viewing.note else []),
    ]
