/* Devices that may open the shared book: letting one in, and those that are
 * in. What lets in or sends away is on this machine's own page only: a stolen
 * phone can let no other in. */
#include "book/device.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "draw/qr.h"
#include "form.h"
#include "guard.h"
#include "base/html.h"
#include "page.h"
#include "routes.h"
#include "server.h"

/* ---- this machine's page -------------------------------------------------
 */

static void add_code(struct request *r, const struct device_offer *offer)
{
    struct text *o = &r->out, to = {0};

    text_addf(&to, "%spair?code=%s", offer->at, offer->code);
    html_addf(o,
              "<p>On the phone, open <b>%s</b> and type</p>\n"
              "<p class=\"code num\">",
              offer->at);
    html_addf(o, "<span>%c%c%c</span> <span>%s</span></p>\n", offer->code[0],
              offer->code[1], offer->code[2], offer->code + 3);
    text_add(o, "<p>or let its camera read this:</p>\n");
    qr_svg(text_str(&to), "The same address and code, for a camera", o);
    html_addf(o,
              "<p class=\"quiet\">It lets one device in, within %d minutes."
              "</p>\n",
              DEVICE_CODE_MINUTES);
    text_clear(&to);
}

static void add_offer(struct request *r, const struct device_offer *offer)
{
    struct text *o = &r->out;

    if (!offer->at) {
        text_add(o, "<p>The book answers on this machine only. To open it on a "
                    "phone or a tablet in the same home network, end it and "
                    "begin again with <code>hanklab serve --share</code>.</p>"
                    "\n");
        return;
    }
    text_add(o, "<section class=\"letin\"><h2>Let one in</h2>\n");
    if (*offer->code)
        add_code(r, offer);
    page_form(r, "/devices/new", NULL);
    html_addf(o, "<p><button%s type=\"submit\">%s</button></p></form>\n",
              *offer->code ? "" : " class=\"main\"",
              *offer->code ? "Another code" : "Make a code");
    for (size_t i = 1; i < r->web->ats; i++)
        html_addf(o, "%s<b>%s</b>%s",
                  i == 1 ? "<p class=\"quiet\">Should it not be found there, "
                           "the machine has these addresses too: "
                         : ", ",
                  r->web->at[i], i + 1 == r->web->ats ? ".</p>\n" : "");
    text_add(o, "</section>\n");
}

static void add_row(struct request *r, const struct device *d)
{
    struct text *o = &r->out;

    html_addf(o,
              "<tr><th scope=\"row\">%s</th><td class=\"num\">%s</td>"
              "<td class=\"num\">%s</td><td>",
              d->name, d->paired_on, d->seen_on);
    if (d->revoked) {
        text_add(o, "sent away</td><td></td></tr>\n");
        return;
    }
    page_form(r, "/devices/revoke", NULL);
    html_addf(o,
              "<input type=\"hidden\" name=\"device\" value=\"%d\">"
              "<button type=\"submit\">Send away<span class=\"hide\"> %s"
              "</span></button></form>",
              d->number, d->name);
    text_add(o, "</td><td>");
    page_form(r, "/devices/name", "class=\"rename\"");
    html_addf(o,
              "<input type=\"hidden\" name=\"device\" value=\"%d\">"
              "<input name=\"name\" aria-label=\"Another name for %s\" "
              "autocomplete=\"off\" maxlength=\"%d\" required>"
              "<button type=\"submit\">Rename</button></form>",
              d->number, d->name, DEVICE_NAME_MAX);
    text_add(o, "</td></tr>\n");
}

static void add_list(struct request *r, const struct device *d, size_t count)
{
    struct text *o = &r->out;

    if (!count) {
        text_add(o, "<p>No device was let in yet.</p>\n");
        return;
    }
    text_add(o,
             "<table class=\"acts-done devices\"><thead><tr><th scope=\"col\">"
             "device</th><th scope=\"col\">let in</th><th scope=\"col\">last "
             "seen</th><th scope=\"col\">send away</th><th scope=\"col\">"
             "another name</th></tr></thead><tbody>\n");
    for (size_t i = 0; i < count; i++)
        add_row(r, &d[i]);
    text_add(o, "</tbody></table>\n");
}

/* What a device sees of itself. */
static void add_self(struct request *r)
{
    html_addf(&r->out,
              "<p>This device is called <b>%s</b>; the history says so of what "
              "it does. Others are let in, and sent away, on the machine where "
              "the book is.</p>\n",
              r->device);
    page_form(r, "/devices/leave", NULL);
    text_add(&r->out, "<p><button type=\"submit\">Let this device forget the "
                      "book</button></p></form>\n");
}

/* why: what could not be done, or NULL. */
static bool show(struct request *r, const struct error *why, struct error *err)
{
    const char *folder = book_folder(r->book);
    struct device_offer offer = {0};
    struct device *d = NULL;
    size_t count = 0;

    if (!device_list(folder, &d, &count, err) ||
        !device_offer_now(folder, &offer, err)) {
        device_list_free(d, count);
        return false;
    }
    page_begin(r, "Devices", "More");
    text_add(&r->out, "<div class=\"head\"><h1>Devices</h1></div>\n");
    if (why) {
        r->status = 400;
        html_addf(&r->out, "<p role=\"alert\" class=\"why\">%s</p>\n",
                  why->text);
    }
    if (r->home) {
        add_list(r, d, count);
        add_offer(r, &offer);
    } else {
        add_self(r);
    }
    page_end(r);
    device_list_free(d, count);
    device_offer_clear(&offer);
    return true;
}

bool devices_page(struct request *r, struct error *err)
{
    return show(r, NULL, err);
}

bool devices_new_do(struct request *r, struct error *err)
{
    struct device_offer offer;
    const bool ok = device_offer_new(book_folder(r->book), &offer, err);

    device_offer_clear(&offer);
    if (ok)
        request_go(r, "/devices");
    return ok;
}

bool devices_revoke_do(struct request *r, struct error *err)
{
    const char *which = pairs_get(&r->form, "device");

    if (!device_revoke(book_folder(r->book), which ? which : "", err))
        return false;
    request_go(r, "/devices");
    return true;
}

bool devices_name_do(struct request *r, struct error *err)
{
    const char *which = pairs_get(&r->form, "device"),
               *name = pairs_get(&r->form, "name");
    struct error why;

    if (!device_rename(book_folder(r->book), which ? which : "",
                       name ? name : "", &why))
        return show(r, &why, err);
    request_go(r, "/devices");
    return true;
}

bool devices_leave_do(struct request *r, struct error *err)
{
    if (!r->device)
        return error_set(err, ERR_INPUT, "this is the machine of the book");
    if (!device_revoke(book_folder(r->book), r->device, err))
        return false;
    guard_forget(r);
    request_go(r, "/pair");
    return true;
}

/* ---- the stranger's page -------------------------------------------------
 */

static void add_pair_field(struct request *r, const char *name,
                           const char *label, const char *more,
                           const struct error *why)
{
    struct text *o = &r->out;
    const char *words = request_value(r, name);

    html_addf(o,
              "<p class=\"f\"><label for=\"%s\">%s</label><input id=\"%s\" "
              "name=\"%s\" value=\"%s\"",
              name, label, name, name, words);
    text_addf(o, " autocomplete=\"off\" %s", more);
    if (form_blames(why, name))
        form_mark(o);
    text_add(o, "></p>\n");
    if (form_blames(why, name))
        form_mark_why(o, why->text + strlen(name) + 2);
}

static bool show_pair(struct request *r, const struct error *why)
{
    struct text *o = &r->out;

    page_begin(r, "Let this device in", NULL);
    text_add(o,
             "<div class=\"logtop\"><h1>Let this device in</h1><p "
             "class=\"quiet\">Once, with the code that the machine of the "
             "book shows.</p></div>\n"
             "<form method=\"post\" action=\"/pair\" class=\"log admit\">\n");
    add_pair_field(r, "code", "Code",
                   "inputmode=\"numeric\" placeholder=\"six digits\" required",
                   why);
    add_pair_field(r, "name", "Its name",
                   "placeholder=\"phone in the kitchen\" maxlength=\"60\"",
                   why);
    text_add(o, "<div class=\"stick\"><button class=\"main\" "
                "type=\"submit\">Let in</button></div>\n</form>\n"
                "<p class=\"quiet\">It was let in already, and a link brought "
                "you here? <a href=\"/\">Go on to the rack</a>.</p>\n");
    page_end(r);
    return true;
}

bool pair_page(struct request *r, struct error *err)
{
    (void)err;
    if (r->home || r->device) {
        request_go(r, "/devices");
        return true;
    }
    return show_pair(r, NULL);
}

bool pair_do(struct request *r, struct error *err)
{
    const char *code = pairs_get(&r->form, "code");
    char token[DEVICE_TOKEN_CHARS + 1];
    struct error why;

    if (r->home || r->device) {
        request_go(r, "/devices");
        return true;
    }
    if (device_pair(book_folder(r->book), code ? code : "",
                    pairs_get(&r->form, "name"), token, &why)) {
        guard_let_in(r, token);
        request_go(r, "/");
        return true;
    }
    if (why.kind == ERR_STORE) {
        *err = why;
        return false;
    }
    r->status = why.kind == ERR_LIMIT ? 429 : 400;
    return show_pair(r, &why);
}
