/* Private to the command line: a document as a PDF. */
#ifndef HANKLAB_CLI_PDF_H
#define HANKLAB_CLI_PDF_H

#include <stdbool.h>

#include "base/error.h"
#include "base/text.h"

/*
 * Has an installed Chromium print a document into a file, in the place of one
 * that is there; what it needs meanwhile lies in a folder beside it.
 *
 * err  ERR_MISSING  no Chromium is installed
 *      ERR_STORE    it made no PDF in a minute; the folder cannot be written
 */
bool pdf_write(const char *path, const struct text *html, struct error *err);

#endif
