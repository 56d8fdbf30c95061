"""`assistant replay FILE --page OUT.html`: one day of a session as a page that needs nothing but a browser."""

import base64
from pathlib import Path

from assistant.optics.tolerance import STANDARDS
from assistant.replay.listing import Row, rows
from assistant.replay.moments import Moment
from assistant.replay.opening import open_session
from assistant.replay.page_drawings import times_drawing
from assistant.replay.page_story import Clip, ClipOf, visits, wrongs
from assistant.replay.paper import SESSION, drawing, filled, written
from assistant.replay.rehear import clip_path
from assistant.replay.viewing import Other, Viewing
from assistant.replay.wording import helper_sign, lasting
from assistant.ui.pictures import scene
from assistant.workflow.show import picture


def write_page(
    session: Path, page: Path, own_kit: Path | None = None, other: Other | None = None, day: str | None = None
) -> None:
    """Write the page of a session; of a record of several days, the one that is named.

    Raises `ValueError` for a day the record has not, `RecordError`, `KitError`.
    """
    row = _row_of(rows(open_session(session, own_kit)), day)
    viewing = Viewing.of(row, (), own_kit, other)
    written(page, page_of(row, viewing, clips_of(session)))


def page_of(row: Row, viewing: Viewing, clip_of: ClipOf) -> str:
    """The whole page."""
    told = () if viewing.empty else visits(viewing, clip_of)
    kit = viewing.opened.timeline.kit
    end = viewing.opened.timeline[viewing.day.last] if told else None
    facts = (
        ("bench", row.bench or "not known"),
        ("helper", ", ".join(helper_sign(helper) for helper in row.helpers) or "nobody"),
        ("day", row.day.date or "not opened"),
        ("pairs", row.outcome),
        ("time", lasting(row.seconds)),
        ("mistakes", str(row.mistakes)),
        ("kit", f"{kit.name} ({viewing.opened.kit_from}), judged by {STANDARDS[kit.standard].title}"),
        *((("compared with", viewing.under),) if viewing.under else ()),
    )
    return filled(
        SESSION,
        title=f"Session {row.name}",
        facts=facts,
        troubles=viewing.troubles,
        wrongs=tuple(wrongs(told)),
        times=drawing(times_drawing([visit.spent for visit in told]), "time on each step") if told else "",
        visits=told,
        last=None if end is None else drawing(scene(picture(end.after)), "what the bench shows at the end"),
    )


def clips_of(session: Path) -> ClipOf:
    """Recordings that lie beside the session, to be put into the page."""

    def clip_of(moment: Moment) -> Clip | None:
        name = None if moment.entry is None else moment.entry.clip
        if name is None:
            return None
        try:
            data = clip_path(session, name).read_bytes()
        except (OSError, ValueError) as error:
            return Clip(trouble=f"the recording {name} cannot be read: {error}")
        return Clip(f"data:audio/flac;base64,{base64.b64encode(data).decode('ascii')}")

    return clip_of


def _row_of(found: tuple[Row, ...], day: str | None) -> Row:
    if day is None and len(found) == 1:
        return found[0]
    dates = ", ".join(row.day.date for row in found)
    if day is None:
        raise ValueError(f"the record has {len(found)} days; name one with --day: {dates}")
    wanted = [row for row in found if row.day.date == day]
    if not wanted:
        raise ValueError(f"the record has no day {day}; allowed is {dates or 'none'}")
    return wanted[0]
