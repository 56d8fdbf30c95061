"""What tests of whole pairs look at: what was said, how pairs ended, and that nothing of the stock is left over."""

from hands import Hands

from assistant.workflow.effects import Say, Signal, Tone


def said(hands: Hands) -> list[str]:
    return [effect.text_id for effect in hands.effects[-1] if isinstance(effect, Say)]


def signals(hands: Hands) -> list[Tone]:
    return [effect.tone for effect in hands.effects[-1] if isinstance(effect, Signal)]


def outcomes(hands: Hands) -> list[str]:
    return [done.outcome for done in hands.bench.closed]


def finish(hands: Hands) -> None:
    hands.until("hand_over")
    hands.step()
    assert hands.bench.pair is None
    assert int(hands.bench.stock.out.sum()) == 0
    assert int(hands.bench.stock.promised.sum()) == 0


def code(hands: Hands) -> str:
    return hands.bench.kit.supervisor_codes[0]
