"""Start of the day: who works, in which language, and what the instruments read on known things."""

import re
from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Final

from assistant.language.lexicon import LANGUAGES
from assistant.optics.power import Power, axis_difference_deg, wrap_axis
from assistant.workflow.agenda import day_agenda
from assistant.workflow.effects import Effect, Say, Signal, Tone
from assistant.workflow.entry import NOT_HEARD
from assistant.workflow.events import DayOpened, VoiceTried
from assistant.workflow.state import Bench, Day, Item, Offsets, Refusal, Refused, refused
from assistant.workflow.steps import SAID_FIELDS, VOICE

INDEX_LINE_DEG = 180.0
"""Where the reference line is laid on the protractor at the start of the day."""
LEAST_UNDERSTOOD: Final = 3
"""Of the four numbers said at the start of the day: one slip is not yet a helper who is not understood."""
MOST_BROUGHT: Final = 9 - len(LANGUAGES)
"""A language is chosen by one digit, and none by nought."""
_TWO_DIGITS: Final = re.compile("[0-9]{2}")


def corrected(read: Power, offsets: Offsets) -> Power:
    """A focimeter reading with the offsets of the start of day taken off."""
    axis = None if read.axis is None else wrap_axis(read.axis - offsets.axis_deg)
    return Power(read.sphere - offsets.sphere_d, read.cylinder, axis)


def power_entered(bench: Bench) -> Power:
    """The power keyed at this step, in the form it was keyed in."""
    axis = bench.entry("axis")
    cylinder = bench.number("cylinder")
    return Power(bench.number("sphere"), cylinder, None if axis is None else float(axis))


def helper(bench: Bench) -> Bench:
    return replace(bench, day=replace(bench.the_day, helper=int(bench.number("picture")))).popped()


def opened(before: Day | None, event: DayOpened) -> Day:
    """The new day; until another language is chosen it is that of the day before, where that is still there.

    Languages brought are passed over where they do not fit: no bench writes such a line.
    """
    brought = event.brought if fit(event.brought) else {}
    own = before.own if before is not None and before.own in brought else ""
    spoken = brought[own] if own else LANGUAGES[0] if before is None else before.language
    return Day(event.date, day_agenda(), language=spoken, own=own, brought=MappingProxyType(brought))


def fit(brought: Mapping[str, str]) -> bool:
    """Whether these languages may be chosen beside the program's own: each has a number and is spoken to."""
    known = all(code not in LANGUAGES and spoken in LANGUAGES for code, spoken in brought.items())
    return known and len(brought) <= MOST_BROUGHT


def language(bench: Bench) -> Bench:
    day = bench.the_day
    chosen = day.languages[int(bench.number("language")) - 1]
    own = chosen if chosen in day.brought else ""
    return replace(bench, day=replace(day, language=day.brought.get(chosen, chosen), own=own)).popped()


def sound(bench: Bench) -> Bench:
    return replace(bench, day=replace(bench.the_day, sound=bool(bench.entry("heard")))).popped()


def tried(bench: Bench, event: VoiceTried) -> Bench | Refused:
    """Ask the helper to say the numbers of `event`, once sound was heard: before the next check of the day, or before
    the next pair where it could not be asked before, or the microphone failed meanwhile."""
    day = bench.day
    between = bench.current.step == "order" or (day is not None and day.agenda)
    fits = day is not None and day.sound and between and not bench.entries and bench.question is None
    said_so = len(event.numbers) == len(SAID_FIELDS) and all(_TWO_DIGITS.fullmatch(n) for n in event.numbers)
    if day is None or not fits or not said_so or day.numbers:
        return Refused(Refusal("not_asked"), bench)
    agenda = (Item(VOICE), *day.agenda)
    return replace(bench, day=replace(day, numbers=event.numbers, room=event.room, agenda=agenda))


def voice(bench: Bench) -> Bench:
    """Understood or not: voice comes first from now on, or the keypad does. Where that cannot be told, because the
    microphone failed, it is as if nothing had been asked."""
    day = bench.the_day
    heard = [bench.entry(name) for name in SAID_FIELDS]
    right = sum(entry == said for entry, said in zip(heard, day.numbers, strict=True))
    if right < LEAST_UNDERSTOOD <= right + heard.count(NOT_HEARD):
        return replace(bench, day=replace(day, numbers=())).popped()
    return replace(bench, day=replace(day, voice=right >= LEAST_UNDERSTOOD)).popped()


def voice_outcome(bench: Bench) -> tuple[Effect, ...]:
    """What follows the numbers: a sign and a sentence."""
    if bench.the_day.voice is None:
        return (Signal(Tone.WAIT), Say("voice-asked-later"))
    if bench.the_day.voice:
        return (Signal(Tone.RIGHT), Say("voice-understood"))
    return (Signal(Tone.WAIT), Say("voice-keypad-first"))


def zero(bench: Bench) -> Bench | Refused:
    """The focimeter with nothing on it: a small error is kept as an offset, a large one stops the bench."""
    read = bench.number("sphere")
    if abs(read) > bench.kit.focimeter.power_tolerance_d + 1e-9:
        return refused(bench, "offset_too_large")
    return _with_offsets(bench, sphere_d=read)


def reference(bench: Bench) -> Bench | Refused:
    """The kit's reference lens: powers must be right, the axis error is kept as an offset."""
    known = bench.kit.focimeter.reference.minus_form
    read = corrected(power_entered(bench), bench.offsets).minus_form
    tolerance = bench.kit.focimeter.power_tolerance_d
    if max(abs(read.sphere - known.sphere), abs(read.cylinder - known.cylinder)) > tolerance + 1e-9:
        return refused(bench, "offset_too_large")
    if known.axis is None or read.axis is None:
        return bench.popped()
    offset = axis_difference_deg(read.axis, known.axis)
    if abs(offset) > bench.kit.focimeter.axis_tolerance_deg:
        return refused(bench, "offset_too_large")
    return _with_offsets(bench, axis_deg=offset)


def index(bench: Bench) -> Bench | Refused:
    """The protractor read with the reference line along its 180: the error is kept as an offset."""
    offset = axis_difference_deg(bench.number("axis"), INDEX_LINE_DEG)
    if abs(offset) > bench.kit.focimeter.axis_tolerance_deg:
        return refused(bench, "offset_too_large")
    return _with_offsets(bench, scale_deg=offset)


def cutter(bench: Bench) -> Bench | Refused:
    return bench.popped() if bench.entry("ready") else refused(bench, "battery_low")


def _with_offsets(bench: Bench, **found: float) -> Bench:
    day = bench.the_day
    return replace(bench, day=replace(day, offsets=replace(day.offsets, **found))).popped()
