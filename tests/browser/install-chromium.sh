#!/usr/bin/env bash
# Installs Debian's chromium for the browser tests, where it is missing; needs the right to install packages.
set -euo pipefail
if command -v chromium >/dev/null 2>&1; then
  chromium --version
  exit 0
fi
as_root=()
if [ "$(id -u)" -ne 0 ]; then as_root=(sudo); fi
"${as_root[@]}" apt-get update -qq
"${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium fonts-dejavu-core
chromium --version
