#!/bin/sh
# The page: its server, who is let in, then every page in Debian's Chromium.
exec sh tests/web/run.sh server share phone pages
