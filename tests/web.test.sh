#!/bin/sh
# The page: its server, then its pages in Debian's Chromium. The packages that
# drive the browser are installed once from tests/web/package-lock.json.
set -u
cd tests/web || exit 1
[ -n "$(find node_modules/.package-lock.json -newer package-lock.json \
    2>/dev/null)" ] ||
    npm ci --silent --no-audit --no-fund --ignore-scripts || exit 1
BUILD=$(cd ../.. && cd "${BUILD:-build/gcc}" && pwd)
export BUILD
status=0
for script in server pages tasks; do
    [ -f "$script.js" ] || continue
    node "$script.js" || status=1
done
exit $status
