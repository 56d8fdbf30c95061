#!/usr/bin/env bash
# PostgreSQL for the tests of the hub's store; they start a server of their own.
set -euo pipefail
apt-get update -q
apt-get install -q -y --no-install-recommends postgresql
