/* Takes the words of a day apart. See day_token.h. */
#include "base/day_token.h"

#include <stdio.h>
#include <string.h>

#include "base/mem.h"

static bool one_of(const char *word, const char *list)
{
    size_t n = strlen(word);

    for (const char *at = list; n && (at = strstr(at, word)); at++)
        if ((at == list || at[-1] == ' ') && (at[n] == ' ' || !at[n]))
            return true;
    return false;
}

/* The index of the name that word is or begins, at least 3 letters. */
static int named(const char *word, const char *const *names, int count)
{
    size_t n = strlen(word);

    for (int i = 0; n >= 3 && i < count; i++)
        if (!strncmp(word, names[i], n) ||
            (n == 4 && !strncmp(word, "sept", n) &&
             !strcmp(names[i], "september")))
            return i;
    return -1;
}

int tokens_year(struct day today, int two_digits)
{
    int year = today.year - today.year % 100 + two_digits;

    return year > today.year + 1 ? year - 100 : year;
}

static void add(struct tokens *t, char kind, int value, int digits)
{
    if (t->count < TOKENS_MAX)
        t->token[t->count] = (struct token){kind, value, digits};
    t->count++; /* above TOKENS_MAX: too long, refused later */
}

static bool digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool letter(char c)
{
    return (c >= 'a' && c <= 'z') || (unsigned char)c >= 0x80;
}

static char kind_of(size_t digits, int value)
{
    if (digits <= 2)
        return 'n';
    if (digits == 4 && value >= 1000)
        return 'Y';
    return digits == 8 ? 'N' : 'W';
}

static size_t add_number(struct tokens *t, const char *s, bool short_year)
{
    size_t n = 0;
    int value = 0;

    while (digit(s[n])) {
        if (n < 8)
            value = value * 10 + (s[n] - '0');
        n++;
    }
    if (short_year && n == 2)
        add(t, 'Y', tokens_year(t->today, value), 4);
    else
        add(t, kind_of(n, value), value, (int)n);
    if (n == 4 && s[n] == 's' && !letter(s[n + 1]) && value % 10 == 0 &&
        t->count <= TOKENS_MAX) {
        t->token[t->count - 1].kind = 'D';
        return n + 1;
    }
    if (!strncmp(s + n, "st", 2) || !strncmp(s + n, "nd", 2) ||
        !strncmp(s + n, "rd", 2) || !strncmp(s + n, "th", 2))
        n += letter(s[n + 2]) ? 0 : 2;
    return n;
}

/* Words that say something about the whole are noted and dropped. */
static bool noted(struct tokens *t, const char *word)
{
    if (one_of(word, "about circa ca c around approx approximately roughly "
                     "maybe probably perhaps"))
        t->about = true;
    else if (one_of(word, "early beginning start"))
        t->third = 1;
    else if (one_of(word, "mid middle"))
        t->third = 2;
    else if (one_of(word, "late end"))
        t->third = 3;
    else if (t->count == 0 && one_of(word, "before"))
        t->bound = BOUND_BEFORE;
    else if (t->count == 0 && one_of(word, "until till by"))
        t->bound = BOUND_UNTIL;
    else if (t->count == 0 && one_of(word, "after"))
        t->bound = BOUND_AFTER;
    else if (t->count == 0 && one_of(word, "since"))
        t->bound = BOUND_SINCE;
    else
        return one_of(word, "of the in on at from between day year month");
    return true;
}

static void add_word(struct tokens *t, const char *word)
{
    static const char *const months[] = {
        "january", "february", "march",     "april",   "may",      "june",
        "july",    "august",   "september", "october", "november", "december"};
    static const char *const days[] = {"monday",   "tuesday", "wednesday",
                                       "thursday", "friday",  "saturday",
                                       "sunday"};
    static const char *const seasons[] = {"spring", "summer", "autumn",
                                          "winter", "fall"};
    int i = named(word, months, ARRAY_LEN(months));

    if (i >= 0) {
        add(t, 'M', i + 1, 0);
        return;
    }
    for (i = 0; i < (int)ARRAY_LEN(seasons); i++)
        if (!strcmp(word, seasons[i])) {
            add(t, 'S', i == 4 ? 2 : i, 0);
            return;
        }
    if (one_of(word, "to until till through thru and") && t->count) {
        add(t, '~', 0, 0);
        return;
    }
    if (one_of(word, "x xx xxxx")) {
        add(t, 'U', 0, 0);
        return;
    }
    if (noted(t, word) || named(word, days, ARRAY_LEN(days)) >= 0)
        return;
    add(t, !strcmp(word, "t") ? 'T' : 'W', 0, 0);
}

static size_t take_word(struct tokens *t, const char *s)
{
    char word[32];
    size_t n = 0;

    while (letter(s[n]) && s[n] != '\0')
        n++;
    snprintf(word, sizeof word, "%.*s", (int)(n < 31 ? n : 31), s);
    add_word(t, word);
    return n;
}

/* A "?" beside a sign stands for a part; elsewhere it doubts the whole. */
static size_t take_question(struct tokens *t, const char *key, const char *s)
{
    size_t n = strspn(s, "?");
    bool sign_before = s > key && strchr("/.-", s[-1]);
    bool sign_after = s[n] && strchr("/.-", s[n]);

    if (sign_before || sign_after)
        add(t, 'U', 0, 0);
    else
        t->about = true;
    return n;
}

/* "12:30" */
static bool is_clock(const char *s)
{
    size_t n = strspn(s, "0123456789");

    return n >= 1 && n <= 2 && s[n] == ':' && digit(s[n + 1]);
}

static size_t take_sign(struct tokens *t, const char *key, const char *s)
{
    if (!strncmp(s, "->", 2) || !strncmp(s, "..", 2)) {
        add(t, '~', 0, 0);
        return strncmp(s, "...", 3) ? 2 : 3;
    }
    if (*s == '-' && s > key && s[-1] == ' ' && s[1] == ' ') {
        add(t, '~', 0, 0);
        return 1;
    }
    if (*s == '.' && s > key && letter(s[-1]))
        return 1; /* "Sept.", "ca." */
    if (*s == '-' && !t->count && t->third)
        return 1; /* "mid-May" */
    if (strchr("/.-", *s))
        add(t, *s, 0, 0);
    else if (*s == '~')
        t->about = true;
    else if (!strchr(" ,;'()", *s))
        add(t, 'W', 0, 0);
    return 1;
}

/* One token, or a note, from s; returns its bytes. */
static size_t take_one(struct tokens *t, const char *key, const char *s)
{
    if (digit(*s))
        return add_number(t, s, s > key && s[-1] == '\'');
    if (letter(*s))
        return take_word(t, s);
    if (*s == '?')
        return take_question(t, key, s);
    return take_sign(t, key, s);
}

struct tokens tokens_of(const char *key, struct day today)
{
    struct tokens t = {.today = today};
    const char *s = key;

    while (*s && !(is_clock(s) && s > key && !digit(s[-1])))
        s += take_one(&t, key, s);
    /* A time of day and what follows it is left out, with its T. */
    if (*s && t.count && t.count <= TOKENS_MAX &&
        t.token[t.count - 1].kind == 'T')
        t.count--;
    return t;
}
