"""A summary as one HTML page with plots. Pure."""

from collections.abc import Mapping, Sequence
from datetime import datetime

from assistant.replay.paper import SUMMARY, drawing, filled
from assistant.replay.summary import Summary
from assistant.replay.summary_plots import plots
from assistant.ui.sheets import Section


def summary_page(
    folder: str,
    made_at: datetime,
    summary: Summary,
    sections: Sequence[Section],
    budget_s: Mapping[str, float],
) -> str:
    """The page; its first table stands above the plots, the others below."""
    return filled(
        SUMMARY,
        title=f"{summary.sessions} sessions of {folder}",
        lead=f"Made {made_at:%Y-%m-%d %H:%M} from the benches' own records. Helpers are known by bench and picture.",
        first=sections[:1],
        drawings=[(caption, drawing(scene, caption)) for caption, scene in plots(summary, budget_s)],
        rest=sections[1:],
    )
