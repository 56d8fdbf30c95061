"""Questions only the supervisor may decide, answered at the bench by code or from the board."""

from dataclasses import replace

from assistant.workflow.entry import LEAVE
from assistant.workflow.finishing import rescued
from assistant.workflow.ordering import given_up
from assistant.workflow.state import Bench, Question, Refused, refused

HELP = "help"


def asked(bench: Bench) -> Bench:
    """The helper calls: the step waits under the question. A question already open stays."""
    if bench.question is not None:
        return bench
    return replace(bench, question=Question(HELP), entries=(), refusals=0, before=bench)


def supervisor(bench: Bench) -> Bench | Refused:
    """Code and decision keyed at the bench."""
    if bench.entry("code") not in bench.kit.supervisor_codes:
        return refused(bench, "code_wrong")
    decision = bench.entry("decision")
    if decision == LEAVE:
        return replace(bench, question=None, entries=(), leaving=True)
    return decided(bench, bool(decision))


def answered(bench: Bench, yes: bool, code: str) -> Bench | Refused:
    """A yes or no from the board."""
    if code not in bench.kit.supervisor_codes:
        return refused(bench, "code_wrong")
    return decided(bench, yes)


def decided(bench: Bench, yes: bool) -> Bench:
    """Carry out the decision; every question but a call for help concerns the pair."""
    if bench.question is None:
        return bench
    code = bench.question.code
    open_again = replace(bench, question=None, entries=(), refusals=0)
    if code == HELP:
        stop = not yes and bench.pair is not None and not bench.pair.given_up
        return given_up(open_again, "abandoned") if stop else open_again
    if not yes:
        return given_up(open_again, "returned" if code == "plan" else "abandoned")
    if code == "stuck":
        return rescued(replace(open_again, pair=replace(open_again.the_pair, rescues=0)))
    pair = open_again.the_pair
    # the pair's own step, though the checks of a new day may lie over it
    return replace(open_again, pair=replace(pair, agenda=pair.agenda[1:]))
