#!/usr/bin/env bash
# What the tests need beside npm packages, from Debian's packages: pty pairs and a browser.
set -euo pipefail
missing=()
command -v socat >/dev/null || missing+=(socat)
command -v chromium >/dev/null || missing+=(chromium)
[ ${#missing[@]} -eq 0 ] && exit 0
as_root=()
[ "$(id -u)" -eq 0 ] || as_root=(sudo)
echo "installing ${missing[*]} for the tests" >&2
"${as_root[@]}" apt-get update -q
DEBIAN_FRONTEND=noninteractive "${as_root[@]}" apt-get install -yq --no-install-recommends "${missing[@]}"
