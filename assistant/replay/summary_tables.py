"""A summary as tables, one list of them for terminal, page and CSV. Pure.

Times are seconds; a spread is the median with the quartiles that half of all lie between.
"""

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Final

from assistant.hub.patterns_told import pattern_view, sure
from assistant.hub.words import DOING
from assistant.language.prompts import NONE, say
from assistant.optics.patterns import Pattern
from assistant.optics.rescue import RescueKind
from assistant.replay.mistakes import MistakeKind
from assistant.replay.summary import ORDER, Share, Spread, Summary, Who
from assistant.replay.summary_facts import GIVEN_UP, WAITING
from assistant.ui.sheets import Section

RESCUES: Final[Mapping[RescueKind, str]] = {
    RescueKind.SECOND_SLOT: "a second slot cut",
    RescueKind.SEAT_AGAIN: "seated again in its rim",
    RescueKind.TURN_OVER: "turned over",
    RescueKind.SWAP_LENSES: "exchanged with the other eye's",
}
_KINDS: Final[Mapping[MistakeKind, str]] = {
    MistakeKind.REFUSED: "entry refused",
    MistakeKind.FAILED: "pair failed",
    MistakeKind.TAKEN_BACK: "taken back",
    MistakeKind.BROKEN: "lens broken",
    MistakeKind.SET_ASIDE: "lens set aside",
}
WEAKEST: Final = 2
"""How many of a helper's steps are named, worst first."""


def in_words(kind: MistakeKind, code: str) -> str:
    """A mistake's code as the helper was told it, in English."""
    if kind is MistakeKind.FAILED:
        return say(f"cause-{code}", "en")
    if kind is MistakeKind.REFUSED:
        return say(f"refused-{code}", "en", high=NONE)  # without figures: many entries are counted together
    return _KINDS[kind]


def why_lost(code: str) -> str:
    """Why a lens was lost, in words."""
    if code == GIVEN_UP:
        return "The pair was given up."
    asked = MistakeKind.REFUSED if code in ("chipped", "slot_deep", "wrong_lens") else MistakeKind.FAILED
    return in_words(asked, code)


def sections(
    summary: Summary,
    budget_s: Mapping[str, float],
    found: Sequence[Pattern],
    troubles: Iterable[tuple[Path, str]],
    every_helper: bool,
) -> tuple[Section, ...]:
    """Everything a trainer asks of many sessions; `every_helper`: also each helper's every step."""
    return (
        _sessions(summary),
        _steps(summary, budget_s),
        _helpers(summary),
        *((_helpers_steps(summary),) if every_helper else ()),
        _wrong(summary),
        _lost(summary),
        _rescued(summary),
        _patterns(found),
        Section(
            "Files not used, or not wholly",
            ("file", "what was found"),
            tuple((str(path), what) for path, what in troubles),
        ),
    )


def _sessions(summary: Summary) -> Section:
    outcomes = summary.outcomes
    row = (
        summary.sessions,
        len(summary.benches),
        outcomes["handed_over"],
        outcomes["returned"],
        outcomes["abandoned"],
        summary.judged,
        summary.passed,
        *_minutes(summary.pair_time()),
    )
    heads = (
        *("sessions", "benches", "pairs handed over", "sent back", "given up", "checks", "passed"),
        *("minutes a pair", "half of them"),
    )
    return Section("Sessions", heads, (row,))


def _steps(summary: Summary, budget_s: Mapping[str, float]) -> Section:
    rows = []
    for step in summary.steps:
        time, share = summary.step_time(step), summary.share(step)
        budget = budget_s.get(step)
        tries = ("", "") if step == WAITING else (share.first_try, percent(share))
        done = share.done if step != WAITING else summary.times_done(step)
        rows.append((DOING[step], done, *_seconds(time), "" if budget is None else f"{budget:g}", *tries))
    heads = ("step", "times", "seconds", "half of them", "budget", "right at first", "per cent")
    return Section("Time on each step, and how often right at the first try", heads, tuple(rows))


def _helpers(summary: Summary) -> Section:
    rows = []
    for who in summary.helpers:
        share = summary.share(who=who)
        time = summary.pair_time(who)
        weak = "; ".join(f"{DOING[step]} {percent(tries)} %" for step, tries in _weakest(summary, who))
        rows.append(
            (
                *_who(who),
                summary.pairs(who),
                *_minutes(time),
                share.done,
                share.first_try,
                percent(share),
                weak,
            )
        )
    heads = (
        *("bench", "helper", "pairs", "minutes a pair", "half of them"),
        *("steps", "right at first", "per cent", "weakest steps"),
    )
    return Section("Helpers", heads, tuple(rows))


def _weakest(summary: Summary, who: Who) -> list[tuple[str, Share]]:
    tries = [(step, share) for (step, one), share in summary.shares.items() if one == who]
    missed = [(step, share) for step, share in tries if share.first_try < share.done]
    return sorted(missed, key=lambda pair: (pair[1].part, ORDER[pair[0]]))[:WEAKEST]


def _helpers_steps(summary: Summary) -> Section:
    by_step = sorted(summary.shares.items(), key=lambda pair: (ORDER[pair[0][0]], pair[0][1]))
    return Section(
        "Right at the first try, by step and helper",
        ("step", "bench", "helper", "times", "right at first", "per cent"),
        tuple(
            (DOING[step], *_who(who), share.done, share.first_try, percent(share))
            for (step, who), share in by_step
        ),
    )


def _wrong(summary: Summary) -> Section:
    found = sorted(summary.wrong.items(), key=lambda pair: (-pair[1], ORDER.get(pair[0].step, 0), pair[0]))
    return Section(
        "What went wrong, the most frequent first",
        ("times", "step", "kind", "what the helper was told"),
        tuple(
            (times, DOING[wrong.step], _KINDS[wrong.kind], in_words(wrong.kind, wrong.code))
            for wrong, times in found
            if wrong.kind not in (MistakeKind.BROKEN, MistakeKind.SET_ASIDE)  # they are counted as lost
        ),
    )


def _lost(summary: Summary) -> Section:
    found = sorted(summary.lost.items(), key=lambda pair: (-pair[1], pair[0]))
    rows = tuple((times, _KINDS[lost.how].removeprefix("lens "), why_lost(lost.why)) for lost, times in found)
    return Section("Lenses lost", ("lenses", "how", "why"), rows)


def _rescued(summary: Summary) -> Section:
    kinds = [kind for kind in RESCUES if summary.rescues_tried[kind]]
    return Section(
        "Lenses rescued",
        ("how", "tried", "went to the wearer"),
        tuple((RESCUES[kind], summary.rescues_tried[kind], summary.rescues_held[kind]) for kind in kinds),
    )


def _patterns(found: Sequence[Pattern]) -> Section:
    views = [pattern_view(pattern) for pattern in found]
    return Section(
        "Patterns",
        ("bench", "helper", "what many pairs show", "evidence", "how sure", "what to do"),
        tuple(
            (view.bench or "all", view.helper or "", view.what, view.evidence, sure(view), view.todo)
            for view in views
        ),
    )


def percent(share: Share) -> int:
    """Whole per cent, never 100 while one went wrong."""
    return int(100 * share.part)


def _who(who: Who) -> tuple[str, object]:
    return (who.bench, who.helper or "")


def _seconds(time: Spread) -> tuple[str, str]:
    return (f"{time.median_s:.0f}", f"{time.low_s:.0f} to {time.high_s:.0f}")


def _minutes(time: Spread | None) -> tuple[str, str]:
    if time is None:
        return ("", "")
    return (f"{time.median_s / 60:.1f}", f"{time.low_s / 60:.1f} to {time.high_s / 60:.1f}")
