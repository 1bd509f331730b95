#!/usr/bin/env bash
# Makes build/rodeward_<version>_<architecture>.deb from a built clone (npm ci && npm run build):
#   systemd/deb.sh [DIRECTORY]              for this kind of machine, with the natives as they were compiled here
#   systemd/deb.sh DIRECTORY arm64          for a 64-bit Raspberry Pi from another machine; needs Debian's
#                                           g++-aarch64-linux-gnu, and Node's headers (/usr/include/node, or network)
# The package fits the major version of Node that it was made with, and says so to apt.
set -euo pipefail
here=$(cd "$(dirname "$0")/.." && pwd)
out=${1:-$here/build}
version=$(node -p "require('$here/package.json').version")
node_major=$(node -p 'process.versions.node.split(".")[0]')
arch=${2:-$(dpkg --print-architecture)}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
tree=$work/tree

if [ "$arch" = "$(dpkg --print-architecture)" ]; then
  bash "$here/systemd/install.sh" --stage "$tree"
else
  [ "$arch" = arm64 ] || { echo "deb.sh: across machines only arm64 is made" >&2; exit 2; }
  RODEWARD_ARCH=arm64 bash "$here/systemd/install.sh" --stage "$tree"
  cp -r "$here/node_modules/better-sqlite3" "$work/native"
  rm -rf "$work/native/build"
  gyp=$(npm root -g)/npm/node_modules/node-gyp/bin/node-gyp.js
  headers=()
  [ ! -d /usr/include/node ] || headers=(--nodedir=/usr)
  (cd "$work/native" &&
    CC=aarch64-linux-gnu-gcc CXX=aarch64-linux-gnu-g++ AR=aarch64-linux-gnu-ar LINK=aarch64-linux-gnu-g++ \
      node "$gyp" rebuild --release --arch=arm64 "${headers[@]}" >"$work/gyp.log" 2>&1) || {
    tail -20 "$work/gyp.log" >&2
    exit 1
  }
  aarch64-linux-gnu-strip "$work/native/build/Release/better_sqlite3.node"
  install -m 755 "$work/native/build/Release/better_sqlite3.node" \
    "$tree/usr/lib/rodeward/node_modules/better-sqlite3/build/Release/"
fi
install -m 644 "$here/LICENSE" "$tree/usr/share/doc/rodeward/copyright"
gzip -9nc "$here/systemd/changelog" >"$tree/usr/share/doc/rodeward/changelog.gz"

# The newest libc that a native asks for.
libc=$(find "$tree" -name '*.node' ! -name '*musl*' -exec grep -aoh 'GLIBC_[0-9.]*' {} + | sort -uV | tail -1 | tr -d A-Z_)
install -d "$tree/DEBIAN"
cat >"$tree/DEBIAN/control" <<END
Package: rodeward
Version: $version
Architecture: $arch
Maintainer: the rodeward developers <rodeward@localhost>
Installed-Size: $(du -sk --exclude=DEBIAN "$tree" | cut -f1)
Depends: nodejs (>= $node_major), nodejs (<< $((node_major + 1))~), libc6 (>= $libc), libstdc++6, systemd | systemd-standalone-sysusers
Section: misc
Priority: optional
Description: always-on watch for a boat lying at anchor
 Reads depth, position, wind and heading from NMEA 0183 instruments, reckons the
 rode every second, and sends alarms to displays, hooks and a page.
 An aid, not a substitute for a watch-keeper.
END

cat >"$tree/DEBIAN/postinst" <<'END'
#!/bin/sh
set -e
[ "$1" = configure ] || exit 0
systemd-sysusers rodeward.conf
install -d -m 750 -o root -g rodeward /etc/rodeward
install -d -m 750 -o rodeward -g rodeward /var/lib/rodeward
if [ ! -e /etc/rodeward/rodeward.toml ]; then
  install -m 640 -o root -g rodeward /usr/lib/rodeward/config/rodeward.toml /etc/rodeward/rodeward.toml
  echo "rodeward: edit /etc/rodeward/rodeward.toml; sudo -u rodeward rodeward check; systemctl enable --now rodeward"
fi
if [ -d /run/systemd/system ]; then
  systemctl daemon-reload
  # A watch that is being kept goes on with the new version; it resumes by itself.
  systemctl try-restart rodeward.service
fi
END

cat >"$tree/DEBIAN/prerm" <<'END'
#!/bin/sh
set -e
if [ "$1" = remove ] && [ -d /run/systemd/system ]; then
  systemctl disable --now rodeward.service || true
fi
END

cat >"$tree/DEBIAN/postrm" <<'END'
#!/bin/sh
set -e
if [ "$1" = purge ]; then
  rm -rf /etc/rodeward /var/lib/rodeward
fi
if [ -d /run/systemd/system ]; then
  systemctl daemon-reload
fi
END
chmod 755 "$tree/DEBIAN/postinst" "$tree/DEBIAN/prerm" "$tree/DEBIAN/postrm"
(cd "$tree" && find usr -type f -exec md5sum {} + >DEBIAN/md5sums)

mkdir -p "$out"
file=$out/rodeward_${version}_$arch.deb
dpkg-deb --root-owner-group -Zxz -z6 --build "$tree" "$file" >/dev/null
echo "$file"
