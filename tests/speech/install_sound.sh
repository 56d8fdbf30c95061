#!/usr/bin/env bash
# A virtual microphone and speaker for the tests of sound: PulseAudio with null sinks, and PortAudio over it.
set -euo pipefail
apt-get install -y --no-install-recommends pulseaudio pulseaudio-utils libportaudio2 libasound2-plugins
