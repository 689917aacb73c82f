#include "diag/render.h"

#include <cJSON.h>
#include <stdlib.h>
#include <utf8proc.h>

cJSON *json_text(struct str text)
{
    struct buf b = {0};
    for (uint32_t i = 0; i < text.n;) {
        utf8proc_int32_t c;
        utf8proc_ssize_t used = utf8proc_iterate((const utf8proc_uint8_t *)text.p + i, text.n - i, &c);
        if (used <= 0 || c == 0)
            buf_put(&b, "\xEF\xBF\xBD");
        else
            buf_bytes(&b, text.p + i, (size_t)used);
        i += used > 0 ? (uint32_t)used : 1;
    }
    buf_byte(&b, '\0');
    cJSON *node = cJSON_CreateString(b.p);
    buf_free(&b);
    if (!node)
        abort();
    return node;
}

void json_place(cJSON *object, struct source_list *sources, struct span where)
{
    struct position from = source_position(sources, where.file, where.lo);
    struct position to = source_position(sources, where.file, where.hi);
    cJSON_AddItemToObject(object, "file", json_text(sources->items[where.file].name));
    cJSON_AddNumberToObject(object, "line", from.line);
    cJSON_AddNumberToObject(object, "column", from.column);
    cJSON_AddNumberToObject(object, "endLine", to.line);
    cJSON_AddNumberToObject(object, "endColumn", to.column);
}

void json_line(struct buf *b, cJSON *object)
{
    char *text = cJSON_PrintUnformatted(object);
    if (!text)
        abort();
    buf_put(b, text);
    buf_byte(b, '\n');
    cJSON_free(text);
    cJSON_Delete(object);
}

static const char *part_word(enum diag_part_kind kind)
{
    switch (kind) {
    case PART_LABEL: return "place";
    case PART_NOTE: return "note";
    case PART_HELP: return "help";
    case PART_FIX: return "fix";
    }
    return "";
}

static cJSON *json_part(struct source_list *sources, const struct diag_part *part)
{
    cJSON *object = cJSON_CreateObject();
    cJSON_AddStringToObject(object, "kind", part_word(part->kind));
    if (part->kind == PART_LABEL || part->kind == PART_FIX)
        json_place(object, sources, part->where);
    cJSON_AddItemToObject(object, part->kind == PART_FIX ? "replacement" : "text", json_text(part->text));
    if (part->kind == PART_FIX)
        cJSON_AddBoolToObject(object, "safe", part->safe);
    return object;
}

void render_json(struct buf *b, struct source_list *sources, const struct diag *d)
{
    cJSON *object = cJSON_CreateObject();
    cJSON_AddStringToObject(object, "kind", "diagnostic");
    cJSON_AddStringToObject(object, "severity", diag_level_word(d->level));
    cJSON_AddStringToObject(object, "code", diag_info(d->code)->name);
    json_place(object, sources, d->where);
    cJSON_AddItemToObject(object, "message", json_text(d->message));
    if (d->label.n)
        cJSON_AddItemToObject(object, "label", json_text(d->label));
    cJSON *parts = cJSON_AddArrayToObject(object, "parts");
    for (const struct diag_part *part = d->parts; part; part = part->next)
        cJSON_AddItemToArray(parts, json_part(sources, part));
    json_line(b, object);
}
