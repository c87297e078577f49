# A second dose behind an amount is one of its own, or asked about: none is lost
# as words of the first.
hanklab init --dyer Mine >said
book=$HANKLAB_BOOK
t() { # each in a book of its own
    echo "- $*"
    rm -rf copy
    cp -r "$book" copy
    HANKLAB_BOOK=copy hanklab log pot "$@" 2>&1 |
        sed '/^Follow/d; /^alum: [A-Z]/d; /^Kept/d'
}
t --dyestuff "madder: 60 %, weld: 2:1"
t --dyestuff "madder: 60 %, weld: 2:1, onion skins"
t --dyestuff "madder 60%, weld 50 g"
t --dyestuff "madder: 0,5 g + 30 g, weld: 20 g"
t --dyestuff "madder: a lot and weld: 20 g"
t --mordant "alum: 12 %, cream of tartar: 6 %" --skein "weight=50 g"
t --mordant "alum: 12 %, cream of tartar" --skein "weight=50 g"
echo "- what may be another, or not"
t --dyestuff "madder 60%, onion skins"
t --dyestuff "madder: 60 % and onion skins"
t --dyestuff "madder: 60 %, dried marigold"
t --dyestuff "madder: 60 %, weld: 2:1; supply=mine"
echo "- a material of the book is one"
hanklab material add --kind dyestuff --name "onion skins" >said
t --dyestuff "madder 60%, onion skins"
hanklab material add --kind dyestuff --name "weld, late" >said
t --dyestuff "weld, late"
echo "- words of one amount"
t --dyestuff "madder: 60 g, finely chopped"
t --dyestuff "madder: 60 g, dried"
t --dyestuff "madder: 60 g (roots, two years old)"
t --dyestuff "madder: 60 g, about"
t --dyestuff "madder: 1:2, yarn:dye" --skein "weight=10 g"
t --dyestuff "birch, alder: 2:1"
t --dyestuff "madder: 60 g; note=roots, weld: none"
