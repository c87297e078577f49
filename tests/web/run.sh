#!/bin/sh
# Runs scripts of this folder in Debian's Chromium: run.sh SCRIPT... The packages
# that drive it are installed once from package-lock.json, one at a time.
set -u
cd "$(dirname "$0")" || exit 1
(
    flock 9
    [ -n "$(find node_modules/.package-lock.json -newer package-lock.json \
        2>/dev/null)" ] ||
        npm ci --silent --no-audit --no-fund --ignore-scripts
) 9<package.json || exit 1
BUILD=$(cd ../.. && cd "${BUILD:-build/gcc}" && pwd)
export BUILD
status=0
for script; do
    node "$script.js" || status=1
done
exit $status
