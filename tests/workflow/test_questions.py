"""A supervisor who comes to the bench is told in words what is asked, and why; also after a power cut."""

from hands import Hands, hands_on, order_of

from assistant.bench.captions import caption
from assistant.kit.profile import Kit
from assistant.language.lexicon import LANGUAGES
from assistant.workflow.effects import Effect, Say
from assistant.workflow.events import HelpAsked
from assistant.workflow.pictures import PlanPicture
from assistant.workflow.plan import Verdict
from assistant.workflow.present import present
from assistant.workflow.show import picture
from assistant.workflow.state import Question


def said(effects: tuple[Effect, ...]) -> list[str]:
    """Prompt ids; each has its words in every language."""
    says = [effect for effect in effects if isinstance(effect, Say)]
    assert all(caption(say, language) for say in says for language in LANGUAGES)
    return [say.text_id for say in says]


def test_a_plan_s_question_comes_with_its_reasons(kit: Kit) -> None:
    hands = hands_on(kit, order_of("-2.00/-1.00x30", "+1.50"))
    hands.until("plan")
    hands.step()
    told = said(hands.effects[-1])
    assert told[0] == "question-plan"
    assert {"reason-sphere_signs_differ", "reason-unequal_powers"} <= set(told)
    assert told[-2:] == ["step-supervisor", "field-code"]
    assert said(present(hands.bench)) == told


def test_a_pair_that_keeps_failing_comes_with_its_causes(kit: Kit) -> None:
    hands = hands_on(kit, order_of("-1.00/-2.00x30", "-1.00/-2.00x150"))
    hands.wrong = {("check", "right", "axis"): ["70"] * 9}
    hands.until("supervisor")
    while hands.bench.question == Question("plan", ("substitute",)):
        for text in (kit.supervisor_codes[0], "+"):
            hands.key(text)
        hands.until("supervisor")
    assert said(hands.effects[-1])[:2] == ["question-stuck", "cause-turned_in_rim"]


def test_an_order_that_cannot_be_made_goes_back_with_its_reason(kit: Kit) -> None:
    """A frame would be there, but nobody is told to take it; and nothing was well done."""
    hands = hands_on(kit, order_of("-20.00", "-1.50"))
    hands.until("plan")
    assert hands.bench.the_pair.plan.frame is not None
    told = said(hands.effects[-1])
    assert "reason-no_lens" in told
    assert told[-1] == "step-plan"
    step = next(e for e in hands.effects[-1] if isinstance(e, Say) and e.text_id == "step-plan")
    assert "frame" not in step.args
    assert picture(hands.bench) == PlanPicture(Verdict.RETURN, None, None, None)
    hands.step()
    assert said(hands.effects[-1])[0] == "returned"


def test_an_order_that_the_supervisor_sends_back_is_not_well_done(kit: Kit) -> None:
    hands = hands_on(kit, order_of("-2.00/-1.00x30", "+1.50"))
    hands.until("plan")
    hands.step()
    hands.key(kit.supervisor_codes[0])
    hands.key("-")
    assert said(hands.effects[-1])[0] == "returned"


def test_a_pair_given_up_before_a_lens_was_fetched_is_not_well_done(hands: Hands) -> None:
    hands.until("fetch")
    hands.send(HelpAsked(at=hands.tick()))
    hands.key(hands.bench.kit.supervisor_codes[0])
    hands.key("-")
    assert said(hands.effects[-1])[0] == "abandoned"


def test_a_wearer_s_question_comes_with_both_its_reasons(hands: Hands) -> None:
    hands.until("wearer")
    hands.key("-")
    hands.key("60")
    told = said(hands.effects[-1])
    assert told[:3] == ["question-wearer", "reason-not_comfortable", "reason-acuity_low"]


def test_a_wrong_code_does_not_tell_it_all_again(hands: Hands) -> None:
    hands.until("wearer")
    hands.key("-")
    hands.key("6")
    hands.key("99999999")
    hands.key("+")
    assert said(hands.effects[-1]) == ["refused-code_wrong", "step-supervisor", "field-code"]


def test_a_call_for_help_is_no_question_of_the_program_s(hands: Hands) -> None:
    hands.until("dot")
    assert said(hands.send(HelpAsked(at=hands.tick()))) == ["step-supervisor", "field-code"]
