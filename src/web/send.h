/* The answer's way out: status, headers, body. */
#ifndef HANKLAB_WEB_SEND_H
#define HANKLAB_WEB_SEND_H

#include <microhttpd.h>

#include "request.h"

/* Makes the answer a page that says what to put right. */
void send_refusal(struct request *r, const struct error *err);

/* Sends what the request holds. */
enum MHD_Result send_answer(struct request *r);

#endif
