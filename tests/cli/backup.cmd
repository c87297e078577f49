# The book is copied, brought back, and looked at whole.
hanklab init --dyer Mine
no() {
    hanklab "$@"
    echo "exit $?"
}
hanklab log madder --skeins 2 --date 2026-05-03 >/dev/null
hanklab measure "$HERE/fixtures/madder-alum.jpg" --card-box 79,338,281,403 \
    --skein 1=490,375,172,557 >/dev/null
hanklab check
hanklab backup stick/copy
hanklab skein edit 1 --colour fox >/dev/null
hanklab photo add "$HERE/fixtures/tansy-iron.jpg" >/dev/null
hanklab backup stick/copy
hanklab backup stick/copy --json
echo "- into the book itself, or another book"
no backup book
no backup book/copy
hanklab init other --dyer Aino
no backup other
no backup
echo "- brought back, never over a book"
no restore stick/copy
hanklab restore stick/copy back
hanklab find --book back fox
no restore nowhere new
echo "- a photo that is lost, and damaged"
lost=$(ls back/photos/*/*.jpg | head -1)
rm "$lost"
no check --book back
no check --book back --mend
no check --book back --from stick/copy
no check --book back --mend --from stick/copy
no check --book back --json
no backup stick/copy --book back
rm "$lost"
no backup another --book back
echo "- a book that cannot be read at all"
dd if=/dev/zero of=back/book.db bs=4096 seek=2 count=40 conv=notrunc 2>/dev/null
no check --book back
no backup stick/copy --book back
echo "not a book" >back/book.db
no check --book back
hanklab check --book stick/copy
