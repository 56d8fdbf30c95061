"""The proof in short: what docs/proof.md shows at length, on two kits."""

from trials import OUT, Tally, Trial, judged, named

from assistant.kit.profile import Kit
from assistant.practice.slips import CAREFUL, CAUSE_OF, LEARNER


def test_no_pair_leaves_out_of_tolerance_while_readings_are_true(kit: Kit) -> None:
    tally = Tally()
    for seed in range(150):
        judged(Trial(kit, seed, LEARNER.only_hands()), tally)
    assert tally.of("outcome", "handed_over") > 120
    assert tally.of("handed over", OUT) == 0
    assert tally.under("good pair refused") == 0


def test_single_mistakes_are_named(kit: Kit) -> None:
    """The aims, 95 % first and 99 % among two, are measured on many more; so few may miss one or two."""
    tally = Tally()
    slips = tuple(CAUSE_OF)
    for seed in range(len(slips) * 12):
        named(Trial(kit, seed, CAREFUL, slips[seed % len(slips)]), tally)
    whole = tally.under("named")
    first = sum(tally.of("named", slip.value, "first") for slip in slips)
    second = sum(tally.of("named", slip.value, "second") for slip in slips)
    assert whole > 80
    assert first >= 0.90 * whole
    assert first + second >= 0.97 * whole
