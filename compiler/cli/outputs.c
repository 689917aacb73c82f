#include "cli/outputs.h"

#include "base/io.h"
#include "cli/depfile.h"

/* "series/lamp.descant" gives "lamp". */
static struct str stem_of(const char *path)
{
    if (strcmp(path, "-") == 0)
        return STR("stdin");
    const char *slash = strrchr(path, '/');
    struct str name = str_of(slash ? slash + 1 : path);
    for (uint32_t i = name.n; i-- > 1;)
        if (name.p[i] == '.')
            return str_slice(name, 0, i);
    return name;
}

static bool path_taken(const struct outputs *out, struct str path)
{
    for (uint32_t i = 0; i < out->n; i++)
        if (str_eq(out->paths[i], path))
            return true;
    return false;
}

static void path_add(struct outputs *out, struct str path)
{
    if (out->n == out->cap) {
        uint32_t cap = out->cap ? out->cap * 2 : 32;
        struct str *paths = ARENA_NEW_ARRAY(&out->arena, struct str, cap);
        if (out->n)
            memcpy(paths, out->paths, out->n * sizeof *paths);
        out->paths = paths;
        out->cap = cap;
    }
    out->paths[out->n++] = path;
}

static void back_run(const struct back *back, const struct model *m, struct output_list *list)
{
    if (!back->needs_episode || !m->is_library)
        back->write(m, list);
}

/* All bytes are made before the first file is written. */
static void make_all(const struct options *o, const struct model *m, struct output_list *list)
{
    for (uint32_t i = 0; i < o->n_kinds; i++)
        back_run(o->kinds[i], m, list);
    if (o->n_kinds == 0)
        for (const struct back *back = backs(); back->kind; back++)
            back_run(back, m, list);
}

static bool write_one(struct outputs *out, struct report *r, const struct output *output)
{
    struct str path = str_printf(&out->arena, "%s/%.*s", r->o->out, STR_ARG(output->name));
    if (path_taken(out, path)) {
        report_fault(r, path.p, "two files of this run would be written here");
        return false;
    }
    int fault = file_write(path.p, output->bytes);
    if (fault) {
        report_fault(r, path.p, strerror(fault));
        return false;
    }
    path_add(out, path);
    return true;
}

bool outputs_write(struct outputs *out, struct report *r, const struct model *m, const char *path, uint32_t *first)
{
    struct arena scratch = {0};
    struct output_list list = {.arena = &scratch, .stem = stem_of(path)};
    make_all(r->o, m, &list);
    *first = out->n;
    int fault = list.n ? folder_make(r->o->out) : 0;
    if (fault)
        report_fault(r, r->o->out, strerror(fault));
    bool fine = !fault;
    for (uint32_t i = 0; i < list.n && fine; i++)
        fine = write_one(out, r, &list.items[i]);
    if (fine && r->o->deps)
        depfile_rule(&out->rules, out->paths + *first, out->n - *first, m->dependencies, m->n_dependencies);
    arena_free(&scratch);
    return fine;
}

void outputs_write_rules(const struct outputs *out, struct report *r)
{
    if (!r->o->deps)
        return;
    int fault = file_write(r->o->deps, buf_str(&out->rules));
    if (fault)
        report_fault(r, r->o->deps, strerror(fault));
}

void outputs_free(struct outputs *out)
{
    buf_free(&out->rules);
    arena_free(&out->arena);
}
