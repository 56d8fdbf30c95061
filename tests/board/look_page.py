"""The board's page as PNG to look at, on a tablet held either way, in colour and in grey: `... DIR`."""

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from full_board import morning
from served_boat import served_boat
from tablet import LYING, STANDING, Tablet


def look(folder: Path) -> None:
    with tempfile.TemporaryDirectory() as home, tempfile.TemporaryDirectory() as profile:
        tablet = Tablet(Path(profile))
        try:
            for benches in (4, 9):
                Path(home, str(benches)).mkdir()
                with served_boat(morning(Path(home, str(benches)), benches)) as served:
                    tablet.opened(served.address)
                    for way, size in (("lying", LYING), ("standing", STANDING)):
                        tablet.sized(size)
                        for grey in (False, True):
                            path = folder / f"page-{way}-{benches}{'-grey' if grey else ''}.png"
                            tablet.photograph(path, grey)
                            print(path)
        finally:
            tablet.close()


if __name__ == "__main__":
    target = Path(sys.argv[1])
    target.mkdir(parents=True, exist_ok=True)
    look(target)
