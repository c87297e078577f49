/* What a question is narrowed to: the same filters as on the command line, in
 * the page's address, so that it can be kept and handed on. */
#ifndef HANKLAB_WEB_NARROW_H
#define HANKLAB_WEB_NARROW_H

#include "book/ask.h"
#include "request.h"

/* Reads every filter in the address. The errors of ask_filter_read. */
bool narrow_read(struct request *r, struct ask_filter *out, struct error *err);

/* Whether any is set. */
bool narrow_any(const struct request *r);

/* The fields, folded away, inside a form that asks (method get); and what is
 * set, each with a way to take it off. */
void narrow_fields(struct request *r);
void narrow_chips(struct request *r);

/* "3 skeins left out: read wet only", in a paragraph, or nothing. */
void narrow_left_out(struct text *out, const size_t left_out[ASK_LACKS],
                     bool wet);

/* This page's address without what it says by that name, NULL: nothing is left
 * out; appended. More is added after "?" or, if it has one, "&". */
void narrow_address(const struct request *r, const char *name, struct text *to);

/* Whether the address asks for the answer as a picture, to be kept as a file of
 * that name: then the picture goes to r->out, and nothing else. */
bool narrow_picture(struct request *r, const char *name);

/* Where that is asked for, in a paragraph. */
void narrow_picture_link(struct request *r);

/* "match within 2", "different", "this photo cannot tell", each short. */
const char *verdict_short(enum verdict verdict);

/* A line from 0 to `top` dE00 with the interval low..high and the value. */
void narrow_bar(struct text *out, double value, double low, double high,
                double top);

#endif
