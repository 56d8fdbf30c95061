"""A summary as tables, one list of them for terminal, page and CSV. Pure.

Times are seconds; a spread is the median with the quartiles that half of all lie between.
"""

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Final

from assistant.hub.patterns_told import pattern_view, sure
from assistant.hub.words import CAUSES
from assistant.language.prompts import NONE, say
from assistant.optics.patterns import Pattern
from assistant.optics.rescue import RescueKind
from assistant.replay.mistakes import MistakeKind
from assistant.replay.pace import Spread
from assistant.replay.summary import ORDER, Share, Summary, Who
from assistant.replay.summary_facts import GIVEN_UP, WAITING
from assistant.replay.wording import doing, helper_sign
from assistant.ui.sheets import Section
from assistant.workflow.state import Item

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
_LOST: Final[Mapping[str, str]] = {
    GIVEN_UP: "its pair was given up",
    "chipped": "chipped or cracked in its rim",
    "slot_deep": "slot cut too deep",
    "wrong_lens": "not the lens that its pocket should hold",
}
"""Other codes are those of a failed check, which have their words."""
WEAKEST: Final = 2
"""How many of a helper's steps are named, worst first."""


def in_words(kind: MistakeKind, code: str) -> str:
    """A mistake by its code alone; a refusal as the helper was told it, in English."""
    if kind is MistakeKind.FAILED:
        return CAUSES.get(code, code)
    if kind is MistakeKind.REFUSED:
        return say(f"refused-{code}", "en", high=NONE)  # without figures: many entries are counted together
    return _KINDS[kind]


def why_lost(code: str) -> str:
    """Why a lens was lost, in words."""
    return _LOST.get(code) or in_words(MistakeKind.FAILED, code)


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
    outcomes, time = summary.outcomes, summary.pair_time()
    rows: list[tuple[str, object]] = [
        ("sessions", summary.sessions),
        ("benches", len(summary.benches)),
        ("pairs handed over", outcomes["handed_over"]),
        ("orders sent back to the clinician", outcomes["returned"]),
        ("pairs given up", outcomes["abandoned"]),
        ("checks of finished pairs", summary.judged),
        ("of these passed", summary.passed),
    ]
    if time is not None:
        rows.append(("minutes a pair, median", _minutes(time)[0]))
        rows.append(("half of the pairs took", "{} to {}".format(*_minutes(time)[1:])))
    return Section("Sessions", ("what", "how many"), tuple(rows))


def _steps(summary: Summary, budget_s: Mapping[str, float]) -> Section:
    rows = []
    for step in summary.steps:
        time, share = summary.step_time(step), summary.share(step)
        budget = f"{budget_s[step]:g}" if step in budget_s else ""
        tries = ("", "") if step == WAITING else (share.first_try, percent(share))
        rows.append((doing(Item(step)), time.visits, *_seconds(time), budget, *tries))
    heads = ("step", "times", "median s", "from s", "to s", "budget s", "right", "%")
    return Section(
        "Time on each step (half lie from .. to), and how often right at the first try", heads, tuple(rows)
    )


def _helpers(summary: Summary) -> Section:
    rows = []
    for who in summary.helpers:
        share, time = summary.share(who=who), summary.pair_time(who)
        weak = "; ".join(f"{doing(Item(step))} {percent(tries)} %" for step, tries in _weakest(summary, who))
        pairs = 0 if time is None else time.visits
        took = ("", "", "") if time is None else _minutes(time)
        rows.append((*_who(who), pairs, *took, share.done, share.first_try, percent(share), weak))
    heads = (
        *("bench", "helper", "pairs", "median min", "from", "to"),
        *("steps", "right", "%", "weakest steps"),
    )
    return Section(
        "Helpers: minutes a pair (half lie from .. to), steps right at the first try", heads, tuple(rows)
    )


def _weakest(summary: Summary, who: Who) -> list[tuple[str, Share]]:
    tries = [(step, share) for (step, one), share in summary.shares.items() if one == who]
    missed = [(step, share) for step, share in tries if share.first_try < share.done]
    return sorted(missed, key=lambda pair: (pair[1].part, ORDER[pair[0]]))[:WEAKEST]


def _helpers_steps(summary: Summary) -> Section:
    by_step = sorted(summary.shares.items(), key=lambda pair: (ORDER[pair[0][0]], pair[0][1]))
    return Section(
        "Right at the first try, by step and helper",
        ("step", "bench", "helper", "times", "right at first", "%"),
        tuple(
            (doing(Item(step)), *_who(who), share.done, share.first_try, percent(share))
            for (step, who), share in by_step
        ),
    )


def _wrong(summary: Summary) -> Section:
    found = sorted(summary.wrong.items(), key=lambda pair: (-pair[1], ORDER.get(pair[0].step, 0), pair[0]))
    return Section(
        "What went wrong, the most frequent first",
        ("times", "step", "kind", "what"),
        tuple(
            (times, doing(Item(wrong.step)), _KINDS[wrong.kind], in_words(wrong.kind, wrong.code))
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
            (
                v.bench or "all",
                "" if v.helper is None else helper_sign(v.helper),
                v.what,
                v.evidence,
                sure(v),
                v.todo,
            )
            for v in views
        ),
    )


def percent(share: Share) -> int:
    """Whole per cent, never 100 while one went wrong."""
    return int(100 * share.part)


def _who(who: Who) -> tuple[str, str]:
    return (who.bench, helper_sign(who.helper or None))


def _seconds(time: Spread) -> tuple[str, str, str]:
    return (f"{time.median_s:.1f}", f"{time.low_s:.1f}", f"{time.high_s:.1f}")


def _minutes(time: Spread) -> tuple[str, str, str]:
    return (f"{time.median_s / 60:.1f}", f"{time.low_s / 60:.1f}", f"{time.high_s / 60:.1f}")
