/* Which address is which page. See routes.h. */
#include "routes.h"

#include <string.h>

#include "assets.h"
#include "base/mem.h"

static const struct {
    const char *path;
    page_handler *get, *post;
    bool more; /* something stands behind the path */
} routes[] = {
    /* clang-format off: a row a line */
    {"/", rack_page, NULL, false},
    {"/skein/", skein_page, NULL, true},
    {"/photo", NULL, photo_keep_do, false},
    {"/photo/", photo_send, NULL, true},
    {"/measure", measure_list_page, NULL, false},
    {"/measure/", measure_page, measure_do, true},
    {"/record/", record_page, record_save, true},
    {"/bath/", bath_page, NULL, true},
    {"/log", log_page, log_save, false},
    {"/log/again", log_again, NULL, false},
    {"/log/quick", log_quick_page, log_quick_save, false},
    {"/treat", treat_page, treat_save, false},
    {"/reckon", reckon_page, NULL, false},
    {"/cut", cut_page, cut_save, false},
    {"/find", find_page, NULL, false},
    {"/compare", compare_page, NULL, false},
    {"/palette", palette_page, NULL, false},
    {"/match", match_page, NULL, false},
    {"/repeat", repeat_page, NULL, false},
    {"/split", split_page, NULL, false},
    {"/grid", grid_page, NULL, false},
    {"/fade", fade_page, NULL, false},
    {"/print", print_list_page, NULL, false},
    {"/print/", print_page, NULL, true},
    {"/history", history_page, NULL, false},
    {"/back-to", NULL, back_to_do, false},
    {"/withdrawn", withdrawn_page, NULL, false},
    {"/cupboard", cupboard_page, NULL, false},
    {"/copies", copies_page, copies_do, false},
    {"/more", more_page, NULL, false},
    {"/withdraw", NULL, withdraw_do, false},
    {"/undo", NULL, undo_do, false},
    {"/ground", NULL, ground_set, false},
    {"/a/", asset_answer, NULL, true},
    /* clang-format on */
};

bool routes_answer(struct request *r, struct error *err)
{
    for (size_t i = 0; i < ARRAY_LEN(routes); i++) {
        const char *path = routes[i].path;
        page_handler *handler = r->post ? routes[i].post : routes[i].get;

        if (routes[i].more
                ? strncmp(r->path, path, strlen(path)) || !r->path[strlen(path)]
                : strcmp(r->path, path))
            continue;
        if (handler)
            return handler(r, err);
    }
    return error_set(err, ERR_MISSING, "there is no such page");
}
