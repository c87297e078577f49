/*
 * accuracy [chain] [fixtures] [sets] [words] [charts] [stated] [cameras]
 * [spectra] [found]: how far readings are off and how often card and skeins are
 * found, measured anew, as tables in Markdown; all of them unless some are
 * named. Judges nothing: the tests do (test_truth.c, test_photos.c,
 * test_find.c).
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "chain_support.h"
#include "find_support.h"
#include "spectra_support.h"
#include "truth_support.h"

static void print_cover(struct cover c)
{
    printf("%zu of %zu (%.0f %%)", c.within, c.of, cover_pct(c));
}

static void print_errors(struct errors e)
{
    if (e.n)
        printf(" %.2f | %.2f |", errors_mean(&e), e.worst);
    else
        printf(" – | – |");
}

/* ---- the numbers alone --------------------------------------------------- */

static void chain(void)
{
    const struct chain c = chain_compare();

    printf("\nFrom codes to colours against the same in long double: worst "
           "%.6f ΔE00 of %zu colours; the card's own values after correction: "
           "off by %.1e at most.\n",
           c.worst, c.colours, c.card);
}

/* ---- drawn photographs -------------------------------------------------- */

static void head_drawn(const char *what)
{
    printf("\n| %s | skeins read | refused | mean ΔE00 | worst | truths inside "
           "the absolute 95 %% limits |\n|---|---|---|---|---|---|\n",
           what);
}

static void print_shots(const char *name, const struct shots *all)
{
    const struct cover c = shots_absolute(all);

    printf("| %s | %zu | %zu |", name, c.of, c.refused);
    print_errors(shots_errors(all, false));
    putchar(' ');
    print_cover(c);
    puts(" |");
}

/* Each sentence once a photograph. */
static void print_refusals(const struct shots *all)
{
    const struct shot *before = NULL;

    for (size_t i = 0; i < all->count; i++) {
        const struct shot *s = &all->shot[i];

        if (!s->got.refused)
            continue;
        if (!before || strcmp(before->file, s->file) != 0)
            printf("\nRefused in %s: %s\n", s->file, s->got.why);
        before = s;
    }
}

static void fixtures(void)
{
    struct shots all = shots_of_folder("fixtures");
    const struct errors plain = shots_errors(&all, true);

    head_drawn("the demo's photographs");
    print_shots("all", &all);
    printf("| of these in even light, without a tone curve | %zu | 0 |",
           plain.n);
    print_errors(plain);
    puts(" |");
    print_refusals(&all);
    free(all.shot);
}

/* Counts and seeds are those of test_truth.c. */
static void sets(void)
{
    struct shots even = shots_of_set("even", 25, 2025);
    struct shots varied = shots_of_set("varied", 50, 2025);
    struct shots repeat = shots_of_set("repeat", 110, 2025);
    const struct cover differences = shots_repeated(&repeat);

    head_drawn("small photographs by chance");
    print_shots("even light", &even);
    print_shots("any light, some with a tone curve", &varied);
    print_shots("twice the same, laid anew", &repeat);
    printf("\nDifferences of the two inside the same-set-up 95 %% limits: ");
    print_cover(differences);
    printf(", %zu refused.\n", differences.refused);
    print_refusals(&even);
    print_refusals(&varied);
    print_refusals(&repeat);
    free(even.shot);
    free(varied.shot);
    free(repeat.shot);
}

/* ---- words --------------------------------------------------------------- */

static double share(size_t some, size_t of)
{
    return of ? 100.0 * (double)some / (double)of : 0;
}

static void print_verdicts(const char *what, struct verdicts v)
{
    printf("| %s | %.2f | %zu | %.1f %% | %.1f %% | %.1f %% |\n", what,
           v.pairs ? v.apart / (double)v.pairs : 0, v.pairs,
           share(v.match, v.pairs), share(v.cannot_tell, v.pairs),
           share(v.different, v.pairs));
}

static struct verdicts sum_of(struct verdicts x, struct verdicts y)
{
    return (struct verdicts){x.pairs + y.pairs, x.different + y.different,
                             x.match + y.match, x.cannot_tell + y.cannot_tell,
                             x.apart + y.apart};
}

/* 120 set-ups of four photographs are 2,160 pairs of equal skeins, less those
 * that were refused. */
static void words(void)
{
    struct shots all = shots_of_set("apart", 120, 2025);
    struct errors laid, as_it_lay;

    puts("\n| dyes apart, ΔE00 | as they lay | pairs | \"match within 2\" | "
         "\"cannot tell\" | \"different\" |\n|---|---|---|---|---|---|");
    print_verdicts("0", sum_of(shots_verdicts(&all, 1, 1),
                               sum_of(shots_verdicts(&all, 2, 2),
                                      shots_verdicts(&all, 3, 3))));
    print_verdicts("2", shots_verdicts(&all, 1, 2));
    print_verdicts("3", shots_verdicts(&all, 2, 3));
    print_verdicts("about 5", shots_verdicts(&all, 1, 3));
    laid = shots_mcdm(&all, true);
    as_it_lay = shots_mcdm(&all, false);
    printf("\nMCDM of four photographs of a skein: %.2f laid anew for each, "
           "%.2f without what that truly adds (%zu readings).\n",
           errors_mean(&laid), errors_mean(&as_it_lay), laid.n);
    free(all.shot);
}

/* ---- errors as they are stated ------------------------------------------- */

/* As words(): 2,160 pairs of equal skeins, less those that were refused. */
static void stated(void)
{
    struct shots all = shots_of_set("stated", 120, 2025);
    struct verdicts equal = {0};

    puts("\n| errors as they are stated | skeins read | refused | mean ΔE00 | "
         "worst | truths inside the absolute 95 % limits |\n"
         "|---|---|---|---|---|---|");
    print_shots("card, tones, light, camera, laying", &all);
    for (int i = 1; i <= 3; i++)
        equal = sum_of(equal, shots_verdicts(&all, i, i));
    printf("\nOf equal skeins in two photographs of one set-up %.1f %% are "
           "called different, %.1f %% \"match within 2\" (%zu pairs).\n",
           share(equal.different, equal.pairs), share(equal.match, equal.pairs),
           equal.pairs);
    free(all.shot);
}

/* ---- photographs of charts ---------------------------------------------- */

static void print_chart(const struct table *patches, const char *image,
                        enum chart_known known, struct errors *all,
                        struct cover *covered)
{
    const struct chart c = chart_of(patches, image);
    struct error err = {0};
    struct cover inside = {0};
    size_t colours = 0;
    bool ok;
    const struct errors e = chart_read(&c, image, known, &inside, &ok, &err);

    for (size_t i = 0; i < c.n; i++)
        colours += c.colour[i];
    printf("| %s | %s | %zu | %zu |", strrchr(image, '/') + 1, c.trust,
           ok ? e.n : 0, ok ? colours - e.n : colours);
    print_errors(ok ? e : (struct errors){0});
    putchar(' ');
    if (ok)
        print_cover(inside);
    else
        printf("refused: %s", err.text);
    puts(" |");
    if (!ok || !strcmp(c.trust, "nominal"))
        return;
    all->sum += e.sum;
    all->n += e.n;
    all->worst = e.worst > all->worst ? e.worst : all->worst;
    covered->within += inside.within;
    covered->of += inside.of;
}

static void print_charts(const struct table *t, const char *what,
                         enum chart_known known)
{
    const char *before = "";
    struct errors all = {0};
    struct cover covered = {0};

    printf("\n| %s | values known from | colours read | refused | mean ΔE00 | "
           "worst | coordinates inside ± |\n"
           "|---|---|---|---|---|---|---|\n",
           what);
    for (size_t i = 0; i < t->rows; i++) {
        const char *image = table_text(t, i, "image");

        if (strcmp(image, before) != 0)
            print_chart(t, image, known, &all, &covered);
        before = image;
    }
    printf("| all whose values are not nominal | | %zu | |", all.n);
    print_errors(all);
    putchar(' ');
    print_cover(covered);
    puts(" |");
}

static void charts(void)
{
    struct table t;

    if (!photos()) {
        puts("\nNo photographs of charts: HANKLAB_TEST_PHOTOS names no folder "
             "of them.");
        return;
    }
    t = photo_table("chart-patches.csv");
    print_charts(&t, "photographs of charts", CHART_KNOWN_CARD);
    print_charts(&t, "the same, by all their greys", CHART_KNOWN_NEUTRALS);
    print_charts(&t, "the same, each colour by all other patches",
                 CHART_KNOWN_ALL_OTHER);
    table_clear(&t);
}

/* ---- a camera's own curve ----------------------------------------------- */

static void print_by_camera(const char *from, const char *to,
                            enum chart_known known)
{
    struct table t = photo_table("chart-patches.csv");
    const struct chart learnt = chart_of(&t, from);
    const struct camera camera = chart_camera(&learnt, from, known);
    struct chart c = chart_of(&t, to);
    struct cover alone = {0}, kept = {0};
    struct error err;
    bool ok;

    printf("| %s, %s | %s |", strrchr(from, '/') + 1,
           known == CHART_KNOWN_NEUTRALS ? "its greys" : "all its patches",
           strrchr(to, '/') + 1);
    print_errors(chart_read(&c, to, CHART_KNOWN_CARD, &alone, &ok, &err));
    putchar(' ');
    print_cover(alone);
    printf(" |");
    c.camera = &camera;
    print_errors(chart_read(&c, to, CHART_KNOWN_CARD, &kept, &ok, &err));
    putchar(' ');
    print_cover(kept);
    puts(" |");
    table_clear(&t);
}

static void print_drawn_camera(void)
{
    /* Seed and count are those of test_truth.c. */
    struct shots alone = shots_by_camera(40, 2025, false);
    struct shots kept = shots_by_camera(40, 2025, true);

    printf("| drawn, five steps | drawn, other skeins |");
    print_errors(shots_errors(&alone, false));
    putchar(' ');
    print_cover(shots_absolute(&alone));
    printf(" |");
    print_errors(shots_errors(&kept, false));
    putchar(' ');
    print_cover(shots_absolute(&kept));
    puts(" |");
    free(alone.shot);
    free(kept.shot);
}

static void cameras(void)
{
    static const char a[] = "charts/booth-dslr-a.jpg";
    static const char b[] = "charts/booth-dslr-b.jpg";

    puts("\n| a camera learnt from | read | card alone: mean ΔE00 | worst | "
         "inside ± | with the camera: mean ΔE00 | worst | inside ± |\n"
         "|---|---|---|---|---|---|---|---|");
    print_drawn_camera();
    if (!photos())
        return;
    print_by_camera(a, b, CHART_KNOWN_NEUTRALS);
    print_by_camera(b, a, CHART_KNOWN_NEUTRALS);
    print_by_camera(a, b, CHART_KNOWN_ALL_OTHER);
    print_by_camera(b, a, CHART_KNOWN_ALL_OTHER);
}

/* ---- found ----------------------------------------------------------------
 */

static void print_count(const char *what, const char *how, struct finds_count c)
{
    printf("| %s | %s | %zu (%.1f %%) | %zu | %zu |\n", what, how, c.right,
           finds_pct(c), c.refused, c.wrong);
}

static void print_finds(const char *what, struct finds f)
{
    print_count(what, "taps on the card", f.card_taps);
    print_count(what, "taps on skeins", f.skein_taps);
    print_count(what, "the card by itself", f.cards);
    print_count(what, "skeins by themselves", f.skeins);
}

static void found(void)
{
    puts("\n| | looked for | right | refused or silent | wrong |\n"
         "|---|---|---|---|---|");
    print_finds("the demo's photographs", finds_of_fixtures(false));
    print_finds("by chance, even light", finds_of_set("even", 25, 2025, false));
    print_finds("by chance, any light",
                finds_of_set("varied", 50, 2025, false));
    print_finds("undyed skeins on white cloth",
                finds_on_table("undyed", "cloth", false));
    if (!photos())
        return;
    print_count("photographs of charts", "taps on patches", finds_on_charts());
    print_count("photographs without a card", "no card", finds_without_card());
}

/* ---- the whole ---------------------------------------------------------- */

static bool wanted(int argc, char **argv, const char *part)
{
    for (int i = 1; i < argc; i++)
        if (!strcmp(argv[i], part))
            return true;
    return argc == 1;
}

/* ---- reckoned from spectra ----------------------------------------------- */

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

static void print_light(const char *light, double tone,
                        enum spectral_known known)
{
    static double off[SPECTRAL_CAMERAS * SPECTRAL_WOOLS];
    double best = 100, most = 0;
    struct errors all = {0};
    struct cover cover = {0};
    size_t n = 0;

    for (int camera = 0; camera < SPECTRAL_CAMERAS; camera++) {
        struct errors one = {0};

        n += spectral_read((struct spectral_shot){light, camera, tone, known},
                           &one, &cover, off + n);
        best = errors_mean(&one) < best ? errors_mean(&one) : best;
        most = errors_mean(&one) > most ? errors_mean(&one) : most;
        all.sum += one.sum;
        all.n += one.n;
    }
    qsort(off, n, sizeof *off, by_size);
    printf("| %s | %s | %.2f | %.2f to %.2f | %.2f | %.0f %% of %zu |\n", light,
           tone > 0 ? "S" : "none", errors_mean(&all), best, most,
           off[n * 95 / 100], cover_pct(cover), cover.of);
}

static void by_spectra(void)
{
    static const char *const known[] = {"one grey card", "six greys",
                                        "chart of 24 patches"};
    static const char *const lights[] = {"D50",    "D65",  "LED-B3",
                                         "LED-B1", "FL11", "A"};

    if (!spectra()) {
        puts("\nHANKLAB_TEST_SPECTRA names no folder: nothing reckoned.");
        return;
    }
    for (int k = SPECTRAL_CARD; k <= SPECTRAL_CHART; k++) {
        printf("\n| %s: light | tone curve | mean ΔE00 | by camera | 95 %% "
               "below | coordinates inside ± |\n|---|---|---|---|---|---|\n",
               known[k]);
        for (int tone = 0; tone < 2; tone++)
            for (size_t i = 0; i < ARRAY_LEN(lights); i++)
                print_light(lights[i], tone ? 0.5 : 0, (enum spectral_known)k);
    }
}

int main(int argc, char **argv)
{
    static const struct {
        const char *name;
        void (*print)(void);
    } parts[] = {
        {"chain", chain},     {"fixtures", fixtures},  {"sets", sets},
        {"words", words},     {"stated", stated},      {"charts", charts},
        {"cameras", cameras}, {"spectra", by_spectra}, {"found", found}};

    for (size_t i = 0; i < ARRAY_LEN(parts); i++)
        if (wanted(argc, argv, parts[i].name))
            parts[i].print();
    return 0;
}
