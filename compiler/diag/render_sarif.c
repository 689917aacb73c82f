/* SARIF 2.1.0 (OASIS Standard, 27 March 2020, with Errata 01). Section numbers below are of that text. */
#include "diag/render.h"

#include <cJSON.h>
#include <stdlib.h>

struct sarif_log {
    cJSON *root, *run, *results;
};

/* 3.58.6: "undecided" is a result of kind "open", whose level must be "none"; some readers look at neither, so the message
 * says it as well. */
static const char *sarif_level(enum diag_level level)
{
    switch (level) {
    case LEVEL_NOTE: return "note";
    case LEVEL_WARNING: return "warning";
    case LEVEL_UNDECIDED: return "none";
    case LEVEL_ERROR: return "error";
    }
    return "none";
}

static cJSON *message_object(struct str text)
{
    cJSON *message = cJSON_CreateObject();
    cJSON_AddItemToObject(message, "text", json_text(text));
    return message;
}

static void put_rules(cJSON *driver)
{
    cJSON *rules = cJSON_AddArrayToObject(driver, "rules");
    for (int i = 0; i < (int)DIAG_COUNT; i++) {
        const struct diag_info *info = diag_info((enum diag_code)i);
        cJSON *rule = cJSON_CreateObject();
        cJSON_AddStringToObject(rule, "id", info->name);
        cJSON_AddItemToObject(rule, "shortDescription", message_object(str_of(info->summary)));
        cJSON *configuration = cJSON_AddObjectToObject(rule, "defaultConfiguration");
        cJSON_AddStringToObject(configuration, "level", sarif_level(info->level));
        cJSON *properties = cJSON_AddObjectToObject(rule, "properties");
        cJSON *tags = cJSON_AddArrayToObject(properties, "tags");
        cJSON_AddItemToArray(tags, cJSON_CreateString(info->family));
        cJSON_AddItemToArray(rules, rule);
    }
}

struct sarif_log *sarif_open(const char *version)
{
    struct sarif_log *log = malloc(sizeof *log);
    if (!log)
        abort();
    log->root = cJSON_CreateObject();
    cJSON_AddStringToObject(log->root, "$schema",
                            "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json");
    cJSON_AddStringToObject(log->root, "version", "2.1.0");
    cJSON *runs = cJSON_AddArrayToObject(log->root, "runs");
    log->run = cJSON_CreateObject();
    cJSON_AddItemToArray(runs, log->run);
    cJSON *tool = cJSON_AddObjectToObject(log->run, "tool");
    cJSON *driver = cJSON_AddObjectToObject(tool, "driver");
    cJSON_AddStringToObject(driver, "name", "Descant");
    cJSON_AddStringToObject(driver, "version", version);
    put_rules(driver);
    cJSON_AddStringToObject(log->run, "columnKind", "unicodeCodePoints");
    log->results = cJSON_AddArrayToObject(log->run, "results");
    return log;
}

/* RFC 3986: what is not unreserved or a slash is percent-encoded. An absolute path becomes a file URI. */
static cJSON *uri_text(struct str path)
{
    static const char plain[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~/";
    struct buf b = {0};
    if (path.n && path.p[0] == '/')
        buf_put(&b, "file://");
    for (uint32_t i = 0; i < path.n; i++) {
        if (path.p[i] && strchr(plain, path.p[i]))
            buf_byte(&b, path.p[i]);
        else
            buf_printf(&b, "%%%02X", (unsigned)(unsigned char)path.p[i]);
    }
    cJSON *node = json_text(buf_str(&b));
    buf_free(&b);
    return node;
}

static void put_artifact(cJSON *object, struct source_list *sources, uint32_t file)
{
    cJSON *location = cJSON_AddObjectToObject(object, "artifactLocation");
    cJSON_AddItemToObject(location, "uri", uri_text(sources->items[file].name));
}

static void put_region(cJSON *object, const char *key, struct source_list *sources, struct span where)
{
    struct position from = source_position(sources, where.file, where.lo);
    struct position to = source_position(sources, where.file, where.hi);
    cJSON *region = cJSON_AddObjectToObject(object, key);
    cJSON_AddNumberToObject(region, "startLine", from.line);
    cJSON_AddNumberToObject(region, "startColumn", from.column);
    cJSON_AddNumberToObject(region, "endLine", to.line);
    cJSON_AddNumberToObject(region, "endColumn", to.column);
}

static cJSON *location_object(struct source_list *sources, struct span where)
{
    cJSON *location = cJSON_CreateObject();
    cJSON *physical = cJSON_AddObjectToObject(location, "physicalLocation");
    put_artifact(physical, sources, where.file);
    put_region(physical, "region", sources, where);
    return location;
}

/* The message, the label and what the notes and help say: a reader of SARIF has no other place for them. */
static cJSON *result_message(const struct diag *d)
{
    struct buf b = {0};
    if (d->level == LEVEL_UNDECIDED)
        buf_put(&b, "undecided: ");
    buf_str_put(&b, d->message);
    if (d->label.n)
        buf_printf(&b, "\n%.*s", STR_ARG(d->label));
    for (const struct diag_part *part = d->parts; part; part = part->next) {
        switch (part->kind) {
        case PART_LABEL: break;
        case PART_NOTE: buf_printf(&b, "\n%.*s", STR_ARG(part->text)); break;
        case PART_HELP: buf_printf(&b, "\nhelp: %.*s", STR_ARG(part->text)); break;
        case PART_FIX: break;
        }
    }
    cJSON *message = message_object(buf_str(&b));
    buf_free(&b);
    return message;
}

static void put_related(cJSON *result, struct source_list *sources, const struct diag *d)
{
    cJSON *related = NULL;
    int id = 1;
    for (const struct diag_part *part = d->parts; part; part = part->next) {
        if (part->kind != PART_LABEL)
            continue;
        if (!related)
            related = cJSON_AddArrayToObject(result, "relatedLocations");
        cJSON *location = location_object(sources, part->where);
        cJSON_AddNumberToObject(location, "id", id++);
        cJSON_AddItemToObject(location, "message", message_object(part->text));
        cJSON_AddItemToArray(related, location);
    }
}

static void put_fixes(cJSON *result, struct source_list *sources, const struct diag *d)
{
    cJSON *fixes = NULL;
    for (const struct diag_part *part = d->parts; part; part = part->next) {
        if (part->kind != PART_FIX)
            continue;
        if (!fixes)
            fixes = cJSON_AddArrayToObject(result, "fixes");
        cJSON *fix = cJSON_CreateObject();
        cJSON_AddItemToObject(fix, "description", message_object(part->safe ? STR("fix") : STR("possible fix")));
        cJSON *changes = cJSON_AddArrayToObject(fix, "artifactChanges");
        cJSON *change = cJSON_CreateObject();
        cJSON_AddItemToArray(changes, change);
        put_artifact(change, sources, part->where.file);
        cJSON *replacements = cJSON_AddArrayToObject(change, "replacements");
        cJSON *replacement = cJSON_CreateObject();
        cJSON_AddItemToArray(replacements, replacement);
        put_region(replacement, "deletedRegion", sources, part->where);
        cJSON *inserted = cJSON_AddObjectToObject(replacement, "insertedContent");
        cJSON_AddItemToObject(inserted, "text", json_text(part->text));
        cJSON_AddItemToArray(fixes, fix);
    }
}

static cJSON *result_object(struct source_list *sources, const struct diag *d)
{
    cJSON *result = cJSON_CreateObject();
    cJSON_AddStringToObject(result, "ruleId", diag_info(d->code)->name);
    cJSON_AddNumberToObject(result, "ruleIndex", (double)d->code);
    cJSON_AddStringToObject(result, "kind", d->level == LEVEL_UNDECIDED ? "open" : "fail");
    cJSON_AddStringToObject(result, "level", sarif_level(d->level));
    cJSON_AddItemToObject(result, "message", result_message(d));
    cJSON *locations = cJSON_AddArrayToObject(result, "locations");
    cJSON_AddItemToArray(locations, location_object(sources, d->where));
    put_related(result, sources, d);
    put_fixes(result, sources, d);
    return result;
}

void sarif_add(struct sarif_log *log, struct source_list *sources, const struct diag_list *diags)
{
    for (uint32_t i = 0; i < diags->n; i++)
        cJSON_AddItemToArray(log->results, result_object(sources, &diags->items[i]));
}

void sarif_close(struct sarif_log *log, int exit_status, struct buf *b)
{
    cJSON *invocations = cJSON_AddArrayToObject(log->run, "invocations");
    cJSON *invocation = cJSON_CreateObject();
    cJSON_AddItemToArray(invocations, invocation);
    cJSON_AddBoolToObject(invocation, "executionSuccessful", exit_status != 2);
    cJSON_AddNumberToObject(invocation, "exitCode", exit_status);
    json_line(b, log->root);
    free(log);
}
