#!/bin/sh
# regions_vips.sh FILE X,Y,W,H ...: the mean L*, a*, b* of regions by the command
# line of libvips. Ends with 127 where it is not there.
set -eu
command -v vips >/dev/null || exit 127
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
file=$1
shift
for box; do
    # shellcheck disable=SC2046 # four words
    vips crop "$file" "$folder/part.v" $(echo "$box" | tr , ' ')
    vips icc_import "$folder/part.v" "$folder/lab.v" --embedded
    vips stats "$folder/lab.v" "$folder/stats.csv"
    # A line for all, then one for each channel; the mean is the fifth.
    sed 1d "$folder/stats.csv" | cut -f 5 | paste -s -d , -
done
