/* Small tables as text, a record a line: fields separated by comma, semicolon
 * or tab, quoted where they have to be; none holds a newline. All work on the
 * text in place. */
#ifndef HANKLAB_BASE_CSV_H
#define HANKLAB_BASE_CSV_H

#include <stddef.h>

/* Cuts the first line that is not blank off *at, past a byte order mark, and
 * says what separates its fields; NULL when there is none. */
char *csv_head(char **at, char *separator);

/* Cuts the next line that is not blank off *at; NULL after the last. */
char *csv_line(char **at);

/* Cuts a line into at most so many fields, unquoted and without blanks around
 * them; how many. */
size_t csv_fields(char *line, char separator, char **out, size_t most);

#endif
