"""Questions for the supervisor, pairs given up, the way out, and what may be taken back."""

from hands import Hands, hands_on, order_of
from made_pairs import code, finish, outcomes, said

from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.workflow.effects import Ask, Leave
from assistant.workflow.events import (
    AskedAgain,
    HelpAsked,
    SupervisorAnswered,
    TakenBack,
)
from assistant.workflow.plan import Grade


def test_the_wearer_who_sees_badly_is_the_supervisor_s_question(hands: Hands) -> None:
    hands.until("wearer")
    hands.key("+")
    hands.key("60")
    assert hands.bench.question is not None
    assert any(isinstance(effect, Ask) for effect in hands.effects[-1])
    hands.send(SupervisorAnswered(at=hands.tick(), yes=True, code=code(hands)))
    assert hands.bench.current.step == "hand_over"


def test_a_wearer_served_badly_in_two_ways_is_asked_about_for_both(hands: Hands) -> None:
    hands.until("wearer")
    hands.key("-")
    hands.key("60")
    assert hands.bench.question is not None
    assert hands.bench.question.reasons == ("not_comfortable", "acuity_low")


def test_a_substitute_granted_for_one_eye_grants_none_for_the_other(other_kit: Kit) -> None:
    hands = hands_on(other_kit, order_of("-6.25/-2.25x30", "-6.00/-2.00x165"))

    def granted() -> None:
        hands.until("supervisor")
        assert hands.bench.question is not None
        assert "substitute" in hands.bench.question.reasons
        hands.send(SupervisorAnswered(at=hands.tick(), yes=True, code=code(hands)))

    granted()
    plan = hands.bench.the_pair.plan
    assert (plan.right.grade, plan.left.grade) == (Grade.SUBSTITUTE, Grade.EXACT)
    hands.until("fit")
    hands.step()
    assert hands.bench.current == ("fetch", Eye.LEFT)
    hands.key("-")
    assert hands.bench.the_pair.plan.left.grade is Grade.SUBSTITUTE
    granted()
    finish(hands)


def test_a_wrong_code_decides_nothing(hands: Hands) -> None:
    hands.until("dot")
    hands.send(HelpAsked(at=hands.tick()))
    hands.key("99999999")
    hands.key("-")
    assert "refused-code_wrong" in said(hands)
    assert hands.bench.pair is not None
    assert hands.bench.question is not None


def test_help_may_be_called_off_by_backspace(hands: Hands) -> None:
    hands.until("dot")
    before = hands.bench.current
    hands.send(HelpAsked(at=hands.tick()))
    assert hands.bench.current.step == "supervisor"
    hands.send(TakenBack(at=hands.tick()))
    assert hands.bench.current == before


def test_a_pair_given_up_accounts_for_its_lenses(hands: Hands) -> None:
    hands.until("trim")
    hands.send(HelpAsked(at=hands.tick()))
    hands.key(code(hands))
    hands.key("-")
    assert hands.bench.current == ("account", Eye.RIGHT)
    hands.key("+")
    assert outcomes(hands) == ["abandoned"]
    assert len(hands.bench.stock.blanks) == 1
    assert int(hands.bench.stock.promised.sum()) == 0


def test_an_uncut_lens_goes_back_to_its_pocket(hands: Hands) -> None:
    hands.until("dot")
    before = hands.bench.stock.there.sum()
    hands.send(HelpAsked(at=hands.tick()))
    hands.key(code(hands))
    hands.key("-")
    hands.key("+")
    assert hands.bench.stock.there.sum() == before + 1
    assert not hands.bench.stock.blanks


def test_only_the_supervisor_leaves(hands: Hands) -> None:
    hands.until("dot")
    hands.send(HelpAsked(at=hands.tick()))
    hands.key(code(hands))
    effects = hands.key("0")
    assert any(isinstance(effect, Leave) for effect in effects)
    assert hands.bench.current.step == "dot"


def test_the_last_entry_is_taken_back_and_nothing_is_erased(hands: Hands) -> None:
    hands.until("read")
    hands.step()
    hands.send(TakenBack(at=hands.tick()))
    assert hands.bench.entries == ()
    count = len(hands.events)
    finish(hands)
    assert len(hands.events) > count


def test_backspace_crosses_one_step_and_no_more(hands: Hands) -> None:
    hands.until("mark")
    for _ in range(5):
        hands.send(TakenBack(at=hands.tick()))
    assert hands.bench.current.step == "dot"


def test_a_closed_pair_stays_closed(hands: Hands) -> None:
    finish(hands)
    hands.send(TakenBack(at=hands.tick()))
    assert hands.bench.pair is None
    assert outcomes(hands) == ["handed_over"]


def test_asking_again_changes_nothing(hands: Hands) -> None:
    hands.until("mark")
    before = hands.bench
    hands.send(AskedAgain(at=hands.tick()))
    assert hands.bench is before
