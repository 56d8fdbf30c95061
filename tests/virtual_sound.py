"""A sound card that is not there: PulseAudio with two null sinks.

What is played into `mouth` comes out of the bench's microphone; what the bench plays goes into `speaker`,
whose monitor the tests record.
"""

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest

from assistant.speech import devices
from assistant.speech.errors import SpeechError
from assistant.speech.sound import Sound, write_sound

NEEDED = ("pulseaudio", "pactl", "paplay", "parec")
RATE_HZ = 16000
_ALSA = "</usr/share/alsa/alsa.conf>\npcm.!default { type pulse }\nctl.!default { type pulse }\n"


def why_not() -> str:
    """Why there can be no virtual sound here; empty where there can."""
    missing = [name for name in NEEDED if shutil.which(name) is None]
    if missing:
        return f"{', '.join(missing)} not installed; run tests/speech/install_sound.sh as root"
    try:
        devices.sound_library()
    except SpeechError as error:
        return str(error)
    return ""


class VirtualSound:
    """One PulseAudio server of its own, in `folder`. `start` and `stop` plug it in and out."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._run = folder / "run"
        self._run.mkdir(mode=0o700)
        config = folder / "asound.conf"
        config.write_text(_ALSA)
        socket = self._run / "native"
        self.environment = {
            "XDG_RUNTIME_DIR": str(self._run),
            "PULSE_RUNTIME_PATH": str(self._run / "pulse"),
            "PULSE_STATE_PATH": str(folder / "state"),
            "PULSE_LATENCY_MSEC": "20",  # a null sink hands over two seconds at a time otherwise
            "PULSE_SERVER": f"unix:{socket}",
            "ALSA_CONFIG_PATH": str(config),
        }
        self._modules = [
            f"module-native-protocol-unix socket={socket} auth-anonymous=1",
            # without rewinding a null sink plays ahead by 50 ms, as a sound card does, and not by two seconds
            f"module-null-sink sink_name=mouth rate={RATE_HZ} norewinds=1",
            f"module-null-sink sink_name=speaker rate={RATE_HZ} norewinds=1",
        ]
        self._server: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        loads = [word for module in self._modules for word in ("-L", module)]
        command = ["pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1", "--use-pid-file=no", *loads]
        self._server = subprocess.Popen(
            command, env=os.environ | self.environment, stderr=subprocess.DEVNULL, stdout=subprocess.DEVNULL
        )
        self._control("set-default-sink", "speaker")
        self._control("set-default-source", "mouth.monitor")

    def stop(self) -> None:
        if self._server is not None:
            self._server.kill()
            self._server.wait()
        self._server = None

    def speak(self, sound: Sound) -> None:
        """Say something into the microphone, to the end."""
        path = self.folder / "said.wav"
        write_sound(path, sound)
        subprocess.run(["paplay", "--device=mouth", str(path)], check=True, env=os.environ | self.environment)

    @contextmanager
    def recorded(self) -> Iterator[list[Sound]]:
        """What the bench plays meanwhile; the list holds it when the block is left."""
        path = self.folder / "played.raw"
        options = ["--device=speaker.monitor", f"--rate={RATE_HZ}", "--channels=1", "--format=s16le", "--raw"]
        sounds: list[Sound] = []
        with path.open("wb") as out:
            recorder = subprocess.Popen(
                ["parec", "--latency-msec=20", *options], stdout=out, env=os.environ | self.environment
            )
            try:
                while not path.stat().st_size:  # it records from the first byte on
                    if recorder.poll() is not None:
                        raise RuntimeError("parec ended")
                yield sounds
            finally:
                recorder.terminate()
                recorder.wait()
        sounds.append(Sound(np.frombuffer(path.read_bytes(), np.int16), RATE_HZ))

    def _control(self, *words: str) -> None:
        """Tell the server, waiting for it to answer."""
        for _ in range(200):
            told = subprocess.run(["pactl", *words], capture_output=True, env=os.environ | self.environment)
            if told.returncode == 0:
                return
        raise RuntimeError(f"pactl {' '.join(words)}: {told.stderr.decode().strip()}")


def plugged_in(folder: Path) -> Iterator[VirtualSound]:
    """For fixtures: a virtual sound card in use; skips the test where there can be none."""
    if reason := why_not():
        pytest.skip(reason)
    made = VirtualSound(folder)
    with pytest.MonkeyPatch.context() as patch:
        for name, value in made.environment.items():
            patch.setenv(name, value)
        patch.setattr(devices, "LOOK_AGAIN_S", 0.0)  # it may look as often as the tests plug and unplug
        made.start()
        devices.look_again()
        yield made
        made.stop()
