"""The record on disk: one line an event, chained, on disk before anything about it is shown.

`codec` lines and bytes, `head` and `reading` are pure; `disk` and `file` touch the disk; `events` binds
the codec to the bench's own events.
"""
