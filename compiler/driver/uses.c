#include "driver/uses.h"

#include "base/array.h"
#include "base/io.h"
#include "parse.h"
#include "syntax/text.h"

#include <limits.h>
#include <stdlib.h>

/* Libraries that use libraries, one inside the other, at most so deep; so many files in all. */
enum { USE_DEPTH_MAX = 20, USE_FILES_MAX = 1000 };

/* A file that is being read or has been. */
struct file_state {
    struct str path;   /* folders and file name joined, `.` and `..` taken out */
    bool done;
    struct span use;   /* the `use` that named it first */
};

struct use_reader {
    struct compilation *c;
    const struct text_loader *loader;
    struct unit_list *out;
    struct str folder; /* of the compiled file, with its slash; empty: the current one */
    struct file_state *files;
    uint32_t n_files;
    int depth;
};

/* "a/b/../c" -> "a/c". False if it climbs out of where it starts. */
static bool path_fold(struct arena *a, struct str path, struct str *out)
{
    char *folded = arena_alloc(a, path.n + 1);
    uint32_t n = 0, i = 0;
    while (i < path.n) {
        uint32_t end = i;
        while (end < path.n && path.p[end] != '/')
            end++;
        struct str step = str_slice(path, i, end);
        i = end + 1;
        if (step.n == 0 || str_is(step, "."))
            continue;
        if (str_is(step, "..")) {
            if (n == 0)
                return false;
            while (n > 0 && folded[n - 1] != '/')
                n--;
            if (n > 0)
                n--;
            continue;
        }
        if (n)
            folded[n++] = '/';
        memcpy(folded + n, step.p, step.n);
        n += step.n;
    }
    *out = (struct str){folded, n};
    return true;
}

static struct str folder_of(struct str path)
{
    uint32_t n = path.n;
    while (n > 0 && path.p[n - 1] != '/')
        n--;
    return str_slice(path, 0, n);
}

/* A link may lead out of the project folder though its name does not. */
static bool leaves_folder(const char *folder, const char *path)
{
    char *root = realpath(*folder ? folder : ".", NULL), *real = realpath(path, NULL);
    bool outside =
        root && real &&
        (strncmp(root, real, strlen(root)) != 0 || (real[strlen(root)] != '/' && strcmp(root, "/") != 0));
    free(root);
    free(real);
    return outside;
}

enum { LEADS_OUTSIDE = -1 };

/* 0, an errno, or LEADS_OUTSIDE. */
static int read_library(const struct use_reader *r, struct str path, struct buf *out)
{
    if (r->loader)
        return r->loader->load(r->loader->user, path.p, out);
    struct str folder = str_printf(&r->c->arena, "%.*s", STR_ARG(r->folder));
    return leaves_folder(folder.p, path.p) ? LEADS_OUTSIDE : file_read(path.p, SOURCE_MAX, out);
}

static void units_of(struct use_reader *r, uint32_t file, struct str path, struct parser *p, bool library);

static struct file_state *state_of(struct use_reader *r, struct str path)
{
    for (uint32_t i = 0; i < r->n_files; i++)
        if (str_eq(r->files[i].path, path))
            return &r->files[i];
    return NULL;
}

static void report_cycle(struct use_reader *r, const struct file_state *state, struct span where,
                         struct str name)
{
    struct diag_list *diags = &r->c->diags;
    struct buf chain = {0};
    uint32_t links = 0;
    for (const struct file_state *f = state; f < r->files + r->n_files;
         f++) /* those that are being read lie inside one another */
        if (!f->done)
            buf_printf(&chain, "%s`%.*s`",
                       links == 0   ? ""
                       : links == 1 ? " uses "
                                    : ", which uses ",
                       STR_ARG(f->path)),
                links++;
    struct diag *d =
        links == 1 ? diag_add(diags, DIAG_USE_CYCLE, where, "`%.*s` uses itself", STR_ARG(name))
                   : diag_add(diags, DIAG_USE_CYCLE, where, "`%.*s` comes to use itself", STR_ARG(name));
    if (links > 1)
        diag_note(diags, d, "%.*s, which uses `%.*s`", STR_ARG(buf_str(&chain)), STR_ARG(state->path));
    buf_free(&chain);
    if (state->use.hi)
        diag_place(diags, d, state->use, "used first here");
    diag_help(diags, d, links == 1 ? "take this `use` out" : "put what both need into a library of its own");
}

static void use_one(struct use_reader *r, struct str user, const struct node *n)
{
    struct compilation *c = r->c;
    struct arena *a = &c->arena;
    struct str name = node_string(a, n), path;
    struct str joined = str_printf(a, "%.*s%.*s", STR_ARG(folder_of(user)), STR_ARG(name));
    if (!name.n) {
        diag_add(&c->diags, DIAG_USE_MISSING, n->where, "this `use` names no file");
        return;
    }
    if (name.p[0] == '/' || !path_fold(a, joined, &path)) {
        struct diag *d = diag_add(&c->diags, DIAG_USE_OUTSIDE, n->where,
                                  "`%.*s` lies outside the project folder", STR_ARG(name));
        diag_note(
            &c->diags, d,
            "the project folder is that of the file being compiled; paths are relative to the file that uses them");
        return;
    }
    struct file_state *state = state_of(r, path);
    if (state) {
        if (!state->done)
            report_cycle(r, state, n->where, name);
        return;
    }
    if (r->depth == USE_DEPTH_MAX || r->n_files == USE_FILES_MAX) {
        diag_add(&c->diags, DIAG_USE_MISSING, n->where,
                 "`%.*s` is not read: at most %d libraries are, %d inside one another", STR_ARG(name),
                 USE_FILES_MAX, USE_DEPTH_MAX);
        return;
    }
    struct str full = str_printf(a, "%.*s%.*s", STR_ARG(r->folder), STR_ARG(path));
    struct buf text = {0};
    int error = read_library(r, full, &text);
    if (error) {
        buf_free(&text);
        struct diag *d = error == LEADS_OUTSIDE
                             ? diag_add(&c->diags, DIAG_USE_OUTSIDE, n->where,
                                        "`%.*s` leads outside the project folder", STR_ARG(name))
                             : diag_add(&c->diags, DIAG_USE_MISSING, n->where, "cannot read `%.*s`: %s",
                                        STR_ARG(full), strerror(error));
        diag_help(&c->diags, d, "paths are relative to the file that uses them");
        return;
    }
    struct str kept = buf_take(&text, a), clean;
    ARRAY_PUSH(a, r->out->files, r->out->n_files, full);
    ARRAY_PUSH(a, r->files, r->n_files, (struct file_state){path, false, n->where});
    uint32_t file = source_add(&c->sources, full, kept, false);
    if (!text_clean(a, &c->diags, file, kept, &clean)) {
        r->files[r->n_files - 1].done = true;
        return;
    }
    struct parser *p = ARENA_NEW(a, struct parser);
    parse_text(p, a, file, clean, &c->diags);
    r->depth++;
    units_of(r, file, path, p, true);
    r->depth--;
    state_of(r, path)->done = true;
}

static void uses_of_block(struct use_reader *r, struct str path, const struct node *block)
{
    for (const struct node *f = block ? block->first : NULL; f; f = f->next)
        if (f->kind == NODE_FIELD && f->word == TOK_USE)
            for (const struct node *v = f->first; v; v = v->next)
                use_one(r, path, v);
}

static void check_is_library(struct use_reader *r, const struct parser *p, struct span use)
{
    for (const struct node *c = p->root->first; c; c = c->next)
        if (c->kind == NODE_STATEMENT && c->word == TOK_EPISODE) {
            struct str name = source_text(&r->c->sources, use); /* in its quotation marks */
            name = name.n > 2 ? str_slice(name, 1, name.n - 1) : name;
            struct diag *d = diag_add(&r->c->diags, DIAG_USE_EPISODE, use,
                                      "`%.*s` is an episode, and only libraries can be used", STR_ARG(name));
            diag_place(&r->c->diags, d, c->where, "it says so here");
            diag_help(&r->c->diags, d, "put what both need into a file that begins with `library \"…\"`");
        }
}

static void units_of(struct use_reader *r, uint32_t file, struct str path, struct parser *p, bool library)
{
    if (library)
        check_is_library(r, p, state_of(r, path)->use);
    for (const struct node *c = p->root->first; c; c = c->next) {
        if (c->kind != NODE_STATEMENT)
            continue;
        if (c->word == TOK_USE)
            use_one(r, path, c->first);
        else if (c->word == TOK_EPISODE || c->word == TOK_LIBRARY)
            uses_of_block(r, path, c->first->next);
    }
    ARRAY_PUSH(&r->c->arena, r->out->items, r->out->n, (struct unit){file, p->root, &p->lost, library});
}

bool units_read(struct compilation *c, struct str name, struct str text, const struct text_loader *loader,
                struct unit_list *out, struct parser **main_parser)
{
    *out = (struct unit_list){0};
    struct str clean;
    uint32_t file = source_add(&c->sources, name, text, false);
    ARRAY_PUSH(&c->arena, out->files, out->n_files, name);
    if (!text_clean(&c->arena, &c->diags, file, text, &clean))
        return false;
    struct parser *p = ARENA_NEW(&c->arena, struct parser);
    parse_text(p, &c->arena, file, clean, &c->diags);
    *main_parser = p;
    struct use_reader r = {.c = c, .loader = loader, .out = out, .folder = folder_of(name)};
    struct str own = str_slice(name, r.folder.n, name.n);
    ARRAY_PUSH(&c->arena, r.files, r.n_files, (struct file_state){own, false, {0, 0, 0}});
    units_of(&r, file, own, p, false);
    return true;
}
