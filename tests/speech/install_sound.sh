#!/usr/bin/env bash
# A virtual microphone and speaker for the tests of sound: PulseAudio with null sinks, and PortAudio over it.
set -euo pipefail
apt-get update -q
apt-get install -q -y --no-install-recommends pulseaudio pulseaudio-utils libportaudio2 libasound2-plugins
