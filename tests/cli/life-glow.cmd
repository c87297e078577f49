# Other pictures of a skein: its tag, the finished thing, and under an
# ultraviolet lamp, with a glow that is none, faint or strong, each its own.
. "$HERE/tests/cli/life.sh"
keep log "madder from the allotment" --dyestuff "madder: 60 %" --mordant alum \
    --skein "number=1" --skein "number=2" --skein "number=3"
ln -s "$HERE/fixtures" fixtures
hanklab photo add "fixtures/madder-alum.jpg" --shows ultraviolet --on 2026-05-04 \
    --skein "1: strong, orange" --skein "2: faint" --skein "3: none"
hanklab photo add "fixtures/weld-alum.jpg" --shows finished --skein 1 \
    --note "the corner of the blanket"
hanklab photo add "fixtures/tansy-alum.jpg" --shows tag --skein 1
hanklab photo add "fixtures/pax-alum.jpg" --shows ultraviolet --skein 3 \
    --glow faint --glow-colour "pinkish, at the ends"
show 1
show 2
show 3
hanklab sight add --skein 2 --glow strong --glow-colour green --on 2026-05-06
show 2
hanklab sight list
hanklab find --glow strong
echo "- what cannot be"
keep photo add "fixtures/pax-iron.jpg" --skein "1: bright"
keep photo add "fixtures/pax-iron.jpg" --skein 99
keep sight add --skein 1
keep sight edit 7 --glow "" --glow-colour ""
hanklab list photos
