"""Times beside their budgets: what is over never looks as if it were not, however little it is."""

import pytest

from assistant.replay.pace import against, beyond
from assistant.replay.telling import beside_budget


@pytest.mark.parametrize(
    ("spent_s", "budget_s", "plot", "words"),
    [
        (24.0, None, "24 s", "24 s"),
        (39.8, 40.0, "40 s", "40 s of 40 s"),
        (40.0, 40.0, "40 s", "40 s of 40 s"),
        (40.3, 40.0, "40.3 s > budget", "40.3 s of 40 s, OVER"),
        (40.004, 40.0, "40.004 s > budget", "40.004 s of 40 s, OVER"),
        (58.0, 40.0, "58 s > budget", "58 s of 40 s, 18 s OVER"),
        (60.2, 60.0, "60.2 s > budget", "60.2 s of 60 s, OVER"),
        (75.0, 60.0, "75 s > budget", "1 min 15 s of 1 min 00 s, 15 s OVER"),
    ],
)
def test_a_time_beside_its_budget(spent_s: float, budget_s: float | None, plot: str, words: str) -> None:
    assert (against(spent_s, budget_s), beside_budget(spent_s, budget_s)) == (plot, words)


def test_the_least_there_is_over_a_budget_is_shown() -> None:
    assert float(beyond(40.0 + 1e-12, 40.0)) > 40.0
