#!/bin/sh
# Files that are handed on, looked at by what knows nothing of hanklab: Python's
# zipfile, json, csv, html.parser and sqlite3, a validator of JSON Schema, and
# djpeg.
set -u
exec /usr/bin/python3 tests/exchange.py "${BUILD:-build/gcc}/hanklab"
