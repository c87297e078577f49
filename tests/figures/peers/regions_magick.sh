#!/bin/sh
# regions_magick.sh FILE X,Y,W,H ...: the mean L*, a*, b* of regions by
# ImageMagick, of which nobody has said that the photo has a profile. Ends with
# 127 where it is not there.
set -eu
magick=/usr/bin/convert # Debian's
[ -x $magick ] || exit 127
file=$1
shift
crops=
for box; do
    crops="$crops ( -clone 0 -crop $(echo "$box" |
        sed 's/\(.*\),\(.*\),\(.*\),\(.*\)/\3x\4+\1+\2/') )"
done
# shellcheck disable=SC2086 # a word each
$magick "$file" $crops -delete 0 -colorspace Lab -format \
    '%[fx:100*mean.r],%[fx:255*mean.g-128],%[fx:255*mean.b-128]\n' info:
