/* Private to dye: whole words in a name. */
#ifndef HANKLAB_DYE_PHRASE_H
#define HANKLAB_DYE_PHRASE_H

#include <stdbool.h>

#define PHRASE_MUSHROOM                                                        \
    "mushroom|fungus|fungi|polypore|bolete|toadstool|bracket|hapalopilus|"     \
    "cortinarius|dermocybe|webcap|pax|tapinella|paxillus|hydnellum|"           \
    "sarcodon|phaeolus|gomphidius|pisolithus|hypholoma"

/* Whether one of the phrases, "a|b c|d", stands in folded as whole words; a
 * plural s behind a phrase is allowed. folded is from text_fold(); NULL has
 * no words. */
bool phrase_in(const char *folded, const char *phrases);

#endif
