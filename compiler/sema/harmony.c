/* Harmony: chord symbols, polychords and numerals, with the voicings written for them. */
#include "sema/rows.h"

#include "base/array.h"
#include "diag/suggest.h"
#include "parse.h"
#include "theory/roman.h"

/* Signs as ASCII, layers joined by " over ". */
static struct str symbol_text(struct sema *s, const struct node *symbol)
{
    const struct node *m = symbol->first;
    if (m && m->kind == NODE_MUSIC && !(m->next && m->next->kind == NODE_MUSIC))
        return m->text;
    struct buf b = {0};
    for (; m && m->kind == NODE_MUSIC; m = m->next) {
        buf_put(&b, m == symbol->first ? "" : " over ");
        buf_str_put(&b, m->text);
    }
    return buf_take(&b, s->arena);
}

static void chord_unknown(struct sema *s, const struct node *m, uint32_t bad)
{
    struct str rest = str_slice(m->text, bad, m->text.n);
    struct diag *d = diag_add(s->diags, DIAG_BAD_CHORD, m->where, "the chord symbol `%.*s` is not understood",
                              STR_ARG(m->text));
    if (rest.n && bad)
        diag_label(s->diags, d, "not from `%.*s` on", STR_ARG(rest));
    struct pitch pitch;
    if (pitch_parse(m->text, &pitch))
        diag_help(s->diags, d, "a pitch belongs in a part, or in a voicing: `C as (C3 G3 E4)`");
    if (!bad || rest.n == 0 || pitch_parse(m->text, &pitch))
        return;
    uint32_t root = 1;
    while (root < m->text.n && (m->text.p[root] == 'b' || m->text.p[root] == '#'))
        root++;
    struct suggest near;
    suggest_start(&near, str_slice(m->text, root, m->text.n));
    const struct theory_library *lib = s->model->library;
    for (int all = 0; all < 2 && !near.n; all++) /* the symbol that is preferred in print before the others */
        for (uint32_t i = 0; i < lib->n_qualities; i++)
            for (uint32_t k = 0; k < lib->qualities[i].n_symbols && (all || k == 0); k++)
                suggest_offer(&near, lib->qualities[i].symbols[k]);
    if (near.n)
        diag_help(s->diags, d, "a symbol with a similar spelling: `%.*s%.*s`",
                  STR_ARG(str_slice(m->text, 0, root)), STR_ARG(near.best[0]));
    else
        diag_help(s->diags, d, "`descant explain chords` lists the symbols");
}

/* V, bII, viio7, N6, It+6 */
static bool begins_numeral(struct str text)
{
    uint32_t i = 0;
    while (i < text.n && (text.p[i] == '#' || text.p[i] == 'b'))
        i++;
    struct str rest = str_slice(text, i, text.n);
    return rest.n &&
           (strchr("IViv", rest.p[0]) || str_starts(rest, STR("N")) || str_starts(rest, STR("It")) ||
            str_starts(rest, STR("Fr")) || str_starts(rest, STR("Ger")) || str_starts(rest, STR("cad")));
}

static void symbol_unknown(struct sema *s, const struct node *m)
{
    struct diag *d = diag_add(s->diags, DIAG_BAD_CHORD, m->where,
                              "`%.*s` is neither a chord symbol nor a numeral", STR_ARG(m->text));
    if (m->text.p[0] == 'H')
        diag_help(s->diags, d, "the H of German is `B%.*s`, and its B is `Bb`",
                  STR_ARG(str_slice(m->text, 1, m->text.n)));
    else
        diag_help(
            s->diags, d,
            "symbols begin with A to G; numerals are written I, ii6, V65/V, viio7, bVI, N6, Ger+6, cad64");
}

/* Once a passage: the slip is the key that is not there. */
static void numeral_needs_key(struct sema *s, const struct passage *p, const struct node *m)
{
    if (!begins_numeral(m->text)) {
        symbol_unknown(s, m);
        return;
    }
    if (p && s->keyless == p)
        return;
    s->keyless = p;
    struct diag *d =
        diag_add(s->diags, DIAG_BAD_CHORD, m->where, "the numeral `%.*s` needs a key", STR_ARG(m->text));
    diag_help(s->diags, d, "say in the passage which it is, as in `key D minor`");
}

static bool numeral_read(struct sema *s, const struct passage *p, struct ratio at, const struct node *m,
                         struct chord *out)
{
    const struct key_change *key = p ? passage_key_at(p, at) : NULL;
    if (!key) {
        numeral_needs_key(s, p, m);
        return false;
    }
    uint32_t bad;
    if (roman_parse(m->text, key->key, out, &bad))
        return true;
    if (!begins_numeral(m->text)) {
        symbol_unknown(s, m);
        return false;
    }
    struct diag *d = diag_add(s->diags, DIAG_BAD_CHORD, m->where, "the numeral `%.*s` is not understood",
                              STR_ARG(m->text));
    if (bad && bad < m->text.n)
        diag_label(s->diags, d, "not from `%.*s` on", STR_ARG(str_slice(m->text, bad, m->text.n)));
    diag_help(s->diags, d, "numerals are written I, ii6, V65/V, viio7, bVI, N6, Ger+6, cad64");
    return false;
}

static bool is_numeral(struct str s)
{
    char c = s.n ? s.p[0] : 0;
    return !(c >= 'A' && c <= 'G') || (s.n >= 3 && (str_starts(s, STR("Ger")) || str_starts(s, STR("Fr+")) ||
                                                    str_starts(s, STR("Fr4"))));
}

static bool voicing_read(struct sema *s, const struct node *stack, struct harmony *out, uint32_t layer)
{
    uint32_t n = node_count(stack), count = 0;
    out->voicing[layer] = ARENA_NEW_ARRAY(s->arena, struct pitch, n);
    for (const struct node *c = stack->first; c; c = c->next) {
        if (c->kind != NODE_NOTE)
            continue;
        if (!pitch_parse(c->first->text, &out->voicing[layer][count])) {
            struct diag *d = diag_add(s->diags, DIAG_BAD_PITCH, c->first->where, "`%.*s` is not a pitch",
                                      STR_ARG(c->first->text));
            diag_help(s->diags, d, "pitches are written Bb3, C#-1, F##5");
            return false;
        }
        count++;
    }
    out->n_voicing[layer] = count;
    return true;
}

bool harmony_read(struct sema *s, const struct passage *p, struct ratio at, const struct node *symbol,
                  struct harmony *out)
{
    *out = (struct harmony){.text = symbol_text(s, symbol), .where = symbol->where};
    uint32_t stacks = 0;
    for (const struct node *m = symbol->first; m; m = m->next) {
        if (m->kind == NODE_STACK) {
            if (stacks == LAYERS_MAX) {
                diag_add(s->diags, DIAG_BAD_CHORD, m->where, "a chord has at most %d layers", LAYERS_MAX);
                return false;
            }
            if (!voicing_read(s, m, out, stacks++))
                return false;
            continue;
        }
        if (out->n_layers == LAYERS_MAX) {
            diag_add(s->diags, DIAG_BAD_CHORD, m->where, "a polychord has at most %d layers", LAYERS_MAX);
            return false;
        }
        struct chord *c = &out->layers[out->n_layers];
        uint32_t bad;
        if (str_is(m->text, "N.C.")) {
            out->kind = HARMONY_NONE;
            return true;
        }
        if (is_numeral(m->text)) {
            out->kind = HARMONY_ROMAN;
            if (!numeral_read(s, p, at, m, c))
                return false;
        } else if (!chord_parse(&s->model->library->chords, m->text, c, &bad)) {
            chord_unknown(s, m, bad);
            return false;
        }
        out->n_layers++;
    }
    if (stacks && stacks != out->n_layers) {
        struct diag *d =
            diag_add(s->diags, DIAG_BAD_CHORD, symbol->where,
                     "`%.*s` has %u layer%s, and %u voicing%s written", STR_ARG(out->text), out->n_layers,
                     out->n_layers == 1 ? "" : "s", stacks, stacks == 1 ? " is" : "s are");
        diag_help(s->diags, d, "write one for each layer, from the upper one down: `as (…) over (…)`");
        return false;
    }
    return true;
}

/* ---- rows --------------------------------------------------------------------------------------------- */

static bool harmony_event(struct row_reader *r, const struct node *n)
{
    struct passage *p = r->passage;
    if (!row_advance(r, n))
        return false;
    struct harmony_event e = {.onset = r->event_at, .length = r->value, .where = n->where};
    if (!harmony_read(r->s, p, e.onset, n, &e.harmony)) {
        r->spoiled = true;
        return false;
    }
    ARRAY_PUSH(r->s->arena, p->harmony, p->n_harmony, e);
    return true;
}

static void harmony_hold(struct row_reader *r)
{
    struct harmony_event *e = &r->passage->harmony[r->passage->n_harmony - 1];
    e->length = ratio_plus(e->length, r->value);
}

static void harmony_uncertain(struct row_reader *r)
{
    r->passage->harmony[r->passage->n_harmony - 1].uncertain = true;
}

static void harmony_rest(struct row_reader *r, const struct node *n)
{
    (void)r; /* a stretch with no symbol makes no event */
    (void)n;
}

void harmony_rows(struct sema *s, struct bar_map *map, struct passage *p, const struct node *list)
{
    struct row_reader r = {.s = s,
                           .map = map,
                           .passage = p,
                           .at = RATIO_ZERO,
                           .value = RATIO_ZERO,
                           .event = harmony_event,
                           .hold = harmony_hold,
                           .uncertain = harmony_uncertain,
                           .rest = harmony_rest};
    rows_read(&r, list);
}
