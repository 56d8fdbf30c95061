"""The long proof: many virtual pairs on two kits. `python tests/benchmarks/proof.py [pairs] [processes]`.

Half of the pairs with all mistakes of the hands at the learner's rates and true readings; a quarter with
misreadings too; a quarter with one planted mistake each. Prints Markdown tables, for docs/proof.md; interrupted
(Ctrl-C), those of the pairs made so far.
"""

import multiprocessing
import sys
import time
from collections.abc import Iterator
from functools import cache
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from trials import IN_STEP, OUT, WITHIN, Tally, Trial, judged, named, share

from assistant.kit.load import demo_kit, load_kit
from assistant.kit.profile import Kit
from assistant.practice.slips import CAREFUL, CAUSE_OF, LEARNER, Slip
from assistant.workflow.steps import BY_ID

KITS = ("demo", "forty")
PARTS = ("hands", "readings", "single")
BATCH = 100
Job = tuple[str, str, int]


@cache
def kit_of(name: str) -> Kit:
    return (
        demo_kit(BY_ID) if name == "demo" else load_kit(Path(__file__).parents[1] / "kits" / "forty", BY_ID)
    )


def batch(job: Job) -> tuple[str, str, Tally]:
    """One batch of trials; its seeds follow from its number, so that any run can be remade."""
    name, part, number = job
    kit, tally, singles = kit_of(name), Tally(), tuple(CAUSE_OF)
    for seed in range(number * BATCH, (number + 1) * BATCH):
        if part == "single":
            named(Trial(kit, seed, CAREFUL, singles[seed % len(singles)]), tally)
        else:
            judged(Trial(kit, seed, LEARNER if part == "readings" else LEARNER.only_hands()), tally)
    return name, part, tally


def jobs(pairs: int) -> Iterator[Job]:
    batches = max(1, pairs // len(KITS) // BATCH // 4)
    for number in range(batches):
        for name in KITS:
            for part in ("hands", "hands ", "readings", "single"):
                yield name, part.strip(), number * 2 + (part == "hands ")


def main(arguments: list[str]) -> None:
    pairs = int(arguments[0]) if arguments else 100_000
    processes = int(arguments[1]) if len(arguments) > 1 else multiprocessing.cpu_count()
    tallies = {(name, part): Tally() for name in KITS for part in PARTS}
    work, started = list(jobs(pairs)), time.monotonic()
    try:
        with multiprocessing.Pool(processes) as pool:
            for done, (name, part, tally) in enumerate(pool.imap_unordered(batch, work), start=1):
                tallies[name, part].merge(tally)
                if done % 20 == 0 or done == len(work):
                    told(done, len(work), time.monotonic() - started)
    except KeyboardInterrupt:
        print(f"interrupted; {pairs} pairs were wanted", file=sys.stderr)
    report(tallies, time.monotonic() - started)


def told(done: int, of: int, spent_s: float) -> None:
    left = spent_s / done * (of - done)
    print(f"{done * BATCH} pairs, {spent_s:.0f} s, {left:.0f} s left", file=sys.stderr)


def report(tallies: dict[tuple[str, str], Tally], seconds: float) -> None:
    whole = sum(tally.of("pairs") for tally in tallies.values())
    print(f"{whole} pairs in {seconds:.0f} s.\n")
    for (name, part), tally in tallies.items():
        print(f"### Kit {name}, {part}\n")
        overall(tally)
        if part == "single":
            naming(tally)
        else:
            catching(tally)


def overall(tally: Tally) -> None:
    pairs, over = tally.of("pairs"), tally.of("outcome", "handed_over")
    lost, rescued = tally.of("lenses lost"), tally.under("rescues")
    rows = [
        ("pairs", str(pairs)),
        ("handed over", share(over, pairs)),
        ("returned to the clinician", share(tally.of("outcome", "returned"), pairs)),
        ("given up", share(tally.of("outcome", "abandoned"), pairs)),
        ("handed over out of tolerance", share(tally.of("handed over", OUT), over)),
        ("handed over within half a step beyond it", share(tally.of("handed over", IN_STEP), over)),
        ("good pairs refused at a check", share(tally.under("good pair refused"), tally.under("checks"))),
        ("mistakes made", str(tally.of("slips"))),
        ("lenses lost", share(lost, lost + tally.of("lenses used"))),
        ("lenses lost had nothing been rescued", share(lost + rescued, lost + tally.of("lenses used"))),
        ("of these by a second slot", str(tally.of("rescues", "second_slot"))),
    ]
    print("| | |\n|---|---|")
    print("\n".join(f"| {what} | {count} |" for what, count in rows), "\n")


def catching(tally: Tally) -> None:
    steps = ("fetch", "read", "mark", "cut", "trim", "fit", "check", "harmless", "given up", "not caught")
    print("| mistake | made | " + " | ".join(steps) + " |\n|---" * 1 + "|---" * (len(steps) + 1) + "|")
    for slip in Slip:
        made = tally.under("caught", slip.value)
        if made:
            cells = [str(tally.of("caught", slip.value, step) or "") for step in steps]
            print(f"| {slip.value} | {made} | " + " | ".join(cells) + " |")
    print()


def naming(tally: Tally) -> None:
    print("| mistake | failed the check | named first | among two | instead |\n|---|---|---|---|---|")
    totals = [0, 0, 0]
    for slip in CAUSE_OF:
        first, second = (tally.of("named", slip.value, place) for place in ("first", "second"))
        whole = tally.under("named", slip.value)
        totals = [a + b for a, b in zip(totals, (whole, first, first + second), strict=True)]
        instead = [(n, key[2]) for key, n in tally.counts.items() if key[:2] == ("instead", slip.value)]
        said = ", ".join(f"{what} {n}" for n, what in sorted(instead, reverse=True)[:4])
        print(f"| {slip.value} | {whole} | {share(first, whole)} | {share(first + second, whole)} | {said} |")
    print(f"| all | {totals[0]} | {share(totals[1], totals[0])} | {share(totals[2], totals[0])} | |\n")
    print(f"Truth of pairs handed over: {tally.of('handed over', WITHIN)} within tolerance.\n")


if __name__ == "__main__":
    main(sys.argv[1:])
