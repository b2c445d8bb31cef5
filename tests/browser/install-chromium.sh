#!/usr/bin/env bash
# Installs what the browser tests look and read with, where it is missing: Debian's chromium, and poppler-utils for what
# is printed. Needs the right to install packages.
set -euo pipefail
missing=()
command -v chromium >/dev/null 2>&1 || missing+=(chromium fonts-dejavu-core)
command -v pdftotext >/dev/null 2>&1 || missing+=(poppler-utils)
if [ "${#missing[@]}" -gt 0 ]; then
  as_root=()
  if [ "$(id -u)" -ne 0 ]; then as_root=(sudo); fi
  "${as_root[@]}" apt-get update -qq
  "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}"
fi
chromium --version
