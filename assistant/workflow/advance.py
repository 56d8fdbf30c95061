"""advance(bench, event) -> (bench, effects): the whole program in one function.

Rules
- Every transition is here or in the check of a step (`CHECKS`); nothing else changes a bench.
- An event that does not fit the state (another step's answer, nothing to take back) changes nothing and
  says so in an effect. No event whatever raises.
- A step's check runs when its last field is in; until then no effect carries an expected figure.
- Backspace takes back the last entry that was accepted or cost a lens: inside a step one by one, across a
  step's border once.
- Effects come in two parts: what the event did (`Signal`, `Say`), then what is asked for now (`present`).
"""

from collections.abc import Callable, Mapping
from dataclasses import replace

from assistant.kit.stock import StockError
from assistant.workflow import agenda, checks_day, finishing, lenses, making, ordering, supervising
from assistant.workflow.effects import Ask, Effect, Leave, Say, Signal, Tone
from assistant.workflow.entry import read_entry
from assistant.workflow.events import (
    Answered,
    AskedAgain,
    BankShared,
    DayOpened,
    Event,
    HelpAsked,
    OrderHandedOver,
    StockCounted,
    SupervisorAnswered,
    TakenBack,
    VoiceTried,
)
from assistant.workflow.fields import listen_for, next_field
from assistant.workflow.present import present, spoken_args
from assistant.workflow.state import Bench, Refusal, Refused

Check = Callable[[Bench], Bench | Refused]

CHECKS: Mapping[str, Check] = {
    "helper": checks_day.helper,
    "language": checks_day.language,
    "sound": checks_day.sound,
    "voice": checks_day.voice,
    "zero": checks_day.zero,
    "reference": checks_day.reference,
    "index": checks_day.index,
    "cutter": checks_day.cutter,
    "order": ordering.order,
    "key_order": ordering.key_order,
    "plan": ordering.plan,
    "fetch": making.fetch,
    "read": making.read,
    "dot": making.dot,
    "mark": making.mark,
    "cut": making.cut,
    "trim": making.trim,
    "fit": making.fit,
    "side": finishing.side,
    "check": making.check,
    "distance": finishing.distance,
    "verdict": finishing.verdict,
    "wearer": finishing.wearer,
    "hand_over": finishing.hand_over,
    "account": ordering.account,
    "supervisor": supervising.supervisor,
}

_ENDED: Mapping[str, Say] = {
    "handed_over": Say("pair-done"),
    "returned": Say("returned"),
    "abandoned": Say("abandoned"),
}
"""What is said when a pair closes, by its outcome."""

Advance = tuple[Bench, tuple[Effect, ...]]


def advance(bench: Bench, event: Event) -> Advance:
    """The bench after `event`, and what should happen outside. Pure; never raises for any event."""
    match event:
        case DayOpened():
            return _day_opened(bench, event)
        case OrderHandedOver():
            return _handed_over(bench, event)
        case Answered():
            return _answered(bench, event)
        case VoiceTried():
            return _voice_tried(bench, event)
        case TakenBack():
            return _taken_back(bench)
        case AskedAgain():
            return bench, present(bench)
        case HelpAsked():
            return _shown(supervising.asked(bench), (Signal(Tone.WAIT),))
        case SupervisorAnswered():
            return _decided(bench, event)
        case StockCounted():
            return _counted(bench, event)
        case BankShared():
            return _bank_shared(bench, event)


def _day_opened(bench: Bench, event: DayOpened) -> Advance:
    day = checks_day.opened(bench.day, event)
    # a pair left from yesterday waits under the new day's checks
    pair = None if bench.pair is None else agenda.overnight(bench.pair)
    opened = replace(bench, day=day, pair=pair, entries=(), refusals=0, before=None, step_at=event.at)
    return _shown(opened, (Say("safety"),))


def _handed_over(bench: Bench, event: OrderHandedOver) -> Advance:
    if event.order in bench.orders:
        return _shown(bench, (Signal(Tone.WRONG), Say("refused-order_twice")))
    return _shown(ordering.handed_over(bench, event.order), ())


def _answered(bench: Bench, event: Answered) -> Advance:
    wanted = listen_for(bench)
    if wanted is None or (event.step, event.field) != (wanted.step, wanted.field):
        return _refuse(bench, bench, Refusal("not_asked"))
    read = read_entry(event.text, wanted, event.source)
    if isinstance(read, Refusal):
        return _refuse(bench, bench, read)
    entered = replace(bench, entries=(*bench.entries, (wanted.field, read)), refusal=None)
    if next_field(entered) is not None:
        return _shown(replace(entered, before=bench), ())
    return _settled(entered, CHECKS[wanted.step](replace(entered, step_at=event.at)), event.at, bench)


def _voice_tried(bench: Bench, event: VoiceTried) -> Advance:
    tried = checks_day.tried(bench, event)
    if isinstance(tried, Refused):
        return _shown(bench, (Signal(Tone.WRONG), Say(f"refused-{tried.refusal.code}")))
    return _shown(replace(tried, step_at=event.at), ())


def _decided(bench: Bench, event: SupervisorAnswered) -> Advance:
    """The supervisor's answer from the board. One that comes too late, to no question, changes nothing."""
    if bench.question is None:
        return _shown(bench, (Signal(Tone.WRONG), Say("refused-not_asked")))
    return _settled(bench, supervising.answered(bench, event.yes, event.code), event.at)


def _settled(entered: Bench, result: Bench | Refused, at: float, before: Bench | None = None) -> Advance:
    """The outcome of a check: refused (said, the step begins again or another does) or accepted."""
    if isinstance(result, Refused):
        # what cost a lens may be taken back like any other entry
        lens_lost = result.bench.stock is not entered.stock
        return _refuse(entered, replace(result.bench, before=before if lens_lost else None), result.refusal)
    settled = replace(finishing.judged(result), before=before, refusal=None, leaving=False)
    if entered.question is not None or (entered.pair is not None and settled.pair is None):
        settled = replace(settled, before=None)  # a decision stands, and a closed pair stays closed
    if settled.current != entered.current:
        settled = replace(settled, step_at=at)
    leave: tuple[Effect, ...] = (Leave(),) if result.leaving else ()
    return _shown(settled, (*leave, *_outcome(entered, settled)))


def _refuse(before: Bench, after: Bench, refusal: Refusal) -> Advance:
    refusals = before.refusals + 1 if after.current == before.current else 0
    after = replace(after, refusal=refusal, refusals=refusals)
    said = Say(f"refused-{refusal.code}", spoken_args(refusal.args))
    return _shown(after, (Signal(Tone.WRONG), said))


def _taken_back(bench: Bench) -> Advance:
    before = bench.before
    if before is None:
        return bench, (Say("nothing-to-take-back"), *present(bench))
    if before.current != bench.current:
        # one step back and no further: what lies before it has been done by hand
        before = replace(before, before=_within(before))
    # what came from outside meanwhile stays: orders, and what other benches hold
    queue = ordering.waiting_again(before, bench)
    kept = replace(before, orders=bench.orders, queue=queue, elsewhere=bench.elsewhere, refusal=None)
    return kept, (Say("taken-back"), *present(kept))


def _within(bench: Bench) -> Bench | None:
    """The undo chain of a step, cut at the step's beginning."""
    earlier = bench.before
    if earlier is None or earlier.current != bench.current or not bench.entries:
        return None
    return replace(earlier, before=_within(earlier))


def _counted(bench: Bench, event: StockCounted) -> Advance:
    try:
        counted = lenses.counted(bench, event.pocket, event.count)
    except (StockError, KeyError) as error:
        return _shown(bench, (Signal(Tone.WRONG), Say("refused-count_wrong", {"what": str(error)})))
    return _shown(replace(counted, before=None), ())  # taking an entry back must not take back the count


def _bank_shared(bench: Bench, event: BankShared) -> Advance:
    try:
        return _shown(lenses.shared(bench, event.elsewhere), ())
    except StockError as error:
        return _shown(bench, (Signal(Tone.WRONG), Say("refused-count_wrong", {"what": str(error)})))


def _outcome(entered: Bench, settled: Bench) -> tuple[Effect, ...]:
    """What the accepted step sounds like: a passed or failed verdict, a question, or simply right."""
    if settled.question is not None and entered.question is None:
        code = settled.question.code
        return (Signal(Tone.WAIT), Ask(code, settled.question.reasons))
    if entered.current.step == "voice":
        return checks_day.voice_outcome(settled)
    pair = settled.pair
    if settled.current.step == "verdict" and pair is not None and pair.check is not None:
        tone = Tone.RIGHT if pair.check.passed else Tone.WRONG
        return (Signal(tone), *(Say(text_id) for text_id in finishing.found(pair.check)))
    if settled.pair is None and entered.pair is not None:
        return (Signal(Tone.RIGHT), _ENDED[settled.closed[-1].outcome])
    return (Signal(Tone.RIGHT),)


def _shown(bench: Bench, feedback: tuple[Effect, ...]) -> Advance:
    return bench, (*feedback, *present(bench))
