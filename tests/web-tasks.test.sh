#!/bin/sh
# The page: what a dyer does on it, in Debian's Chromium.
exec sh tests/web/run.sh tasks
