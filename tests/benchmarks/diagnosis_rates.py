"""How often an injected mistake is named: `python tests/benchmarks/diagnosis_rates.py [cases]`, on both kits.

Cases are lenses of the bank at random whole axes that fail the kit's standard after one mistake, with play,
half a degree of hand and 0.06 D of maker's error. `apart`: no other mistake with that lens reads alike, by
the diagnosis's own allowances; only there is being named first a fair demand.
"""

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

from assistant.kit.load import demo_kit, load_kit

TESTS = Path(__file__).parents[1]
SEED = 1


def simulation() -> ModuleType:
    """The simulated bench of the tests."""
    spec = importlib.util.spec_from_file_location("simulated", TESTS / "optics" / "test_diagnosis.py")
    if spec is None or spec.loader is None:
        raise ImportError("tests/optics/test_diagnosis.py cannot be loaded")
    module = importlib.util.module_from_spec(spec)
    sys.modules["simulated"] = module
    spec.loader.exec_module(module)
    return module


def main(cases: int) -> None:
    simulated = simulation()
    for kit in (demo_kit(), load_kit(TESTS / "kits" / "forty")):
        print(f"{kit.name}, {kit.standard}, {cases} cases a mistake, seed {SEED}")
        found = {fault: simulated.injected(kit, fault, cases, SEED) for fault in simulated.ONE_FAULT}
        for fault, r in found.items():
            apart = f"{r.apart_first / r.apart:.3f}" if r.apart else "-"
            print(
                f"  {fault:20} first {r.first / r.failed:.3f}  in two {r.in_two / r.failed:.3f}"
                f"  apart {r.apart:4}, first {apart}"
            )
        failed, apart = sum(r.failed for r in found.values()), sum(r.apart for r in found.values())
        print(
            f"  all {failed}: first {sum(r.first for r in found.values()) / failed:.4f},"
            f" in two {sum(r.in_two for r in found.values()) / failed:.4f};"
            f" apart {apart}: first {sum(r.apart_first for r in found.values()) / apart:.4f}"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
