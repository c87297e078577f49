/* What a new record gets that nobody typed. See fill.h. */
#include "book/fill.h"

#include <string.h>

#include "base/mem.h"
#include "book/face.h"

static int64_t id_in(const struct cells *cells, const char *column)
{
    const struct cell *c = cells_get(cells, column);

    return c && c->kind == CELL_INT ? c->whole : 0;
}

static bool is_set(const struct cells *cells, const char *column)
{
    const struct cell *c = cells_get(cells, column);

    return c && c->kind != CELL_NULL;
}

/* Runs a statement with one id, :of, and gives its first column. */
static bool ask(struct book *book, enum stmt_id id, int64_t of, int64_t *out,
                struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, id, &q, err))
        return false;
    stmt_int(&q, ":of", of);
    if (!stmt_step(&q, &row, err))
        return false;
    *out = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

static bool fill_number(struct book *book, enum stmt_id next,
                        struct cells *cells, struct error *err)
{
    int64_t n;

    if (is_set(cells, "number"))
        return true;
    if (!ask(book, next, id_in(cells, "dyer_id"), &n, err))
        return false;
    cells_int(cells, "number", n);
    return true;
}

static bool fill_entry(struct book *book, struct cells *cells,
                       struct error *err)
{
    int64_t place;

    if (is_set(cells, "place"))
        return true;
    if (!ask(book, STMT_ENTRY_PLACE, id_in(cells, "skein_id"), &place, err))
        return false;
    cells_real(cells, "place", (double)place);
    return true;
}

/* A dose counts as what its material is for; in a dip it modifies. */
static bool fill_dose(struct book *book, struct cells *cells, struct error *err)
{
    struct stmt q;
    bool row;

    if (id_in(cells, "bath_id") && id_in(cells, "treatment_id"))
        return error_set(err, ERR_INPUT,
                         "a dose goes into a bath or into a "
                         "treatment, not both");
    if (!id_in(cells, "bath_id") && !id_in(cells, "treatment_id"))
        return error_set(err, ERR_INPUT,
                         "bath: say into which bath or which "
                         "treatment it went");
    if (is_set(cells, "role"))
        return true;
    if (!stmt_begin(book, STMT_DOSE_ROLE, &q, err))
        return false;
    stmt_int(&q, ":material", id_in(cells, "material_id"));
    stmt_id(&q, ":treatment", id_in(cells, "treatment_id"));
    stmt_id(&q, ":bath", id_in(cells, "bath_id"));
    if (!stmt_step(&q, &row, err))
        return false;
    cells_text(cells, "role", row ? stmt_get_text(&q, 0) : "dyestuff");
    stmt_done(&q);
    return true;
}

/* Longer ways back to itself are found when the act ends: see step.h. */
static bool not_itself(const struct cells *cells, const char *child,
                       const char *parent, const char *what, struct error *err)
{
    return id_in(cells, child) != id_in(cells, parent) ||
           error_set(err, ERR_INPUT, "a %s cannot come from itself", what);
}

/* The last step of a skein's life, unless another was named; checks that a
 * named one is of that skein. */
static bool fill_after(struct book *book, struct cells *cells, int64_t skein,
                       struct error *err)
{
    int64_t entry = id_in(cells, "after_entry_id"), of;

    if (entry) {
        if (!ask(book, STMT_ENTRY_SKEIN, entry, &of, err))
            return false;
        return of == skein || error_set(err, ERR_INPUT,
                                        "after-entry: that is "
                                        "a step of another skein");
    }
    if (!ask(book, STMT_ENTRY_LAST, skein, &entry, err))
        return false;
    if (entry)
        cells_int(cells, "after_entry_id", entry);
    return true;
}

static bool is_word(const struct cells *cells, const char *column,
                    const char *word)
{
    return is_set(cells, column) &&
           !strcmp(cells_get(cells, column)->text, word);
}

/* Asks for what an instrument's reading lacks, and for no more. */
static bool ask_light(const struct cells *cells, struct error *err)
{
    static const struct {
        const char *column, *name, *usual;
    } rows[] = {{"illuminant", "illuminant", "D65"},
                {"observer_deg", "observer", "10"},
                {"geometry", "geometry", "d/8, or \"unknown\""}};
    struct text names = {0}, usual = {0};
    const char *first = NULL;
    size_t missing = 0, told = 0;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        missing += !is_set(cells, rows[i].column);
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const char *comma = !told ? "" : ", ";
        if (is_set(cells, rows[i].column))
            continue;
        if (!told++)
            first = rows[i].name;
        text_addf(&names, "%s%s", told > 1 && told == missing ? " and " : comma,
                  rows[i].name);
        text_addf(&usual, "%s%s", comma, rows[i].usual);
    }
    if (missing)
        error_set(err, ERR_INPUT,
                  "%s: say the %s of the instrument (textile instruments: "
                  "mostly %s), or the source: photo or eye",
                  first, text_str(&names), text_str(&usual));
    text_clear(&names);
    text_clear(&usual);
    return !missing;
}

/* Three numbers are a colour only under the light and for the observer they
 * were reckoned for. An instrument has its own, which cannot be guessed nor
 * made another from the numbers; a photo and an eye go by D50, 2 degree. */
static bool fill_light(struct cells *cells, struct error *err)
{
    int64_t observer = id_in(cells, "observer_deg");

    if (observer && observer != 2 && observer != 10)
        return error_set(err, ERR_INPUT, "observer: 2 or 10 degrees");
    if (is_word(cells, "source", "instrument"))
        return ask_light(cells, err);
    if (!is_set(cells, "illuminant"))
        cells_text(cells, "illuminant", "D50");
    if (!is_set(cells, "observer_deg"))
        cells_int(cells, "observer_deg", 2);
    if (is_word(cells, "source", "photo") &&
        (!is_word(cells, "illuminant", "D50") ||
         id_in(cells, "observer_deg") != 2))
        return error_set(err, ERR_INPUT,
                         "a reading from a photo is for D50 and 2 degrees");
    return true;
}

static bool fill_colour(struct cells *cells, struct error *err)
{
    int64_t skein = id_in(cells, "skein_id"), fibre = id_in(cells, "fibre_id");

    if ((skein != 0) == (fibre != 0))
        return error_set(err, ERR_INPUT,
                         "skein: say of which skein, or of which "
                         "undyed fibre, the reading is");
    return fill_light(cells, err);
}

static bool fill_reading(struct book *book, struct cells *cells,
                         struct error *err)
{
    int64_t skein = id_in(cells, "skein_id");

    return fill_colour(cells, err) &&
           (!skein || fill_after(book, cells, skein, err));
}

static bool fill_card(struct book *book, struct cells *cells, struct error *err)
{
    struct stmt q;

    if (!id_in(cells, "usual"))
        return true;
    return stmt_begin(book, STMT_CARD_NOT_USUAL, &q, err) && stmt_run(&q, err);
}

/* Without a photo it is a glow that was seen. */
static bool check_sight(const struct cells *cells, struct error *err)
{
    return is_set(cells, "photo_id") || is_set(cells, "glow") ||
           is_set(cells, "glow_colour") ||
           error_set(
               err, ERR_INPUT,
               "photo: say on which photo the skein is, or how it glows: none, "
               "faint or strong");
}

/* The last day that `later` can be is not before the first that `day` can. */
static bool in_order(const struct cells *cells, const char *day,
                     const char *later, const char *name, const char *what,
                     struct error *err)
{
    const struct cell *from = cells_get(cells, day);
    const struct cell *to = cells_get(cells, later);

    return !from || !to || from->kind != CELL_TEXT || to->kind != CELL_TEXT ||
           strcmp(to->text, from->text) >= 0 ||
           error_set(err, ERR_INPUT, "%s: that is before the test began, %s%s",
                     name, from->text, what);
}

/* A test's readings are of its skein, and two. */
static bool is_own_reading(struct book *book, const struct cells *cells,
                           const char *column, const char *name,
                           struct error *err)
{
    const int64_t reading = id_in(cells, column);
    int64_t of;

    if (!reading)
        return true;
    return ask(book, STMT_READING_SKEIN, reading, &of, err) &&
           (of == id_in(cells, "skein_id") ||
            error_set(err, ERR_INPUT, "%s: that reading is of another skein",
                      name));
}

static bool check_test(struct book *book, const struct cells *cells,
                       struct error *err)
{
    return in_order(cells, "start_from", "due_to", "due", "; say the year",
                    err) &&
           in_order(cells, "start_from", "ended_to", "end", "", err) &&
           is_own_reading(book, cells, "before_id", "before", err) &&
           is_own_reading(book, cells, "after_id", "after", err) &&
           (!id_in(cells, "after_id") ||
            id_in(cells, "after_id") != id_in(cells, "before_id") ||
            error_set(err, ERR_INPUT,
                      "after: that is the reading before; name another one"));
}

/* A round is of a bath; only a dye treatment may leave open of which. */
static bool check_treatment(struct cells *cells, struct error *err)
{
    const struct cell *kind = cells_get(cells, "kind");

    if (!is_set(cells, "round") || !kind || !kind->text ||
        !strcmp(kind->text, "dye") || is_set(cells, "bath_id"))
        return true;
    return error_set(err, ERR_INPUT,
                     "round: say which bath this %s was done in for another "
                     "time",
                     kind->text);
}

/* A name that another material has, or had, is taken. */
static bool name_is_free(struct book *book, struct cells *cells, int64_t id,
                         const char *advice, struct error *err)
{
    const struct cell *key = cells_get(cells, "name_key");
    const struct cell *name = cells_get(cells, "name");
    struct stmt q;
    bool row;

    if (!key || key->kind != CELL_TEXT)
        return true;
    if (!stmt_begin(book, STMT_MATERIAL_TAKEN, &q, err))
        return false;
    stmt_text(&q, ":key", key->text);
    stmt_int(&q, ":of", id);
    if (!stmt_step(&q, &row, err))
        return false;
    stmt_done(&q);
    return !row ||
           error_set(err, ERR_INPUT, "there is a material called %s already%s",
                     name->text, advice);
}

bool fill_back(struct book *book, const struct noun *noun, int64_t id,
               struct error *err)
{
    int64_t taken = 0;

    if (noun->id != NOUN_MATERIAL && noun->id != NOUN_ALIAS)
        return true;
    return ask(book,
               noun->id == NOUN_MATERIAL ? STMT_MATERIAL_CLASH
                                         : STMT_ALIAS_CLASH,
               id, &taken, err) &&
           (!taken || error_set(err, ERR_INPUT,
                                "another material has that name by now: rename "
                                "or withdraw it first"));
}

bool fill_new(struct book *book, const struct noun *noun, struct cells *cells,
              struct error *err)
{
    switch (noun->id) {
    case NOUN_SKEIN:
        return fill_number(book, STMT_SKEIN_NEXT, cells, err);
    case NOUN_BATH:
        return fill_number(book, STMT_BATH_NEXT, cells, err);
    case NOUN_ENTRY:
        return fill_entry(book, cells, err);
    case NOUN_DOSE:
        return fill_dose(book, cells, err);
    case NOUN_READING:
        return fill_reading(book, cells, err);
    case NOUN_ORIGIN:
        return not_itself(cells, "child_id", "parent_id", "skein", err) &&
               fill_after(book, cells, id_in(cells, "parent_id"), err);
    case NOUN_POUR:
        return not_itself(cells, "bath_id", "parent_id", "bath", err);
    case NOUN_TREATMENT:
        return check_treatment(cells, err);
    case NOUN_PH:
        return is_set(cells, "bath_id") || is_set(cells, "treatment_id") ||
               error_set(err, ERR_INPUT,
                         "bath: say of which bath, or in which "
                         "treatment, the pH was");
    case NOUN_SIGHT:
        return check_sight(cells, err);
    case NOUN_TEST:
        return check_test(book, cells, err);
    case NOUN_CARD:
        return fill_card(book, cells, err);
    case NOUN_MATERIAL:
        return name_is_free(book, cells, 0, "", err);
    case NOUN_ALIAS:
        return name_is_free(book, cells, id_in(cells, "material_id"), "", err);
    case NOUN_DYER:
    case NOUN_SUPPLY:
    case NOUN_FIBRE:
    case NOUN_WATER:
    case NOUN_EXTRACTION:
    case NOUN_PHOTO:
    case NOUN_CAMERA:
    case NOUN_REGION:
    case NOUN_PROJECT:
    case NOUN_WISH:
    case NOUN_TASK:
    case NOUN_COUNT:
        return true;
    }
    return true;
}

bool fill_made(struct book *book, const struct noun *noun, struct cells *cells,
               struct error *err)
{
    return noun->id == NOUN_READING ? fill_colour(cells, err)
                                    : fill_new(book, noun, cells, err);
}

/* Adds what a record holds of the columns that are not changed. */
static bool add_stored(struct book *book, enum stmt_id stored, int64_t id,
                       struct cells *cells, struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, stored, &q, err))
        return false;
    stmt_int(&q, ":of", id);
    if (!stmt_step(&q, &row, err))
        return false;
    for (int i = 0; row && i < sqlite3_column_count(q.st); i++) {
        const char *column = sqlite3_column_name(q.st, i);
        int type = sqlite3_column_type(q.st, i);
        if (cells_get(cells, column))
            continue;
        if (type == SQLITE_INTEGER)
            cells_int(cells, column, stmt_get_int(&q, i));
        else if (type == SQLITE_FLOAT)
            cells_real(cells, column, stmt_get_real(&q, i));
        else
            cells_text(cells, column, stmt_get_text(&q, i));
    }
    stmt_done(&q);
    return true;
}

/* What goes together in a new record goes together in a changed one. What it
 * holds stays as it is and is written again. */
static bool fill_whole(struct book *book, const struct noun *noun,
                       enum stmt_id stored, int64_t id, struct cells *cells,
                       struct error *err)
{
    return add_stored(book, stored, id, cells, err) &&
           fill_new(book, noun, cells, err);
}

bool fill_edit(struct book *book, const struct noun *noun, int64_t id,
               struct cells *cells, struct error *err)
{
    int64_t other = id_in(cells, "material_id");

    switch (noun->id) {
    case NOUN_CARD:
        return fill_card(book, cells, err);
    case NOUN_MATERIAL:
        return name_is_free(
            book, cells, id,
            face_says("; if the two are one, say --join as well",
                      "; if the two are one, join them here"),
            err);
    case NOUN_ALIAS:
        return (other || ask(book, STMT_ALIAS_OF, id, &other, err)) &&
               name_is_free(book, cells, other, "", err);
    case NOUN_READING:
    case NOUN_ORIGIN:
        return !is_set(cells, "after_entry_id") ||
               (ask(book,
                    noun->id == NOUN_READING ? STMT_READING_SKEIN
                                             : STMT_ORIGIN_PARENT,
                    id, &other, err) &&
                fill_after(book, cells, other, err));
    case NOUN_TREATMENT:
        return fill_whole(book, noun, STMT_TREATMENT_STORED, id, cells, err);
    case NOUN_ENTRY:
        return fill_whole(book, noun, STMT_ENTRY_STORED, id, cells, err);
    case NOUN_DOSE:
        return fill_whole(book, noun, STMT_DOSE_STORED, id, cells, err);
    case NOUN_PH:
        return fill_whole(book, noun, STMT_PH_STORED, id, cells, err);
    case NOUN_SIGHT:
        return fill_whole(book, noun, STMT_SIGHT_STORED, id, cells, err);
    case NOUN_TEST:
        return fill_whole(book, noun, STMT_TEST_STORED, id, cells, err);
    case NOUN_DYER:
    case NOUN_SUPPLY:
    case NOUN_FIBRE:
    case NOUN_WATER:
    case NOUN_SKEIN:
    case NOUN_BATH:
    case NOUN_POUR:
    case NOUN_EXTRACTION:
    case NOUN_PHOTO:
    case NOUN_CAMERA:
    case NOUN_REGION:
    case NOUN_PROJECT:
    case NOUN_WISH:
    case NOUN_TASK:
    case NOUN_COUNT:
        return true;
    }
    return true;
}
