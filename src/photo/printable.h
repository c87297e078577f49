/* Text out of a stranger's file or file name, made safe to show. */
#ifndef HANKLAB_PHOTO_PRINTABLE_H
#define HANKLAB_PHOTO_PRINTABLE_H

#include <stddef.h>

/*
 * Copies s up to its first NUL or n bytes as printable UTF-8: control
 * characters (C0, C1) become blanks, bytes that are no UTF-8 become '?', outer
 * blanks go. What does not fit in cap bytes is cut at a whole character.
 */
void printable_copy(const void *s, size_t n, char *out, size_t cap);

#endif
