#include "diag/levels.h"

enum level_fault levels_read(struct diag_levels *levels, struct str text, struct str *name)
{
    enum level_wish wish = WISH_WARNING;
    enum diag_code code = diag_by_name(text);
    *name = text;
    /* The whole text comes first: a code may itself begin with "no-". */
    if (code == DIAG_COUNT && str_starts(text, STR("error="))) {
        wish = WISH_ERROR;
        *name = str_slice(text, 6, text.n);
    } else if (code == DIAG_COUNT && str_starts(text, STR("no-"))) {
        wish = WISH_HIDE;
        *name = str_slice(text, 3, text.n);
    }
    code = diag_by_name(*name);
    if (code == DIAG_COUNT)
        return LEVEL_UNKNOWN;
    if (diag_info(code)->level == LEVEL_ERROR && wish != WISH_ERROR)
        return LEVEL_FIXED;
    levels->wish[code] = (unsigned char)wish;
    return LEVEL_OK;
}

static enum diag_level wished(enum level_wish wish, enum diag_level own)
{
    switch (wish) {
    case WISH_NONE: return own;
    case WISH_HIDE: return own;
    case WISH_WARNING: return own == LEVEL_NOTE ? LEVEL_WARNING : own;
    case WISH_ERROR: return LEVEL_ERROR;
    }
    return own;
}

void levels_apply(const struct diag_levels *levels, struct diag_list *list)
{
    uint32_t kept = 0;
    list->errors = list->warnings = 0;
    for (uint32_t i = 0; i < list->n; i++) {
        struct diag d = list->items[i];
        enum level_wish wish = (enum level_wish)levels->wish[d.code];
        if (wish == WISH_HIDE && d.level != LEVEL_ERROR)
            continue;
        d.level = wished(wish, d.level);
        list->errors += d.level == LEVEL_ERROR;
        list->warnings += d.level == LEVEL_WARNING;
        list->items[kept++] = d;
    }
    list->n = kept;
}
