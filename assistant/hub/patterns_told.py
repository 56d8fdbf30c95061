"""Patterns in words: a fault of the kit, of an instrument, or a person who needs help. Pure."""

from assistant.hub.views import PatternView
from assistant.optics.patterns import Pattern, PatternCode

_ABOUT = {
    PatternCode.INDEX_NOT_AT_PIN: "kit",
    PatternCode.INSTRUMENT_OFFSET: "instrument",
    PatternCode.GROWING_SPREAD: "person",
}
_WHAT = {
    "kit": "Kit fault: lenses are marked as if the pin were elsewhere",
    "instrument": "Instrument fault: focimeter or protractor is off",
    "person": "A person needs help: the axes are getting looser",
}
_TODO = {
    "kit": "Look where the protractor's nose mark is drawn, and what kit.toml says of it.",
    "instrument": "Do the start-of-day checks of this bench again with the test lens and the test line.",
    "person": "Watch one pair with this helper, and let them rest.",
}


def pattern_view(pattern: Pattern) -> PatternView:
    about = _ABOUT[pattern.code]
    return PatternView(
        about=about,
        bench=pattern.bench,
        helper=pattern.helper,
        what=_WHAT[about],
        evidence=_evidence(pattern),
        sure=pattern.confidence,
        todo=_TODO[about],
    )


def _evidence(pattern: Pattern) -> str:
    lenses = f"over {pattern.lenses} lenses"
    if pattern.code is PatternCode.GROWING_SPREAD:
        return (
            f"axis usually {pattern.plus_minus_deg:.1f}° off at first,"
            f" {pattern.amount_deg:.1f}° off lately, {lenses}"
        )
    steady = f"{pattern.amount_deg:+.1f}° (give or take {pattern.plus_minus_deg:.1f}°)"
    if pattern.code is PatternCode.INDEX_NOT_AT_PIN:
        return f"right axes turned {steady}, left axes as much the other way, {lenses}"
    return f"axes of both eyes turned {steady} the same way, {lenses}"


def sentence(view: PatternView) -> str:
    """The whole of it in one line."""
    where = "all benches" if view.bench is None else f"bench {view.bench}"
    who = "" if view.helper is None else f", helper {view.helper}"
    return f"{where}{who}. {view.what}: {view.evidence}; {sure(view)} sure. {view.todo}"


def sure(view: PatternView) -> str:
    """As a share that never claims to be certain."""
    return "over 99.9 %" if view.sure > 0.999 else f"{100.0 * view.sure:.1f} %"
