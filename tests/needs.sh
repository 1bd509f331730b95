#!/usr/bin/env bash
# What the tests need beside npm packages, from Debian's packages: pty pairs, a browser, an MQTT broker, a
# decoder of sentences that is none of ours, and systemd's judge of units (it need not run).
set -euo pipefail
missing=()
command -v socat >/dev/null || missing+=(socat)
[ -x /usr/sbin/mosquitto ] || missing+=(mosquitto)
/usr/bin/python3 -c "import pynmea2" 2>/dev/null || missing+=(python3 python3-nmea2)
command -v systemd-analyze >/dev/null || missing+=(systemd)
command -v chromium >/dev/null || missing+=(chromium)
[ ${#missing[@]} -eq 0 ] && exit 0
as_root=()
[ "$(id -u)" -eq 0 ] || as_root=(sudo)
echo "installing ${missing[*]} for the tests" >&2
"${as_root[@]}" apt-get update -q
DEBIAN_FRONTEND=noninteractive "${as_root[@]}" apt-get install -yq --no-install-recommends "${missing[@]}"
