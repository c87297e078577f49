/* Which address is which page. See routes.h. */
#include "routes.h"

#include <string.h>

#include "assets.h"
#include "base/mem.h"
#include "kept.h"

enum {
    MORE = 1,  /* something stands behind the path */
    HOME = 2,  /* only from this machine: it names, or writes to, its folders */
    OPEN = 4,  /* before a device was let in */
    KEPT = 8,  /* tells the book alone, and what kept.c knows of */
    COPY = 16, /* tells of the last copy of the book, too */
};

static const struct route {
    const char *path;
    page_handler *get, *post;
    unsigned flags;
} routes[] = {
    /* clang-format off: a row a line */
    {"/", rack_page, NULL, KEPT | COPY},
    {"/skein/", skein_page, NULL, MORE | KEPT},
    {"/photo", NULL, photo_keep_do, 0},
    {"/photo/", photo_send, NULL, MORE},
    {"/measure", measure_list_page, NULL, 0},
    {"/measure/", measure_page, measure_do, MORE},
    {"/record/", record_page, record_save, MORE},
    {"/bath/", bath_page, NULL, MORE | KEPT},
    {"/log", log_page, log_save, 0},
    {"/log/again", log_again, NULL, 0},
    {"/log/quick", log_quick_page, log_quick_save, 0},
    {"/treat", treat_page, treat_save, 0},
    {"/reckon", reckon_page, NULL, 0},
    {"/plan", plan_list_page, plan_save, 0},
    {"/plan/", plan_page, plan_do, MORE},
    {"/cut", cut_page, cut_save, 0},
    {"/find", find_page, NULL, KEPT},
    {"/plane", plane_send, NULL, 0},
    {"/compare", compare_page, NULL, KEPT},
    {"/palette", palette_page, NULL, KEPT},
    {"/match", match_page, NULL, KEPT},
    {"/repeat", repeat_page, NULL, 0},
    {"/fastness", fastness_page, fastness_do, 0},
    {"/fastness/", fast_test_page, fast_test_do, MORE},
    {"/split", split_page, NULL, 0},
    {"/grid", grid_page, NULL, KEPT},
    {"/fade", fade_page, NULL, KEPT},
    {"/print", print_list_page, NULL, 0},
    {"/print/", print_page, NULL, MORE},
    {"/history", history_page, NULL, 0},
    {"/back-to", NULL, back_to_do, 0},
    {"/withdrawn", withdrawn_page, NULL, 0},
    {"/cupboard", cupboard_page, NULL, KEPT},
    {"/export", export_page, NULL, 0},
    {"/export/", export_send, NULL, MORE},
    {"/import", import_page, import_do, 0},
    {"/devices", devices_page, NULL, 0},
    {"/devices/new", NULL, devices_new_do, HOME},
    {"/devices/name", NULL, devices_name_do, HOME},
    {"/devices/revoke", NULL, devices_revoke_do, HOME},
    {"/devices/leave", NULL, devices_leave_do, 0},
    {"/pair", pair_page, pair_do, OPEN},
    {"/copies", copies_page, copies_do, HOME},
    {"/more", more_page, NULL, 0},
    {"/withdraw", NULL, withdraw_do, 0},
    {"/undo", NULL, undo_do, 0},
    {"/ground", NULL, ground_set, 0},
    {"/a/", asset_answer, NULL, MORE | OPEN},
    /* clang-format on */
};

/* The row of an address; NULL when there is none. */
static const struct route *route_of(const struct request *r)
{
    for (size_t i = 0; i < ARRAY_LEN(routes); i++) {
        const char *path = routes[i].path;

        if (routes[i].flags & MORE
                ? !strncmp(r->path, path, strlen(path)) && r->path[strlen(path)]
                : !strcmp(r->path, path))
            if (r->post ? routes[i].post : routes[i].get)
                return &routes[i];
    }
    return NULL;
}

bool routes_allow(struct request *r)
{
    const struct route *route = route_of(r);
    const unsigned flags = route ? route->flags : 0;

    if (r->home || (r->device && !(flags & HOME)) || flags & OPEN)
        return true;
    if (!r->device && !r->post) {
        request_go(r, "/pair");
        return true;
    }
    r->forbidden = true;
    if (r->device)
        return error_set(&r->refused, ERR_INPUT,
                         "this is done only on the machine where the book is");
    return error_set(&r->refused, ERR_INPUT,
                     "this device was not let in, or was sent away: open the "
                     "page anew");
}

bool routes_answer(struct request *r, struct error *err)
{
    const struct route *route = route_of(r);
    bool ok;

    if (!route)
        return error_set(err, ERR_MISSING, "there is no such page");
    if (r->post)
        return route->post(r, err);
    if (!(route->flags & KEPT))
        return route->get(r, err);
    if (kept_answer(r, route->flags & COPY))
        return true;
    ok = book_look(r->book, err) && route->get(r, err);
    book_look_end(r->book);
    if (ok)
        kept_take(r);
    return ok;
}
