"""The supervisor's board: every bench, the questions that wait, the day; on a screen or line by line.

`telling` is pure; `desk` is the one way to the hub; `screen` and its parts show, `plain` prints.
"""
