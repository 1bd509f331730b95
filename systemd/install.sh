#!/usr/bin/env bash
# Installs rodeward as a service on a Debian system, from a built clone: npm ci && npm run build, then
#   sudo systemd/install.sh               install, or bring up to date; a configuration that is there is left alone
#   sudo systemd/install.sh --uninstall   take it away again; configuration, nights and the user stay
#   --root DIR                            do so for the system that lies in DIR
#   --stage DIR                           the files only, for a package: no user, no configuration, nothing started
# Run twice it changes nothing. It starts nothing that was not running.
set -euo pipefail
here=$(cd "$(dirname "$0")/.." && pwd)

root=""
stage=no
uninstall=no
while [ $# -gt 0 ]; do
  case "$1" in
    --root | --stage)
      [ -n "${2:-}" ] || { echo "install.sh: $1 wants a directory" >&2; exit 2; }
      mkdir -p "$2"
      root=$(cd "$2" && pwd)
      [ "$1" = --stage ] && stage=yes
      shift
      ;;
    --uninstall) uninstall=yes ;;
    *) echo "install.sh: unknown: $1 (there are --root DIR, --stage DIR, --uninstall)" >&2; exit 2 ;;
  esac
  shift
done
[ "$root" = / ] && root=""

program=$root/usr/lib/rodeward
command=$root/usr/bin/rodeward
units=$root/usr/lib/systemd/system
users=$root/usr/lib/sysusers.d
docs=$root/usr/share/doc/rodeward
config=$root/etc/rodeward/rodeward.toml
state=$root/var/lib/rodeward

say() { echo "install.sh: $*"; }
fail() { echo "install.sh: $*" >&2; exit 1; }
is_live() { [ -z "$root" ] && [ -d /run/systemd/system ]; }
quietly() { "$@" >/dev/null 2>&1; }

if [ -z "$root" ]; then
  [ "$(id -u)" -eq 0 ] || fail "has to be run as root: sudo $0"
  ! quietly dpkg -S "$program/package.json" || fail "rodeward is here as a Debian package: use apt"
fi

if [ $uninstall = yes ]; then
  if is_live; then quietly systemctl disable --now rodeward.service || true; fi
  rm -rf "$program" "$command" "$docs"
  rm -f "$units/rodeward.service" "$units/rodeward-alarm.service" "$users/rodeward.conf"
  if is_live; then systemctl daemon-reload; fi
  say "taken away; kept: $config, $state, the user rodeward"
  exit 0
fi

# Where a service looks for programs: a Node in somebody's home is not found there.
service_path=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin
[ -f "$here/dist/cli/main.js" ] || fail "not built: npm ci && npm run build comes first"
if [ -z "$root" ]; then
  node=$(PATH=$service_path command -v node) || fail "no node in $service_path; Node 20 or later is needed there"
  major=$("$node" -p 'process.versions.node.split(".")[0]')
  [ "$major" -ge 20 ] || fail "$node is Node $major; 20 or later is needed"
fi

# Beside the old program first, so that no moment has half of one.
fresh=$program.new
rm -rf "$fresh"
install -d "$fresh" "$units" "$users" "$docs" "$(dirname "$command")"
cp -r "$here/dist" "$here/config" "$fresh/"
install -m 644 "$here/package.json" "$here/LICENSE" "$fresh/"
chmod 755 "$fresh/dist/cli/main.js"
# What it needs to run, with natives as compiled on this machine; sources and other machines' binaries left out.
(cd "$here" && npm ls --omit=dev --all --parseable) | tail -n +2 | while read -r folder; do
  to=$fresh/${folder#"$here/"}
  install -d "$to"
  tar -C "$folder" --exclude=./node_modules --exclude='*.map' --exclude='*.d.ts' --exclude='*.ts' \
    --exclude=./src/*.cpp --exclude=./deps --exclude='obj' --exclude='obj.target' --exclude='.deps' --exclude='*.a' \
    --exclude=test_extension.node --exclude=./test --exclude=./tests --exclude=./benchmarks -cf - . | tar -C "$to" -xf -
done
machine=linux-${RODEWARD_ARCH:-$(node -p process.arch)}
find "$fresh/node_modules" -type d -path '*/prebuilds/*' ! -name "$machine" -prune -exec rm -rf {} +
rm -rf "$fresh/node_modules/@types"
chmod -R u+rwX,go+rX,go-w "$fresh"
[ -n "$root" ] || chown -R root:root "$fresh"
rm -rf "$program"
mv "$fresh" "$program"

ln -sfn ../lib/rodeward/dist/cli/main.js "$command"
install -m 644 "$here/systemd/rodeward.service" "$here/systemd/rodeward-alarm.service" "$units/"
install -m 644 "$here/systemd/rodeward.sysusers" "$users/rodeward.conf"
install -m 644 "$here/README.md" "$here/systemd/60-rodeward.rules" "$docs/"
[ $stage = no ] || exit 0

install -d "$root/etc" "$root/var/lib"
if [ -z "$root" ]; then systemd-sysusers rodeward.conf; else systemd-sysusers --root="$root" rodeward.conf; fi
gid=$(awk -F: '$1 == "rodeward" { print $3 }' "$root/etc/group")
uid=$(awk -F: '$1 == "rodeward" { print $3 }' "$root/etc/passwd")
install -d -m 750 -o root -g "$gid" "$(dirname "$config")"
install -d -m 750 -o "$uid" -g "$gid" "$state"
if [ -e "$config" ]; then
  say "configuration left as it is: $config"
else
  install -m 640 -o root -g "$gid" "$here/config/rodeward.toml" "$config"
  say "configuration to be edited: $config"
fi
if is_live; then
  systemctl daemon-reload
  systemctl try-restart rodeward.service
  systemctl is-active --quiet rodeward.service ||
    say "next: edit $config; sudo -u rodeward rodeward check; then systemctl enable --now rodeward"
fi
say "installed; whoever is in the group rodeward may act from the shell (usermod -aG rodeward NAME)"
