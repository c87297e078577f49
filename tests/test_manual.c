/*
 * What the manual page and the shell completion say, against the tables of
 * commands and records they are made from.
 */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "book/noun.h"
#include "cli/cli.h"
#include "cli/noun.h"

/* The page as the build made it. */
static char *page_read(void)
{
    const char *build = getenv("BUILD");
    struct text path = {0};
    unsigned char *bytes;
    size_t size;
    char *page;

    text_addf(&path, "%s/hanklab.1", build ? build : "build/gcc");
    bytes = file_read(text_str(&path), &size);
    page = mem_text_n((const char *)bytes, size);
    free(bytes);
    text_clear(&path);
    return page;
}

/* The part of the page under a heading ".Ss NAME"; release with free(). */
static char *section(const char *page, const char *name)
{
    char heading[64];
    const char *from, *end;

    snprintf(heading, sizeof heading, "\n.Ss %s\n", name);
    from = strstr(page, heading);
    if (!from) {
        fail_msg("the page has no section %s", name);
        return NULL;
    }
    from += strlen(heading);
    end = strstr(from, "\n.S");
    return mem_text_n(from, end ? (size_t)(end - from) : strlen(from));
}

static void check_has(const char *where, const char *text, const char *part)
{
    if (!strstr(text, part))
        fail_msg("%s: \"%s\" is missing", where, part);
}

static void test_page_names_every_command_and_its_options(void **state)
{
    char *page = page_read(), part[128];
    const struct cli_command *c;

    (void)state;
    for (size_t i = 0; (c = cli_command_at(i)); i++) {
        char *s = section(page, c->name);
        for (size_t k = 0; k < c->option_count; k++) {
            if (c->options[k].flags & CLI_HIDDEN)
                continue;
            snprintf(part, sizeof part, "\n.It Fl -%s%s", c->options[k].name,
                     c->options[k].value ? " Ar " : "\n");
            check_has(c->name, s, part);
        }
        free(s);
    }
    free(page);
}

/* From the table of records itself, not through the commands made of it. */
static void test_page_names_every_noun_field_and_choice(void **state)
{
    char *page = page_read(), part[128];

    (void)state;
    for (size_t i = 0; i < noun_count; i++) {
        char *s, *flat;
        if (!cli_noun_is_command(&nouns[i]))
            continue;
        s = section(page, nouns[i].name);
        flat = mem_text(s); /* a long help is broken over lines */
        for (char *p = flat; (p = strchr(p, '\n'));)
            *p = ' ';
        for (size_t k = 0; k < nouns[i].field_count; k++) {
            const struct field *f = &nouns[i].fields[k];
            if (f->flags & FIELD_OWN)
                continue;
            snprintf(part, sizeof part, "\n.It Fl -%s Ar ", f->name);
            check_has(nouns[i].name, s, part);
            check_has(nouns[i].name, flat, f->help);
            if (f->kind == FIELD_CHOICE)
                check_has(nouns[i].name, s, f->choices);
        }
        free(flat);
        free(s);
    }
    free(page);
}

static void test_page_names_every_verb_and_form(void **state)
{
    const struct cli_command *c = cli_noun_command(&nouns[NOUN_SKEIN]);
    char *page = page_read(), part[128];

    (void)state;
    assert_int_equal(c->verb_count, 6);
    for (size_t i = 0; i < c->verb_count; i++) {
        snprintf(part, sizeof part, "\n.It Cm %s", c->verbs[i].name);
        check_has("verbs", page, part);
    }
    for (size_t i = 0; i < cli_form_count; i++) {
        snprintf(part, sizeof part, "\n.It Ar %s\n%s", cli_forms[i].name,
                 cli_forms[i].help);
        check_has("forms", page, part);
    }
    free(page);
}

/* What is shown with a verb is offered behind it, with its help. */
static void check_offered(const struct cli_command *c,
                          const struct cli_verb *verb)
{
    const char *words[] = {c->name, verb ? verb->name : "--", "--"};
    struct text t = {0}, line = {0};

    cli_complete(words, verb ? 3 : 2, &t);
    for (size_t i = 0; i < c->option_count; i++) {
        text_reset(&line);
        text_addf(&line, "--%s\t%s\n", c->options[i].name, c->options[i].help);
        if (cli_option_fits(&c->options[i], verb) !=
            (strstr(text_str(&t), text_str(&line)) != NULL))
            fail_msg("completion of %s %s: %s", c->name, words[1],
                     text_str(&line));
    }
    text_clear(&line);
    text_clear(&t);
}

static void check_verbs(const struct cli_command *c)
{
    const char *words[] = {c->name, ""};
    struct text t = {0}, line = {0};

    cli_complete(words, 2, &t);
    for (size_t k = 0; k < c->verb_count; k++) {
        text_reset(&line);
        text_addf(&line, "%s\t%s\n", c->verbs[k].name, c->verbs[k].help);
        check_has(c->name, text_str(&t), text_str(&line));
        check_offered(c, &c->verbs[k]);
    }
    text_clear(&line);
    text_clear(&t);
}

static void test_completion_offers_every_command_verb_and_option(void **state)
{
    const char *words[] = {""};
    struct text t = {0}, line = {0};
    const struct cli_command *c;

    (void)state;
    cli_complete(words, 1, &t);
    for (size_t i = 0; (c = cli_command_at(i)); i++) {
        text_reset(&line);
        text_addf(&line, "%s\t%s\n", c->name, c->summary);
        check_has("commands", text_str(&t), text_str(&line));
        if (c->verb_count)
            check_verbs(c);
        else
            check_offered(c, NULL);
    }
    text_clear(&line);
    text_clear(&t);
}

static void test_help_of_a_verb_shows_what_it_takes(void **state)
{
    const struct cli_command *c = cli_command_find("skein");
    struct text t = {0};

    (void)state;
    cli_help(c, cli_verb_find(c, "edit"), &t);
    check_has("skein edit", text_str(&t), "--weight WEIGHT");
    check_has("skein edit", text_str(&t), "1 3/4 oz");
    assert_null(strstr(text_str(&t), "--number"));
    assert_null(strstr(text_str(&t), "--withdrawn"));
    text_reset(&t);
    cli_help(c, cli_verb_find(c, "add"), &t);
    check_has("skein add", text_str(&t), "--number NUMBER");
    text_reset(&t);
    cli_help(c, cli_verb_find(c, "list"), &t);
    check_has("skein list", text_str(&t), "--withdrawn");
    assert_null(strstr(text_str(&t), "--weight"));
    text_clear(&t);
}

static void test_main_help_names_every_command_and_noun(void **state)
{
    struct text t = {0};
    const struct cli_command *c;
    char part[64];

    (void)state;
    cli_help(NULL, NULL, &t);
    for (size_t i = 0; (c = cli_command_at(i)); i++) {
        snprintf(part, sizeof part, "\n  %s ", c->name);
        check_has("help", text_str(&t), part);
    }
    text_clear(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_page_names_every_command_and_its_options),
        cmocka_unit_test(test_page_names_every_noun_field_and_choice),
        cmocka_unit_test(test_page_names_every_verb_and_form),
        cmocka_unit_test(test_completion_offers_every_command_verb_and_option),
        cmocka_unit_test(test_help_of_a_verb_shows_what_it_takes),
        cmocka_unit_test(test_main_help_names_every_command_and_noun),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
