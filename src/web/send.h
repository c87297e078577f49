/* The answer's way out: status, headers, body. */
#ifndef HANKLAB_WEB_SEND_H
#define HANKLAB_WEB_SEND_H

#include <microhttpd.h>

#include "request.h"

/* Makes the answer a page that says what to put right. */
void send_refusal(struct request *r, const struct error *err);

/* What the request holds as an answer, packed where the one who asks takes it
 * so; release with MHD_destroy_response, also when it was queued. NULL: no
 * memory. */
struct MHD_Response *send_make(struct request *r);

/* Sends that, or the answer it has already. */
enum MHD_Result send_answer(struct request *r);

#endif
