#include "back/back.h"

static const struct back table[] = {
    {"md", "show notes in CommonMark", true, back_markdown},
    {"vtt", "captions and chapters in WebVTT", true, back_webvtt},
    {"srt", "captions in SubRip", true, back_subrip},
    {"mid", "a Standard MIDI File for each demo and passage", false, back_midi},
    {"json", "the whole model and the verdicts", false, back_json},
    {NULL, NULL, false, NULL},
};

const struct back *backs(void)
{
    return table;
}

const struct back *back_by_kind(struct str kind)
{
    for (const struct back *b = table; b->kind; b++)
        if (str_is(kind, b->kind))
            return b;
    return NULL;
}

void output_add(struct output_list *list, const char *suffix, struct buf *bytes)
{
    if (list->n == list->cap) {
        uint32_t cap = list->cap ? list->cap * 2 : 8;
        struct output *items = ARENA_NEW_ARRAY(list->arena, struct output, cap);
        if (list->n)
            memcpy(items, list->items, list->n * sizeof *items);
        list->items = items;
        list->cap = cap;
    }
    struct str name = str_printf(list->arena, "%.*s.%s", STR_ARG(list->stem), suffix);
    list->items[list->n++] = (struct output){name, buf_take(bytes, list->arena)};
}
