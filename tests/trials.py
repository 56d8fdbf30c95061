"""One virtual pair as a trial of the whole tool: what went wrong, where it was caught, what was handed over.

Used by the short proof (tests/practice/test_proof.py) and the long one (tests/benchmarks/proof.py). The truth
comes from the virtual lens; only the rule book (the tolerance tables) is the tool's own.
"""

import math
from collections import Counter
from dataclasses import dataclass, field
from random import Random

from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.optics.power import Power
from assistant.optics.rescue import RescueKind
from assistant.optics.tolerance import STANDARDS
from assistant.practice.bench import Errors
from assistant.practice.hands import Happened
from assistant.practice.helper import VirtualHelper
from assistant.practice.lens import principal
from assistant.practice.people import person
from assistant.practice.run import Turns, opened
from assistant.practice.slips import CAUSE_OF, MISREADINGS, Rates, Slip
from assistant.workflow.checking import PairCheck
from assistant.workflow.lens_check import EyeCheck

WITHIN, IN_STEP, OUT = "within", "within the instrument's step", "out"


@dataclass
class Tally:
    """Counts over many trials; two tallies add up."""

    counts: Counter[tuple[str, ...]] = field(default_factory=Counter)

    def add(self, *what: str, times: int = 1) -> None:
        self.counts[what] += times

    def merge(self, other: "Tally") -> None:
        self.counts.update(other.counts)

    def of(self, *what: str) -> int:
        return self.counts[what]

    def under(self, *what: str) -> int:
        """Everything counted under a heading."""
        return sum(n for key, n in self.counts.items() if key[: len(what)] == what)


class Trial:
    """One pair made from an order to its end, watched event by event."""

    def __init__(self, kit: Kit, seed: int, rates: Rates, plant: Slip | None = None) -> None:
        chance = Random(seed * 7919 + 17)
        self.kit = kit
        self.helper = VirtualHelper(kit, seed, rates, plant=plant, errors=errors_of(kit, chance))
        self.turns = opened(kit, self.helper, seed, 1_000_000.0, "2026-11-02")
        self.checks: list[tuple[PairCheck, str]] = []
        """Every judged check, with the truth when it was judged."""
        self.caught: list[tuple[str, str, int]] = []
        """Step, code, and how many slips had happened by then: one for every refusal and failed verdict."""
        self.before = ""
        self.turns.watch = self._watch
        self.turns.make(person(kit, chance, "101"))

    def _watch(self, turns: Turns) -> None:
        bench = turns.bench
        so_far = len(self.helper.happened)
        if bench.refusal is not None and bench.refusals + bool(turns.events):
            self.caught.append((self.before, bench.refusal.code, so_far))
        check = bench.pair.check if bench.pair is not None else None
        if check is not None and (not self.checks or self.checks[-1][0] is not check):
            self.checks.append((check, self.truth(check)))
            if not check.passed:
                self.caught.append(("check", ",".join(check.codes), so_far))
        self.before = bench.current.step

    def truth(self, check: PairCheck) -> str:
        """The pair as it truly is: every lens judged by its own matrix, the frame by its own measures."""
        things, limits = self.helper.things, self.kit.limits
        planned = self.turns.bench.the_pair.plan.frame
        worst = WITHIN
        if planned is not None and abs(things.centres_mm - planned.centre_distance_mm) > 1e-9:
            worst = OUT
        if things.height_mm > limits.height_tolerance_mm:
            worst = OUT
        found = [self._lens_truth(one) for one in (check.right, check.left) if one is not None]
        return max([worst, *found], key=[WITHIN, IN_STEP, OUT].index)

    def _lens_truth(self, check: EyeCheck) -> str:
        more, less, axis = principal(self.helper.things.worn(check.eye))
        cylinder = less - more
        true = (
            Power(more, cylinder, axis if abs(cylinder) > 0.06 else None)
            if abs(cylinder) > 0.06
            else Power(more)
        )
        rows = STANDARDS[self.kit.standard].judge(check.ordered, true).rows
        step = {"axis": self.kit.focimeter.axis_step_deg / 2.0, "cylinder": self.kit.focimeter.power_step_d}
        beyond = [
            (abs(row.error) - row.limit, step.get(row.kind, self.kit.focimeter.power_step_d / 2.0))
            for row in rows
        ]
        if any(over > slack + 1e-9 for over, slack in beyond):
            return OUT
        return IN_STEP if any(over > 1e-9 for over, _ in beyond) else WITHIN


def errors_of(kit: Kit, chance: Random) -> Errors:
    """Instruments that are right more often than not, else off by whole steps that the day's checks allow."""
    step = kit.focimeter.power_step_d
    power = chance.choice((0.0, 0.0, 0.0, -step, step))
    if abs(power) > kit.focimeter.power_tolerance_d:
        power = 0.0
    return Errors(power, *(float(chance.choice((0, 0, 0, -1, 1))) for _ in range(2)))


def judged(trial: Trial, tally: Tally) -> None:
    """What one trial counts for."""
    outcome = trial.turns.bench.closed[-1].outcome
    stock = trial.turns.bench.stock
    tally.add("pairs")
    tally.add("outcome", outcome)
    if outcome == "handed_over":
        tally.add("handed over", trial.checks[-1][1])
    for check, truth in trial.checks:
        if not check.passed and truth == WITHIN:
            tally.add("good pair refused", *(check.codes[:1] or ("unknown",)))
        tally.add("checks", "passed" if check.passed else "failed", truth)
    tally.add("lenses lost", times=len(stock.blanks) + stock.broken)
    tally.add("lenses used", times=stock.handed_over)
    ways = [
        one.rescue.kind for check, _ in trial.checks for one in (check.right, check.left) if one is not None
    ]
    for kind in ways:
        if kind not in (RescueKind.NONE_NEEDED, RescueKind.SET_ASIDE):
            tally.add("rescues", kind.value)
    tally.add("slips", times=len(trial.helper.happened))
    for number, one in enumerate(trial.helper.happened):
        tally.add("caught", one.slip.value, _caught_at(trial, number, one))


def _caught_at(trial: Trial, number: int, happened: Happened) -> str:
    """The step at which something was first said after this slip; the pair's end if nothing was."""
    step = next((step for step, _, so_far in trial.caught if so_far > number), "")
    if step:
        return step
    if trial.turns.bench.closed[-1].outcome != "handed_over":
        return "given up"
    return "harmless" if trial.checks and trial.checks[-1][1] != OUT else "not caught"


def named(trial: Trial, tally: Tally) -> None:
    """Of one single planted mistake: whether the first failed check named it."""
    judged(trial, tally)
    if len(trial.helper.happened) != 1 or not trial.checks:
        return
    (happened,) = trial.helper.happened
    slip, (check, _) = happened.slip, trial.checks[0]
    if slip in MISREADINGS or slip not in CAUSE_OF or check.passed:
        return
    codes = _named_first(check, happened.eye)
    wanted = CAUSE_OF[slip]
    place = (
        "first"
        if wanted in codes[:1] or wanted in check.faults
        else "second"
        if wanted in codes[:2]
        else "missed"
    )
    tally.add("named", slip.value, place)
    if place != "first":
        tally.add("instead", slip.value, codes[0] if codes else ",".join(check.codes))


def _named_first(check: PairCheck, eye: Eye | None) -> list[str]:
    """The causes of the eye that was spoilt; of any eye where the slip belongs to none."""
    eyes = [one for one in (check.right, check.left) if one is not None]
    own = [one for one in eyes if one.eye is eye and one.causes] or [one for one in eyes if one.causes]
    return [cause.code.value for cause in own[0].causes] if own else []


def share(part: int, whole: int) -> str:
    return f"{part} of {whole} ({part / whole:.2%})" if whole else "0 of 0"


def at_most(seen: int, trials: int) -> float:
    """Upper end of the 95 % interval of a share of which `seen` were seen: 3/n for none (rule of three)."""
    return 3.0 / trials if seen == 0 else (seen + 2.0 * math.sqrt(seen + 1.0) + 2.0) / trials
