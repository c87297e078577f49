#!/bin/sh
# The page: its server, then every page in Debian's Chromium.
exec sh tests/web/run.sh server pages
