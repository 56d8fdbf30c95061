"""How long choosing for both eyes takes: `python tests/benchmarks/choice.py [repeats]`. Not a test.

Banks of 1,200 and 100,000 rows: one as a case would be packed (quarter steps, several pockets of a power),
and one of random powers no two alike, from which a hole is cut round each need so that nothing is near.
"""

import statistics
import sys
import time
from collections.abc import Iterator

import numpy as np

from assistant.optics.choice import Shelf, choose
from assistant.optics.power import Power
from assistant.optics.tolerance import STANDARDS


def quarter_bank(rows: int, rng: np.random.Generator) -> Shelf:
    sphere = np.round(np.clip(rng.laplace(0.0, 3.0, rows), -14, 14) * 4) / 4
    cylinder = np.round(np.clip(-rng.exponential(1.0, rows), -4, 0) * 4) / 4
    return Shelf(sphere, cylinder, rng.integers(0, 5, rows))


def random_bank(rows: int, rng: np.random.Generator) -> Shelf:
    return Shelf(rng.uniform(-14, 14, rows), rng.uniform(-4, 0, rows), rng.integers(1, 5, rows))


def with_hole(shelf: Shelf, needed: Power, radius_d: float) -> Shelf:
    mean = shelf.sphere + shelf.cylinder / 2 - needed.mean
    far = np.hypot(mean, (shelf.cylinder - needed.cylinder) / 2) > radius_d
    return Shelf(shelf.sphere, shelf.cylinder, shelf.available * far)


def orders(count: int, rng: np.random.Generator) -> Iterator[tuple[Power, Power]]:
    for _ in range(count):
        sphere, cylinder = rng.uniform(-6, 6), -rng.uniform(0.1, 2.5)
        axis, other = rng.uniform(1, 180, 2)
        yield Power(sphere, cylinder, axis), Power(sphere + rng.normal(0, 0.4), cylinder, other)


def milliseconds(shelf: Shelf, pairs: list[tuple[Power, Power]], hole_d: float) -> list[float]:
    taken = []
    for right, left in pairs:
        holed = with_hole(with_hole(shelf, right, hole_d), left, hole_d) if hole_d else shelf
        start = time.perf_counter()
        choose(right, left, holed, standard=STANDARDS["ansi_z80_1_2015"], most_blur_d=0.5)
        taken.append((time.perf_counter() - start) * 1000)
    return taken


def main(repeats: int) -> None:
    rng = np.random.default_rng(7)
    pairs = list(orders(repeats, rng))
    for rows in (1_200, 100_000):
        for name, shelf, hole_d in (
            ("quarter steps", quarter_bank(rows, rng), 0.0),
            ("all different", random_bank(rows, rng), 0.0),
            ("all different, nothing within 0.4 D", random_bank(rows, rng), 0.4),
        ):
            taken = milliseconds(shelf, pairs, hole_d)
            print(
                f"{rows:>7,} rows, {name:<36} median {statistics.median(taken):7.2f} ms,"
                f" worst {max(taken):7.2f} ms of {repeats}"
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
