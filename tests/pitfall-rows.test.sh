#!/bin/sh
# What goes wrong with photographs out in the world: 70 rows, what becomes of
# each, and where that is proven. A row that stands in a table of a test begins
# there with its number. The last test is row 70's: clocks and languages.
#
# R refused with a sentence, N measured with a note, OK measured.
set -u
BUILD=${BUILD:-build/gcc}
case $BUILD in /*) ;; *) BUILD=$(pwd)/$BUILD ;; esac
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT

cat >"$work/rows" <<'END'
1-8 OK Exif turns a picture, and mirrors it | measure:all_eight_orientations_give_the_same_colours
9 N a turn that is none | pitfalls:spoilt_files_measure_as_the_good_one photo_exif:orientation_is_read_or_taken_as_upright
10 OK a turn as LONG, or in MM | pitfalls:a_turn_in_another_type_and_order_is_followed photo_exif:orientation_is_read_or_taken_as_upright
11 N no byte order | pitfalls:spoilt_files_measure_as_the_good_one photo_exif:damaged_exif_is_noted_and_the_rest_read
12 N directories in a ring | pitfalls:spoilt_files_measure_as_the_good_one photo_exif:damaged_exif_is_noted_and_the_rest_read
13 N a bomb of pointers | pitfalls:spoilt_files_measure_as_the_good_one photo_exif:any_changed_byte_is_survived
14 N Exif of 65 kB, cut, or counting too far | pitfalls:spoilt_files_measure_as_the_good_one photo_exif:a_directory_of_thousands_of_fields_is_given_up
15 N two Exif | pitfalls:spoilt_files_measure_as_the_good_one photo_exif:of_two_exif_segments_the_first_is_used
16 OK a thumbnail of another picture | pitfalls:spoilt_files_measure_as_the_good_one
17 N XMP turns it otherwise | pitfalls:spoilt_files_measure_as_the_good_one photo:xmp_is_asked_for_turn_place_and_gain_map
18 N a second picture in the file | pitfalls:spoilt_files_measure_as_the_good_one photo:further_pictures_are_counted_and_looked_into
19 N a gain map, in three forms | pitfalls:gain_maps_leave_the_colour_and_widen_the_tone photo:iso_gain_map_segment_is_noted
20 OK a gain map is no profile | pitfalls:gain_maps_leave_the_colour_and_widen_the_tone photo_profile:other_app2_segments_are_no_profile
21 OK a video behind the picture | pitfalls:spoilt_files_measure_as_the_good_one photo_decode:what_follows_the_picture_is_ignored
22 OK a picture behind the picture | photo_decode:what_follows_the_picture_is_ignored
23 OK progressive | photo_decode:codings_of_one_picture_agree measure_checks:a_file_cut_short_gives_only_what_is_there
24 R progressive and cut | photo_decode:a_cut_file_of_several_scans_is_refused measure_checks:a_file_cut_short_gives_only_what_is_there
25 R a bomb of scans | photo_decode:a_bomb_of_scans_is_refused photo_decode:a_large_picture_may_have_fewer_scans
26 OK arithmetic coding | pitfalls_colour:other_codings_measure_as_the_plain_one photo_decode:codings_of_one_picture_agree
27 OK 4:4:4, 4:2:2, 4:2:0 | pitfalls_colour:other_codings_measure_as_the_plain_one measure:known_colours_come_back
28 OK 4:4:0, 4:1:1, 4:1:0, 3x1 | pitfalls_colour:other_codings_measure_as_the_plain_one photo_decode:odd_sampling_gives_the_picture_or_a_refusal
29 OK lightness coarser than colour | pitfalls_colour:other_codings_measure_as_the_plain_one photo_decode:odd_sampling_gives_the_picture_or_a_refusal
30 OK a scan a component | pitfalls_colour:other_codings_measure_as_the_plain_one photo_decode:codings_of_one_picture_agree
31 OK restart markers | pitfalls_colour:other_codings_measure_as_the_plain_one photo_decode:codings_of_one_picture_agree
32 R/N a restart marker lost or wrong | photo_decode:lost_and_wrong_restart_markers_are_seen
33 R/N half the file: R where the card is missing, else what is there is measured | pitfalls:a_cut_file_says_what_is_left photo_decode:a_file_cut_in_half_keeps_nearly_half_its_rows
34 N the last 20 bytes missing | pitfalls:spoilt_files_measure_as_the_good_one pitfalls:a_cut_file_says_what_is_left
35 N the end marker missing | pitfalls:spoilt_files_measure_as_the_good_one photo_decode:only_the_end_marker_missing_is_a_note
36 R a header taller than the data; N down to the last restart marker | photo_decode:wrong_data_are_trusted_up_to_a_restart_at_most
37 R noughts in the data; N down to the last restart marker | photo_decode:wrong_data_are_trusted_up_to_a_restart_at_most
38 R/N/OK one wrong byte: it may show nowhere, and then nothing is claimed | photo_decode:a_changed_byte_is_right_above_the_damaged_row
39 R 12 bits, 16 bits | photo:frames_that_cannot_be_measured_are_refused
40 R lossless, hierarchical | photo:frames_that_cannot_be_measured_are_refused
41 R no height, no width | photo:frames_that_cannot_be_measured_are_refused
42 R 65500x65500 in a small file | photo:frames_that_cannot_be_measured_are_refused
43 R 65535x65535 | photo:frames_that_cannot_be_measured_are_refused cli:measure-refused
44 R 1x1, 7x5, 63x63 | photo:frames_that_cannot_be_measured_are_refused
45 R large and progressive | photo_decode:a_picture_that_claims_to_be_large_is_refused
46 R another file called .jpg; OK a JPEG called .heic | photo:other_files_are_called_by_their_name cli:pitfalls
47 R empty, 2 bytes, no picture, a cut header | photo:other_files_are_called_by_their_name photo:a_header_cut_anywhere_is_refused
48 OK fill bytes; N stray bytes | photo:bytes_between_segments_are_noted
49 OK a profile in many chunks, in any order | photo_profile:profiles_come_back_from_their_chunks
50 R chunks missing or miscounted | photo_profile:profiles_with_wrong_chunks_are_broken cli:measure-refused
51 OK a chunk twice, one behind the frame | photo_profile:profiles_with_wrong_chunks_are_broken photo_profile:a_profile_after_the_frame_counts
52 R a profile of 16.7 MB | pitfalls_colour:profiles_that_do_not_suit_are_refused photo_profile:a_profile_of_16_mb_is_broken_by_its_size
53 R a profile with a wrong bit, as far as one can tell | icc_damage:a_flipped_bit_never_shows_beside_an_id icc_damage:flipped_bits_without_an_id_are_mostly_told
54 OK a P3 of version 4 | icc:old_and_new_versions_are_read measure:encodings_of_one_scene_agree
55 OK a table instead of curves | pitfalls_colour:pictures_with_a_table_profile_are_measured icc:table_profiles_are_read_through_their_table
56 R a profile of another kind | icc_damage:other_kinds_of_profile_are_refused_by_name icc_damage:header_faults_are_refused_each_in_its_words
57 R a grey picture; a grey profile | pitfalls_colour:profiles_that_do_not_suit_are_refused
58 R CMYK, YCCK | pitfalls:pictures_for_print_are_refused photo:grey_and_print_pictures_are_refused
59 OK coded as red, green, blue | pitfalls_colour:other_codings_measure_as_the_plain_one pitfalls_colour:red_green_and_blue_are_known_by_either_sign
60 OK Adobe RGB by Exif alone; R uncalibrated and no more | measure_checks:profile_rules photo_exif:colour_space_is_judged_from_all_that_exif_says
61 N Exif against the profile | measure_checks:profile_rules
62 N stripped by a messenger | measure_checks:profile_rules
63 N a screenshot, an edited copy | pitfalls:spoilt_files_measure_as_the_good_one photo_exif:editors_and_special_modes_are_noted
64 N compressed hard | pitfalls_colour:other_codings_measure_as_the_plain_one photo:dc_steps_follow_the_quality measure:uncertainty_never_falls_with_quality
65 OK steps of two bytes | pitfalls:spoilt_files_measure_as_the_good_one photo:a_wide_quantisation_table_is_read
66 OK sharpened or enlarged: no file says so, and boxes drawn to the very edge lose less than 0.3 | pitfalls_colour:other_codings_measure_as_the_plain_one
67 R 60 MB before the picture | photo:too_much_before_the_picture_is_refused
68 R a folder, a pipe, no permission, changed while read; OK a name of two lines | photo:files_load_whole_or_say_why_not cli:measure-refused cli:pitfalls
69 N the same picture twice: kept once, the newer reading is shown | cli:pitfalls
70 OK other clocks, languages, threads | pitfalls_colour:two_threads_give_the_same_bytes measure:the_same_bytes_give_the_same_answer
END

n=0 bad=0
say() { # STATUS WHAT
    n=$((n + 1))
    if [ "$1" -eq 0 ]; then
        echo "ok $n - $2"
    else
        bad=$((bad + 1))
        echo "not ok $n - $2"
    fi
}

# A row is proven where a test of this name runs, and its table has the row.
proven() { # ROW FILE:TEST
    file=${2%%:*} test=${2#*:}
    if [ "$file" = cli ]; then
        [ -f "tests/cli/$test.cmd" ] && [ -f "tests/cli/$test.out" ]
        return
    fi
    tr -d ' \n' <"tests/test_$file.c" |
        grep -q "cmocka_unit_test(test_$test)" || return 1
    case $test in
    spoilt_files_measure_as_the_good_one | other_codings_measure_as_the_plain_one)
        grep -q "{\"$1 " "tests/test_$file.c"
        ;;
    esac
}

next=1
while read -r row what; do
    [ "${row%-*}" -eq "$next" ] || {
        say 1 "row $next is missing"
        break
    }
    next=$((${row#*-} + 1))
    ok=0
    for where in ${what##*|}; do
        proven "$row" "$where" || {
            ok=1
            echo "# row $row: there is no $where"
        }
    done
    say $ok "$row ${what%%|*}"
done <"$work/rows"
[ "$next" -eq 71 ]
say $? "70 rows"

# Row 70. The second run has a comma for a point where the C library knows
# such a language, and a clock half a day away.
measured() {
    "$BUILD/hanklab" measure fixtures/madder-alum.jpg \
        --card-box 79,338,281,403 --region 490,375,172,557 \
        --card-lab 49.6,-0.3,0.5 --json
}
measured >"$work/plain"
if localedef -i de_DE -f UTF-8 "$work/de_DE.UTF-8" 2>/dev/null; then
    (
        export LOCPATH="$work" LC_ALL=de_DE.UTF-8 TZ=Pacific/Auckland
        [ "$(locale decimal_point)" = , ] && measured >"$work/comma"
    )
    cmp -s "$work/plain" "$work/comma"
    say $? "a comma for a point changes no byte"
else
    n=$((n + 1))
    echo "ok $n - a comma for a point changes no byte # SKIP no such language"
fi
echo "1..$n"
[ "$bad" -eq 0 ]
