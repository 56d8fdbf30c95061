"""The program with this computer's clock set wrong: `python tests/off_clock.py SECONDS bench …`."""

import sys
import time

from assistant.cli import main

_right = time.time

if __name__ == "__main__":
    off_s = float(sys.argv[1])
    time.time = lambda: _right() + off_s
    sys.exit(main(sys.argv[2:]))
