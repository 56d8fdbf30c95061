#!/usr/bin/env bash
# A headless browser for the tests of the board's page: Chromium and its driver from Debian.
set -euo pipefail
command -v chromium >/dev/null && command -v chromedriver >/dev/null && exit 0
apt-get update -q
apt-get install -q -y --no-install-recommends chromium chromium-driver fonts-dejavu-core
