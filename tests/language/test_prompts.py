"""Every code of the program has its sentence in every language, and no sentence holds a figure."""

import inspect
import re
from pathlib import Path

import pytest

import assistant
from assistant.language.lexicon import LANGUAGES
from assistant.language.lexicon_file import LanguageError
from assistant.language.listening import Listening
from assistant.language.parse import Unheard
from assistant.language.prompts import PromptError, Spoken, Talk, prompts, read_prompts, say, worded
from assistant.optics import diagnosis
from assistant.optics.faults import CauseCode
from assistant.optics.rescue import RescueKind
from assistant.workflow.checking import PAIR_CODES
from assistant.workflow.present import spoken_args
from assistant.workflow.reasons import REASONS
from assistant.workflow.steps import STEPS

FIGURES = {
    "frame": 58.0,
    "pocket": 417,
    "setting": 175.0,
    "depth": 0.8,
    "length": 0.7,
    "low": -25.0,
    "high": 60.0,
}
SAMPLES: dict[str, Spoken | str] = {
    **spoken_args({**FIGURES, "count": 2}),
    "number": Spoken("digits", "74"),
    "room": "bad",
    "value": Spoken(Listening.POWER, -2.25),
}
"""A value for every variable that a sentence may use, besides the eye."""

KEYED_ORDER = ("case", "eyes", "purpose", "sphere", "cylinder", "axis", "pd", "right_pd", "left_pd", "vertex")
QUESTIONS = ("plan", "help", "wearer", "stuck")
WEARER = ("not_comfortable", "acuity_low")


def program_text(room: str = ".") -> str:
    """The program's own source, all of it or of one room."""
    root = Path(inspect.getfile(assistant)).parent / room
    return "\n".join(path.read_text("utf-8") for path in sorted(root.rglob("*.py")))


def ids_wanted() -> set[str]:
    text = program_text()
    steps = [*(step.id for step in STEPS), "closed"]
    refused = re.findall(r"""(?:refused\(\s*\S.*?,|Refusal\()\s*"(\w+)\"""", program_text("workflow"))
    return {
        *(worded(f"step-{step}", talk) for step in steps for talk in Talk),
        *(f"field-{field.name}" for step in STEPS for field in step.fields),
        *(f"field-{name}" for name in KEYED_ORDER),
        *(f"refused-{code}" for code in (*refused, *Unheard, *WEARER, *PAIR_CODES)),
        *(f"cause-{code}" for code in (*CauseCode, *PAIR_CODES)),
        *(f"rescue-{kind}" for kind in RescueKind),
        *(f"reason-{code}" for code in (*REASONS, *WEARER)),
        *(f"question-{code}" for code in QUESTIONS),
        *re.findall(r'"(ask-[a-z-]+)"', inspect.getsource(diagnosis)),
        *re.findall(r'\bSay\("([\w-]+)"', text),
        "safety",
    }


def test_the_search_for_codes_finds_what_is_known_to_be_there() -> None:
    assert {"refused-check_number_wrong", "refused-needs_sign", "ask-scale", "taken-back"} <= ids_wanted()
    assert len(ids_wanted()) > 150


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_id_is_missing(language: str) -> None:
    assert ids_wanted() - set(prompts(language).uses) == set()


@pytest.mark.parametrize("language", LANGUAGES)
def test_all_languages_say_the_same_things_with_the_same_figures(language: str) -> None:
    english, other = prompts("en"), prompts(language)
    assert set(other.uses) == set(english.uses)
    for text_id in english.uses:
        assert other.needs(text_id) == english.needs(text_id), text_id


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_sentence_in_every_form_is_words_alone(language: str) -> None:
    for text_id in prompts(language).uses:
        for eye in ("right", "left"):
            assert re.fullmatch(r"[^\d{}+−<>=]+", say(text_id, language, eye=eye, **SAMPLES)), text_id
        variables, optional = prompts(language).needs(text_id)
        without = {name: value for name, value in SAMPLES.items() if name in variables - optional}
        assert "none" not in say(text_id, language, eye="right", **without).split()


@pytest.mark.parametrize("language", LANGUAGES)
def test_right_and_left_differ_wherever_an_eye_is_named(language: str) -> None:
    for text_id in prompts(language).uses:
        if "eye" in prompts(language).needs(text_id)[0]:
            assert say(text_id, language, eye="right", **SAMPLES) != say(
                text_id, language, eye="left", **SAMPLES
            )


@pytest.mark.parametrize("language", LANGUAGES)
def test_blind_steps_name_the_eye_at_most(language: str) -> None:
    for step in STEPS:
        if step.blind:
            for talk in Talk:
                assert prompts(language).needs(worded(f"step-{step.id}", talk))[0] <= {"eye"}


@pytest.mark.parametrize("language", [code for code in LANGUAGES if code != "en"])
def test_nothing_is_left_in_english(language: str) -> None:
    for text_id in set(prompts("en").uses) - {"read-back"}:
        english, other = (say(text_id, code, eye="right", **SAMPLES) for code in ("en", language))
        assert english != other, text_id


def test_a_sentence_with_its_figures() -> None:
    pocket = Spoken("digits", "417")
    assert say("short-step-fetch", "en", eye="left", pocket=pocket) == "left eye, pocket four one seven."
    assert say("short-step-fetch", "sw", eye="right", pocket=pocket) == "jicho la kulia, mfuko nne moja saba."


def test_a_figure_that_there_is_not_has_its_own_form() -> None:
    assert say("short-step-mark", "en") == "Mark anywhere."
    assert say("short-step-mark", "en", setting=Spoken("axis", 10)) == "Dots to ten."


def test_amounts_of_talk() -> None:
    assert [worded("step-dot", talk) for talk in Talk] == ["learner-step-dot", "step-dot", "short-step-dot"]
    assert worded("taken-back", Talk.TERSE) == "taken-back"


@pytest.mark.parametrize(
    ("text_id", "args", "named"),
    [
        ("step-nothing", {}, "step-nothing"),
        ("step-fetch", {"eye": "right"}, "step-fetch: needs pocket"),
        ("read-back", {"value": "2.25"}, "holds a digit"),
    ],
)
def test_what_cannot_be_said_is_named(text_id: str, args: dict[str, str], named: str) -> None:
    with pytest.raises(PromptError, match=named):
        say(text_id, "en", **args)


def test_an_unknown_language_names_those_there_are() -> None:
    with pytest.raises(LanguageError, match=r"'xx'.*en, pt, fr, sw"):
        say("taken-back", "xx")


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("a = One.\nb = { $x\n", r"xx.ftl, line 2: not a Fluent message"),
        ("a = One.\na = Two.\n", r"xx.ftl, a: given twice"),
        ("a = { b }\n", r"xx.ftl, a: there is no message b"),
    ],
)
def test_a_faulty_file_names_the_place(text: str, named: str) -> None:
    with pytest.raises(PromptError, match=named):
        read_prompts(text, "xx")
