#!/bin/sh
# Installs npm's packages that are timed beside ours from package-lock.json, once.
cd "$(dirname "$0")" || exit 1
[ -n "$(find node_modules/.package-lock.json -newer package-lock.json \
    2>/dev/null)" ] ||
    npm ci --silent --no-audit --no-fund --ignore-scripts
