#include "cli/depfile.h"

/* Spaces and # take a backslash, and so do backslashes just before them; $ is doubled. */
static void put_name(struct buf *b, struct str name)
{
    for (uint32_t i = 0; i < name.n; i++) {
        char c = name.p[i];
        if (c == ' ' || c == '\t' || c == '#') {
            for (uint32_t k = i; k > 0 && name.p[k - 1] == '\\'; k--)
                buf_byte(b, '\\');
            buf_byte(b, '\\');
        } else if (c == '$') {
            buf_byte(b, '$');
        }
        buf_byte(b, c);
    }
}

static bool is_file(struct str name)
{
    return name.n > 0 && name.p[0] != '<' && !str_is(name, "-");
}

void depfile_rule(struct buf *b, const struct str *targets, uint32_t n_targets, const struct str *sources,
                  uint32_t n_sources)
{
    if (n_targets == 0)
        return;
    for (uint32_t i = 0; i < n_targets; i++) {
        if (i)
            buf_put(b, " \\\n  ");
        put_name(b, targets[i]);
    }
    buf_byte(b, ':');
    for (uint32_t i = 0; i < n_sources; i++)
        if (is_file(sources[i])) {
            buf_put(b, " \\\n  ");
            put_name(b, sources[i]);
        }
    buf_byte(b, '\n');
    for (uint32_t i = 1; i < n_sources; i++)
        if (is_file(sources[i])) {
            put_name(b, sources[i]);
            buf_put(b, ":\n");
        }
}
