#include "driver/dump.h"

static void dump_tokens(struct compilation *c, const struct parser *p, struct buf *out)
{
    struct arena scratch = {0};
    struct diag_list silent = {.arena = &scratch};
    struct scanner s;
    scan_start(&s, 0, p->text, &silent);
    for (struct token t = scan_next(&s); t.kind; t = scan_next(&s)) {
        struct position at = source_position(&c->sources, 0, t.lo);
        buf_printf(out, "%u:%u %d `%.*s`\n", at.line, at.column, t.kind, (int)(t.hi - t.lo), p->text.p + t.lo);
    }
    arena_free(&scratch);
}

static void dump_part(const struct part *part, struct buf *out)
{
    buf_printf(out, "  part %.*s voices %u%s\n", STR_ARG(part->symbol.name), part->n_voices, part->voices_known ? "" : " unknown");
    for (uint32_t i = 0; i < part->n_notes; i++) {
        char onset[RATIO_TEXT_MAX], length[RATIO_TEXT_MAX], pitch[PITCH_TEXT_MAX];
        const struct note *n = &part->notes[i];
        buf_printf(out, "    %s +%s %s voice %u%s\n", ratio_text(n->onset, false, onset), ratio_text(n->length, false, length),
                   pitch_text(n->pitch, SIGN_ASCII, pitch), n->voice + 1, n->uncertain ? " uncertain" : "");
    }
}

static void dump_model(const struct model *m, struct buf *out)
{
    for (uint32_t i = 0; i < m->n_passages; i++) {
        const struct passage *p = m->passages[i];
        char length[RATIO_TEXT_MAX];
        buf_printf(out, "passage %.*s bars %u length %s\n", STR_ARG(p->symbol.name), p->n_bars, ratio_text(p->length, false, length));
        for (uint32_t k = 0; k < p->n_parts; k++)
            dump_part(p->parts[k], out);
        for (uint32_t k = 0; k < p->n_harmony; k++) {
            char onset[RATIO_TEXT_MAX];
            buf_printf(out, "  harmony %s %.*s\n", ratio_text(p->harmony[k].onset, false, onset), STR_ARG(p->harmony[k].harmony.text));
        }
    }
}

static void dump_claims(const struct model *m, struct buf *out)
{
    static const char *const verdicts[] = {"holds", "fails", "undecided"};
    for (uint32_t i = 0; i < m->n_claims; i++)
        buf_printf(out, "%.*s %s: %.*s\n", STR_ARG(m->claims[i]->symbol.name), verdicts[m->claims[i]->verdict],
                   STR_ARG(m->claims[i]->evidence));
}

static void dump_timeline(const struct model *m, struct buf *out)
{
    static const char *const kinds[] = {"chapter", "say", "play", "demo", "show", "silence"};
    for (uint32_t i = 0; i < m->n_items; i++) {
        char start[RATIO_TEXT_MAX], length[RATIO_TEXT_MAX];
        const struct item *item = m->items[i];
        buf_printf(out, "%s +%s %s%s\n", ratio_text(item->start, false, start), ratio_text(item->length, false, length),
                   kinds[item->kind], item->estimated ? " estimated" : "");
    }
}

void dump_stage(struct compilation *c, const struct parser *p, enum dump_stage stage, struct buf *out)
{
    if (!p || !c->model)
        return;
    switch (stage) {
    case DUMP_NONE: break;
    case DUMP_TOKENS: dump_tokens(c, p, out); break;
    case DUMP_TREE: tree_dump(p->root, out); break;
    case DUMP_MODEL: dump_model(c->model, out); break;
    case DUMP_CLAIMS: dump_claims(c->model, out); break;
    case DUMP_TIMELINE: dump_timeline(c->model, out); break;
    }
}
