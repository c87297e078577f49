/* What the files of "hanklab measure" share. */
#ifndef HANKLAB_CLI_MEASURE_H
#define HANKLAB_CLI_MEASURE_H

#include "base/json.h"
#include "book/record.h"
#include "cli/cli.h"
#include "measure/measure.h"

/* One --region, --skein or --fibre, in the order given. */
struct measure_place {
    const char *words; /* as typed, before the box: "137", or NULL */
    int64_t skein_id, fibre_id;
    long long number; /* of the skein, 0 for others */
    int64_t reading_id;
};

/* Who it is in "137=X,Y,W,H"; ERR_INPUT, ERR_MISSING. */
bool measure_owner_read(struct cli *cli, const char *option, const char *words,
                        enum noun_id noun, struct measure_place *place,
                        struct error *err);

/* What --neutral and its like say of places of known colour. */
struct measure_known {
    struct measure_reference at[MEASURE_MAX_REFERENCES];
    size_t count;
};

/* Whether any place was given that could do as the card. */
bool measure_known_given(const struct cli *cli);

bool measure_known_read(struct cli *cli, struct measure_known *out,
                        struct error *err);

/* Takes the neutral nearest to a middle grey out of them, to be the card;
 * false when none is near. */
bool measure_known_card(struct measure_known *known,
                        struct measure_request *request);

/* "method" and what else says how good the correction is. */
void measure_method_json(struct json *j, const struct measure_method *method);

/* One line for people; nothing where the card was alone. */
void measure_method_tell(struct text *out, const struct measure_method *method);

#endif
