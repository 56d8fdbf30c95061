"""One practice pair as a helper meets it: what lies on the virtual bench, finding the mistake, the score.

Pure but for `progress.py`. The command puts it behind the bench's own screen.
"""
