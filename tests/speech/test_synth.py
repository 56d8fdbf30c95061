"""A clip is whole before it is spoken or kept, whatever the engine and the disk did to it."""

import pytest

from assistant.speech.synth import Synthesiser
from assistant.speech.synth_child import TRIES, whole

GOOD, OTHER = bytes(20_000), bytes(20_060)


def test_a_clip_is_taken_when_another_is_as_long() -> None:
    clips = iter([GOOD, OTHER])
    assert whole(lambda: next(clips)) == OTHER


@pytest.mark.parametrize("size", [0, 44, 9_000])
def test_an_empty_or_cut_clip_is_made_again(size: int) -> None:
    clips = iter([bytes(size), GOOD, bytes(size // 2), OTHER])
    assert len(whole(lambda: next(clips))) == len(OTHER)


def test_clips_that_never_agree_are_an_error_that_tells_their_lengths() -> None:
    clips = iter([bytes(1000 * 2**n) for n in range(TRIES)])
    with pytest.raises(RuntimeError, match="no two of 6 clips were alike"):
        whole(lambda: next(clips))


def test_nothing_but_empty_clips_is_an_error() -> None:
    with pytest.raises(RuntimeError, match="alike"):
        whole(lambda: bytes(44))


def test_a_damaged_clip_in_the_cache_is_made_anew(synthesiser: Synthesiser) -> None:
    before = synthesiser.render("twenty one", "en")
    kept = max(synthesiser.cache.glob("*.flac"), key=lambda path: path.stat().st_mtime_ns)
    kept.write_bytes(b"torn")
    again = synthesiser.render("twenty one", "en")
    assert again.seconds == pytest.approx(before.seconds, rel=0.02)
    assert kept.stat().st_size > 1000
