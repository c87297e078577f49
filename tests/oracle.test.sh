#!/bin/sh
# Colours of boxes against a second computation that shares nothing with ours
# but the JPEG decoder: tests/oracle.py.
set -u
exec /usr/bin/python3 tests/oracle.py "${BUILD:-build/gcc}/regions" fixtures \
    "${HANKLAB_TEST_PHOTOS:-}"
