"""What a C library writes to descriptor 2 does not reach the screen, and the screen is not lost with it."""

import os
import subprocess
import sys

CODE = """
import os, sys
from assistant.bench.terminal import kept_for_the_screen
with kept_for_the_screen():
    os.write(2, b"noise of a library")
    sys.__stderr__.write("screen ")
    sys.__stderr__.flush()
os.write(2, b"after")
"""


def test_noise_is_dropped_and_the_screen_is_kept() -> None:
    ran = subprocess.run([sys.executable, "-c", CODE], capture_output=True, check=True, env=os.environ)
    assert ran.stderr == b"screen after"
