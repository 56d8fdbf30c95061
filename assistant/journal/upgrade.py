"""Bringing events of older schemas up to date.

A schema is the shape of the events. The frame around them (`codec.py`: schema, seq, at, bench, previous,
event, check) keeps its shape for ever, so that every record can be checked before it is understood. Old
lines are never rewritten: they are brought up to date each time they are read.

To change the events: raise `SCHEMA` by one, and add to `UPGRADES` under the old number a pure function
that takes an event of that schema, as a dict of plain JSON values, and returns a new dict of the next one.
A field that is left out of the line where it has its default (`DayOpened.brought`) leaves every other line as it was
and needs no new schema.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, Final

Plain = dict[str, Any]
Upgrade = Callable[[Plain], Plain]

SCHEMA: Final = 2


def _nothing_changed(event: Plain) -> Plain:
    """Schema 2 has one event more (`voice_tried`); those of schema 1 are as they were."""
    return event


UPGRADES: Final[Mapping[int, Upgrade]] = MappingProxyType({1: _nothing_changed})


class NoWayUp(LookupError):  # noqa: N818
    """No chain of upgrades leads from this schema to the wanted one."""


def upgraded(event: Plain, found: int, wanted: int, upgrades: Mapping[int, Upgrade]) -> Plain:
    """`event` of schema `found` as schema `wanted` has it; `event` itself is left alone.

    Raises `NoWayUp` if `found` is newer than `wanted` or a step on the way is not known.
    """
    if found > wanted:
        raise NoWayUp(found)
    for schema in range(found, wanted):
        if schema not in upgrades:
            raise NoWayUp(schema)
        event = upgrades[schema](dict(event))
    return event
