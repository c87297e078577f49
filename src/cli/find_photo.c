/* The colour of yarn in a photo as what is looked for. See find_photo.h. */
#include "cli/find_photo.h"

#include "base/mem.h"
#include "cli/measure.h"

const char *find_photo_given(const struct cli *cli)
{
    static const char *const options[] = {
        "region", "tap",      "card-box", "card-tap",
        "card",   "card-lab", "card-u",   "assume-profile"};

    for (size_t i = 0; i < ARRAY_LEN(options); i++)
        if (cli_has(cli, options[i]))
            return options[i];
    return NULL;
}

static bool read_job(struct cli *cli, struct measure_job *job,
                     struct error *err)
{
    const char *region = cli_value(cli, "region"), *tap = cli_value(cli, "tap");

    if (!region == !tap)
        return cli_usage(cli, err,
                         "say where the yarn lies in the photo: --region "
                         "X,Y,W,H or --tap X,Y");
    if (!cli_has(cli, "card-box") && !cli_has(cli, "card-tap"))
        return cli_usage(cli, err,
                         "say where the grey card lies: --card-box X,Y,W,H or "
                         "--card-tap X,Y");
    if (!measure_profile_read(cli, job, err) ||
        !measure_card_place_read(cli, job, err) ||
        !measure_where_read(job, region ? region : tap,
                            region ? "region" : "tap", err) ||
        !measure_card_read(cli, job, err))
        return false;
    job->places = 1;
    job->request.region = job->box;
    job->request.yarn = job->yarn;
    job->request.regions = 1;
    return measure_cameras_read(cli, job, err);
}

static void tell(const char *who, const struct measure_notes *notes)
{
    for (size_t i = 0; i < notes->count; i++)
        cli_note("%s: %s", who, notes->text[i]);
}

bool find_photo_read(struct cli *cli, struct find_request *out,
                     struct error *err)
{
    struct measure_job *job = measure_job_new();
    const struct measure_region *at = &job->result->region[0];
    bool ok = read_job(cli, job, err) &&
              measure_job_run(cli_value(cli, "photo"), job, err);

    if (ok && at->refused)
        ok = error_set(err, ERR_INPUT, "the yarn in the photo: %s", at->why);
    if (ok) {
        tell("photo", &job->result->card_notes);
        tell("yarn", &at->notes);
        out->has_target = out->was_read = true;
        out->target = at->lab;
        out->target_abs = at->abs;
    }
    measure_job_free(job);
    return ok;
}
