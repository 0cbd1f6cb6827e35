#!/bin/sh
# Runs the tests that need a disk of 64 KiB on a file-system image of that size. Needs root.
set -eu
cd "$(dirname "$0")/.."
work=$(mktemp -d)
trap 'umount "$work/disk" 2>/dev/null || true; rm -rf "$work"' EXIT
mkdir "$work/disk"
truncate -s 64K "$work/image"
if mkfs.ext2 -q -m 0 "$work/image" && mount -o loop "$work/image" "$work/disk" 2>/dev/null; then
    echo "on an ext2 image of 64 KiB"
else
    mount -t tmpfs -o size=64k tmpfs "$work/disk"
    echo "on a tmpfs of 64 KiB (no loop device here)"
fi
MATSIDE_SMALL_DISK="$work/disk" cargo test --test records disk:: -- --ignored
