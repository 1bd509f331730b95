#!/usr/bin/env bash
# The first process of a namespace of its own (unshare -Cmpfui --mount-proc): a copy of this system's root that is
# thrown away afterwards, rodeward installed in it, then systemd. Told: a folder to work in, the clone, a folder with
# rodeward.toml to share. With "probe" as the fourth word it ends before systemd, and tells by its code whether it could.
set -euo pipefail
work=$1 clone=$2 shared=$3 probe=${4:-}

mount --make-rprivate /
mount -t tmpfs tmpfs "$work"
mkdir "$work/up" "$work/wk" "$work/root"
mount -t overlay overlay -o "lowerdir=/,upperdir=$work/up,workdir=$work/wk" "$work/root"
cd "$work/root"
# Before the clone, which may lie in one of them.
for place in run tmp; do mount -t tmpfs tmpfs $place; done
mkdir -p ".$clone" shared old
mount --bind "$clone" ".$clone"
mount --bind "$shared" shared
mount -t proc proc proc
mount --rbind /sys sys
mount -t cgroup2 cgroup2 sys/fs/cgroup
mount --rbind /dev dev
# A plain chroot is no root that systemd can make namespaces of users in.
pivot_root . old
umount -l old
cd /
[ -z "$probe" ] || exit 0

# What only a machine needs, or would ask of it.
for unit in getty.target console-getty.service systemd-udevd.service systemd-udev-trigger.service \
  systemd-networkd.service systemd-timesyncd.service systemd-resolved.service systemd-logind.service \
  systemd-modules-load.service systemd-sysctl.service systemd-binfmt.service systemd-random-seed.service \
  systemd-hwdb-update.service ldconfig.service systemd-remount-fs.service dev-hugepages.mount dev-mqueue.mount \
  sys-kernel-debug.mount sys-kernel-tracing.mount sys-kernel-config.mount sys-fs-fuse-connections.mount; do
  ln -sf /dev/null "/etc/systemd/system/$unit"
done
cat > /etc/systemd/system/living.target <<'UNIT'
[Unit]
Requires=basic.target
UNIT
bash "$clone/systemd/install.sh" > /shared/install.log 2>&1
install -m 640 -o root -g rodeward /shared/rodeward.toml /etc/rodeward/rodeward.toml
touch /shared/installed
exec env -i container=other PATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin \
  /lib/systemd/systemd --unit=living.target --log-target=null > /shared/systemd.log 2>&1
