/* Which address is which page: one table. */
#ifndef HANKLAB_WEB_ROUTES_H
#define HANKLAB_WEB_ROUTES_H

#include "request.h"

/* Answers a request that has arrived whole. ERR_MISSING: no such page. */
bool routes_answer(struct request *r, struct error *err);

/* Whether who asks may have what is asked for; a stranger is sent to where one
 * is let in. False fills r->refused. */
bool routes_allow(struct request *r);

/* The pages, each in the file of its name. */
typedef bool page_handler(struct request *r, struct error *err);
page_handler rack_page;
page_handler skein_page;
page_handler photo_send;
page_handler photo_keep_do;
page_handler measure_list_page;
page_handler measure_page;
page_handler measure_do;
page_handler ground_set;
page_handler undo_do;
page_handler more_page;
page_handler record_page;
page_handler record_save;
page_handler withdraw_do;
page_handler withdrawn_page;
page_handler cupboard_page;
page_handler find_page;
page_handler plane_send;
page_handler compare_page;
page_handler fade_page;
page_handler grid_page;
page_handler palette_page;
page_handler match_page;
page_handler repeat_page;
page_handler fastness_page;
page_handler fastness_do;
page_handler fast_test_page;
page_handler fast_test_do;
page_handler split_page;
page_handler copies_page;
page_handler copies_do;
void copies_remind(struct request *r, size_t skeins);
page_handler export_page;
page_handler export_send;
page_handler import_page;
page_handler import_do;
page_handler devices_page;
page_handler devices_new_do;
page_handler devices_name_do;
page_handler devices_revoke_do;
page_handler devices_leave_do;
page_handler pair_page;
page_handler pair_do;
page_handler log_page;
page_handler log_save;
page_handler log_again;
page_handler log_quick_page;
page_handler log_quick_save;
page_handler treat_page;
page_handler treat_save;
page_handler reckon_page;
page_handler plan_list_page;
page_handler plan_save;
page_handler plan_page;
page_handler plan_do;
page_handler cut_page;
page_handler cut_save;
page_handler bath_page;
page_handler print_list_page;
page_handler print_page;
page_handler history_page;
page_handler back_to_do;

#endif
