#!/bin/sh
# The page: its server, who is let in, how many at once, then every page in Debian's Chromium.
exec sh tests/web/run.sh server share load phone pages
