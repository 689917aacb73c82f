#include "diag/diag.h"

#include "base/buf.h"

#include <stdlib.h>

/* codes.def takes in claims/kinds.def, so that a claim kind is registered in one place only. */
static const struct diag_info infos[] = {
#define DIAG(id, name, level, family, summary) {name, level, family, summary},
#include "diag/codes.def"
#undef DIAG
};

const struct diag_info *diag_info(enum diag_code code)
{
    return &infos[code];
}

enum diag_code diag_by_name(struct str name)
{
    for (int i = 0; i < (int)DIAG_COUNT; i++)
        if (str_is(name, infos[i].name))
            return (enum diag_code)i;
    return DIAG_COUNT;
}

const char *diag_level_word(enum diag_level level)
{
    switch (level) {
    case LEVEL_NOTE: return "note";
    case LEVEL_WARNING: return "warning";
    case LEVEL_UNDECIDED: return "undecided";
    case LEVEL_ERROR: return "error";
    }
    return "";
}

/* The old array stays behind in the arena: doubling keeps that below the size of the list itself. */
static void make_room(struct diag_list *list)
{
    if (list->n < list->cap)
        return;
    uint32_t cap = list->cap ? list->cap * 2 : 16;
    struct diag *items = ARENA_NEW_ARRAY(list->arena, struct diag, cap);
    if (list->n)
        memcpy(items, list->items, list->n * sizeof *items);
    list->items = items;
    list->cap = cap;
}

static struct str format_text(struct arena *a, const char *format, va_list ap)
{
    struct buf b = {0};
    buf_vprintf(&b, format, ap);
    return buf_take(&b, a);
}

struct diag *diag_add(struct diag_list *list, enum diag_code code, struct span where, const char *format, ...)
{
    make_room(list);
    struct diag *d = &list->items[list->n];
    va_list ap;
    va_start(ap, format);
    *d = (struct diag){.code = code, .level = infos[code].level, .where = where, .order = list->n};
    d->message = format_text(list->arena, format, ap);
    va_end(ap);
    list->n++;
    list->errors += d->level == LEVEL_ERROR;
    list->warnings += d->level == LEVEL_WARNING;
    return d;
}

static struct diag_part *part_add(struct diag_list *list, struct diag *d, enum diag_part_kind kind,
                                  struct span where)
{
    struct diag_part *part = ARENA_NEW(list->arena, struct diag_part);
    part->kind = kind;
    part->where = where;
    if (d->last_part)
        d->last_part->next = part;
    else
        d->parts = part;
    d->last_part = part;
    return part;
}

void diag_label(struct diag_list *list, struct diag *d, const char *format, ...)
{
    va_list ap;
    va_start(ap, format);
    d->label = format_text(list->arena, format, ap);
    va_end(ap);
}

void diag_place(struct diag_list *list, struct diag *d, struct span where, const char *format, ...)
{
    va_list ap;
    va_start(ap, format);
    part_add(list, d, PART_LABEL, where)->text = format_text(list->arena, format, ap);
    va_end(ap);
}

void diag_note(struct diag_list *list, struct diag *d, const char *format, ...)
{
    va_list ap;
    va_start(ap, format);
    part_add(list, d, PART_NOTE, d->where)->text = format_text(list->arena, format, ap);
    va_end(ap);
}

void diag_help(struct diag_list *list, struct diag *d, const char *format, ...)
{
    va_list ap;
    va_start(ap, format);
    part_add(list, d, PART_HELP, d->where)->text = format_text(list->arena, format, ap);
    va_end(ap);
}

void diag_fix(struct diag_list *list, struct diag *d, struct span where, struct str replacement, bool safe)
{
    struct diag_part *part = part_add(list, d, PART_FIX, where);
    part->text = (struct str){arena_copy(list->arena, replacement.p, replacement.n), replacement.n};
    part->safe = safe;
}

static int compare_numbers(uint32_t a, uint32_t b)
{
    return (a > b) - (a < b);
}

static int compare_places(const void *left, const void *right)
{
    const struct diag *a = left, *b = right;
    int c = compare_numbers(a->where.file, b->where.file);
    if (!c)
        c = compare_numbers(a->where.lo, b->where.lo);
    if (!c)
        c = compare_numbers(a->where.hi, b->where.hi);
    return c ? c : compare_numbers(a->order, b->order);
}

static bool is_double(const struct diag *a, const struct diag *b)
{
    return a->code == b->code && a->where.file == b->where.file && a->where.lo == b->where.lo &&
           a->where.hi == b->where.hi && str_eq(a->message, b->message);
}

/* Doubles share their span, so only neighbours of the same span can be one. */
static bool has_double_before(const struct diag_list *list, uint32_t n, const struct diag *d)
{
    for (uint32_t i = n; i-- > 0;) {
        const struct diag *other = &list->items[i];
        if (other->where.file != d->where.file || other->where.lo != d->where.lo ||
            other->where.hi != d->where.hi)
            return false;
        if (is_double(other, d))
            return true;
    }
    return false;
}

void diag_sort(struct diag_list *list)
{
    if (list->n == 0)
        return;
    qsort(list->items, list->n, sizeof *list->items, compare_places);
    uint32_t kept = 0;
    for (uint32_t i = 0; i < list->n; i++) {
        struct diag d = list->items[i];
        if (has_double_before(list, kept, &d)) {
            list->errors -= d.level == LEVEL_ERROR;
            list->warnings -= d.level == LEVEL_WARNING;
            continue;
        }
        list->items[kept++] = d;
    }
    list->n = kept;
}
