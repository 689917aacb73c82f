/* A file in the one style: nothing is looked up, only the text and its statements are read. */
#include "driver/driver.h"

#include "syntax/format.h"
#include "syntax/text.h"

bool reformat(struct str name, struct str text, struct compilation *out, struct buf *formatted)
{
    *out = (struct compilation){0};
    out->sources.arena = &out->arena;
    out->diags.arena = &out->arena;
    struct str clean;
    uint32_t file = source_add(&out->sources, name, text, false);
    bool fine = text_clean(&out->arena, &out->diags, file, text, &clean) && !out->diags.errors &&
                format_text(&out->arena, file, clean, &out->diags, formatted);
    diag_sort(&out->diags);
    return fine;
}
