"""The books added up: the same in whatever order lines come, with a bench forgotten or never known."""

from itertools import permutations
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.hub.ledger import Difference, Ledger
from assistant.hub.story import CountedThere, Moved
from assistant.kit.profile import Kit

Told = tuple[str, int, Moved | CountedThere]
FACTS: list[Told] = [
    ("heron", 5, Moved(10.0, 3, -1)),
    ("crab", 4, CountedThere(11.0, 3, 0, by_supervisor=False)),
    ("turtle", 9, CountedThere(12.0, 3, 4, by_supervisor=True)),
    ("heron", 8, Moved(13.0, 3, -1)),
]


def test_the_book_is_the_same_in_whatever_order_lines_come(demo: Kit) -> None:
    found = set()
    for order in permutations(FACTS):
        ledger = Ledger(demo.bank)
        for bench, line, fact in order:
            ledger.take(bench, line, 0.0, (fact,))
        found.add((int(ledger.there[3]), ledger.differences))
    assert found == {(3, ())}


facts = st.lists(
    st.tuples(
        st.sampled_from(["heron", "crab", "turtle"]),
        st.integers(1, 50),
        st.one_of(
            st.builds(Moved, st.floats(0, 100), st.integers(0, 2), st.sampled_from([-1, 1])),
            st.builds(CountedThere, st.floats(0, 100), st.integers(0, 2), st.integers(0, 3), st.booleans()),
        ),
    ),
    max_size=12,
    unique_by=lambda fact: (fact[0], fact[1]),
)


@given(facts, st.randoms(use_true_random=False))
@settings(max_examples=100, deadline=None)
def test_any_order_of_any_facts_and_a_bench_forgotten(demo: Kit, told: list[Told], random: Random) -> None:
    def book(some: list[Told], without: str = "") -> tuple[list[int], tuple[Difference, ...]]:
        ledger = Ledger(demo.bank)
        for bench, line, fact in some:
            ledger.take(bench, line, 0.0, (fact,))
        if without:
            ledger.forget(without)
        return ledger.there.tolist(), ledger.differences

    shuffled = list(told)
    random.shuffle(shuffled)
    assert book(shuffled) == book(told)
    rest = [fact for fact in told if fact[0] != "crab"]
    assert book(shuffled, without="crab") == book(rest)
