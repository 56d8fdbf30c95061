"""One pure function for each picture of `workflow.pictures`: numbers in, a scene of shapes out."""

from collections.abc import Callable
from typing import Any

from assistant.ui.pictures import day, edge, keying, making, pair, results, voice
from assistant.ui.shapes import Scene
from assistant.workflow import pictures

# Any: each function takes its own picture, which a mapping's type cannot say.
_DRAWN: dict[type, Callable[[Any], Scene]] = {
    pictures.ClosedPicture: day.closed,
    pictures.HelperPicture: day.helper,
    pictures.LanguagePicture: day.language,
    pictures.SoundPicture: day.sound,
    pictures.VoicePicture: voice.voice,
    pictures.ZeroPicture: day.zero,
    pictures.ReferencePicture: day.reference,
    pictures.IndexPicture: day.index,
    pictures.CutterPicture: day.cutter,
    pictures.OrderPicture: pair.order,
    pictures.KeyOrderPicture: keying.key_order,
    pictures.PlanPicture: pair.plan,
    pictures.TrayPicture: making.tray,
    pictures.FocimeterPicture: making.focimeter,
    pictures.DotPicture: making.dots,
    pictures.ProtractorPicture: making.protractor,
    pictures.SlotPicture: edge.slot,
    pictures.PinPicture: edge.pin,
    pictures.FitPicture: edge.fit,
    pictures.SidePicture: pair.side,
    pictures.DistancePicture: pair.distance,
    pictures.VerdictPicture: results.verdict,
    pictures.RescuePicture: results.rescue,
    pictures.WearerPicture: pair.wearer,
    pictures.HandOverPicture: pair.hand_over,
    pictures.AccountPicture: pair.account,
    pictures.SupervisorPicture: results.supervisor,
    pictures.OutcomePicture: results.outcome,
}


def scene(picture: pictures.Picture) -> Scene:
    """The shapes of any picture, in a box of 170 by 100 world units."""
    return _DRAWN[type(picture)](picture)
