/* Files nobody comes back for. See sweep.h. */
#include "sweep.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/mem.h"
#include "base/text.h"

#define KEPT_S 86400 /* a day */

static int is_put_down(const struct dirent *e)
{
    static const char *const begins[] = {SWEEP_ARRIVING, SWEEP_WAITING,
                                         SWEEP_GOING};

    for (size_t i = 0; i < ARRAY_LEN(begins); i++)
        if (!strncmp(e->d_name, begins[i], strlen(begins[i])))
            return 1;
    return 0;
}

void sweep_cache(const struct book *book)
{
    struct text folder = {0}, path = {0};
    struct dirent **list;
    struct stat st;
    int n;

    text_addf(&folder, "%s/cache", book_folder(book));
    n = scandir(text_str(&folder), &list, is_put_down, alphasort);
    for (int i = 0; i < n; i++) {
        text_reset(&path);
        text_addf(&path, "%s/%s", text_str(&folder), list[i]->d_name);
        if (!stat(text_str(&path), &st) && time(NULL) - st.st_mtime > KEPT_S)
            unlink(text_str(&path));
        free(list[i]);
    }
    if (n >= 0)
        free(list);
    text_clear(&folder);
    text_clear(&path);
}
