"""One day of a session told in visits to steps, each a row of cards: what was seen, heard and done."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup

from assistant.replay.gauge import gauges_at
from assistant.replay.moments import Moment
from assistant.replay.page_drawings import Spent, gauge_drawing
from assistant.replay.paper import drawing
from assistant.replay.telling import difference_lines, time_line
from assistant.replay.viewing import Viewing
from assistant.replay.wording import all_said, asked_of_supervisor, doing, happened, mistakes_words
from assistant.ui.pictures import scene
from assistant.workflow.effects import Effect
from assistant.workflow.events import BankShared, OrderHandedOver, StockCounted
from assistant.workflow.pictures import Picture
from assistant.workflow.show import picture

FROM_OUTSIDE = (OrderHandedOver, BankShared, StockCounted)
"""Events that the helper neither made nor saw anything new of: told in a line, without a picture."""


@dataclass(frozen=True, slots=True)
class Clip:
    """A recording for the page to play, or why there is none."""

    data_uri: str = ""
    trouble: str = ""


ClipOf = Callable[[Moment], Clip | None]
"""The recording kept of a moment; None where none was made."""


@dataclass(frozen=True, slots=True)
class Card:
    """One event. Seconds since the day's first event."""

    line: int
    since_s: float
    seen: Markup
    """The picture before it; empty where it is the one of the card before, or came from outside."""
    heard: tuple[str, ...]
    meant: tuple[str, ...]
    """The same in English, where the helper heard it in another language."""
    did: str
    clip: Clip | None
    gauges: tuple[Markup, ...]
    wrong: tuple[str, ...]
    first_wrong: int
    """Number of the first of `wrong` among the day's mistakes, from 1."""
    asks: tuple[str, ...]
    differences: tuple[str, ...]
    note: str


@dataclass(frozen=True, slots=True)
class Visit:
    """A step for one eye, from when it became current to when another did."""

    title: str
    case: str
    """Of the pair it was for; empty for none."""
    time: str
    spent: Spent
    cards: tuple[Card, ...]


def visits(viewing: Viewing, clip_of: ClipOf) -> tuple[Visit, ...]:
    """The day's visits in turn."""
    teller = _Teller(viewing, clip_of)
    places = range(viewing.day.first, viewing.day.last + 1)
    moments = viewing.opened.timeline
    grouped = groupby(places, key=_visit_numbers(moments.moments).__getitem__)
    return tuple(teller.visit(tuple(group)) for _, group in grouped)


def _visit_numbers(moments: tuple[Moment, ...]) -> list[int]:
    """For each place the number of its visit."""
    numbers, now = [], 0
    for moment in moments:
        numbers.append(now)
        now += moment.leaves
    return numbers


@dataclass
class _Teller:
    viewing: Viewing
    clip_of: ClipOf
    shown: Picture | None = None
    mistakes: int = 0

    def visit(self, places: tuple[int, ...]) -> Visit:
        cards = tuple(self._card(place) for place in places)
        last = self.viewing.opened.timeline[places[-1]]
        budget = last.before.kit.time_budget_s.get(last.item.step)
        wrong = any(card.wrong for card in cards)
        title = doing(last.item)
        case = last.case or ""
        return Visit(title, case, time_line(self.viewing), Spent(title, last.step_s, budget, wrong), cards)

    def _card(self, place: int) -> Card:
        viewing = self.viewing
        viewing.go(place)
        moment = viewing.moment
        outside = isinstance(moment.event, FROM_OUTSIDE)
        heard = self._effects_before(place)
        language = viewing.opened.timeline[max(place - 1, 0)].language
        wrong = mistakes_words(moment)
        self.mistakes += len(wrong)
        return Card(
            line=moment.line,
            since_s=viewing.since_s,
            seen=Markup() if outside else self._seen(moment),
            heard=() if outside else all_said(heard, language),
            meant=() if outside or language == "en" else all_said(heard, "en"),
            did=happened(moment.event),
            clip=self.clip_of(moment),
            gauges=tuple(
                drawing(gauge_drawing(one), one.name) for one in gauges_at(viewing.opened.timeline, place)
            ),
            wrong=wrong,
            first_wrong=self.mistakes - len(wrong) + 1,
            asks=asked_of_supervisor(moment.effects),
            differences=tuple(difference_lines(viewing)),
            note=viewing.note,
        )

    def _effects_before(self, place: int) -> tuple[Effect, ...]:
        """What the bench had just said when the helper did this."""
        return self.viewing.opened.timeline[place - 1].effects if place > 0 else ()

    def _seen(self, moment: Moment) -> Markup:
        now = picture(moment.before)
        if now == self.shown:
            return Markup()
        self.shown = now
        return drawing(scene(now), doing(moment.item))


def wrongs(told: tuple[Visit, ...]) -> Iterator[tuple[int, int, str, str]]:
    """Every mistake with its number, line, step and words."""
    for visit in told:
        for card in visit.cards:
            for number, words in enumerate(card.wrong, card.first_wrong):
                yield number, card.line, visit.title, words
