#include "claims/tones.h"

#include "claims/tell.h"

/* ---- bags ------------------------------------------------------------------------------------------ */

struct tone_bag bag_new(struct arena *a, uint32_t cap)
{
    return (struct tone_bag){ARENA_NEW_ARRAY(a, struct tone, cap), 0};
}

bool bag_has(const struct tone_bag *b, struct tone t)
{
    for (uint32_t i = 0; i < b->n; i++)
        if (tone_eq(b->t[i], t))
            return true;
    return false;
}

void bag_add(struct tone_bag *b, struct tone t)
{
    if (!bag_has(b, t))
        b->t[b->n++] = t;
}

pcset bag_set(const struct tone_bag *b)
{
    pcset set = 0;
    for (uint32_t i = 0; i < b->n; i++)
        set |= pcset_of(tone_pc(b->t[i]));
    return set;
}

bool bag_on(const struct tone_bag *b, int pc, struct tone *out)
{
    for (uint32_t i = 0; i < b->n; i++) {
        if (tone_pc(b->t[i]) == pc) {
            *out = b->t[i];
            return true;
        }
    }
    return false;
}

struct tone_bag bag_of_moment(struct arena *a, const struct moment *m)
{
    struct tone_bag bag = bag_new(a, m->n);
    for (uint32_t i = 0; i < m->n; i++)
        bag_add(&bag, m->tones[i]);
    return bag;
}

static void bag_add_chord(struct tone_bag *bag, const struct chord *c)
{
    if (c->slash)
        bag_add(bag, c->bass);
    for (uint32_t i = 0; i < c->n_tones; i++)
        bag_add(bag, c->tones[i]);
}

struct tone_bag bag_of_chord(struct arena *a, const struct chord *c)
{
    struct tone_bag bag = bag_new(a, c->n_tones + 1);
    bag_add_chord(&bag, c);
    return bag;
}

struct tone_bag bag_of_harmony(struct arena *a, const struct harmony *h)
{
    struct tone_bag bag = bag_new(a, h->n_layers * (CHORD_TONES_MAX + 1));
    for (uint32_t i = h->n_layers; i-- > 0;)
        bag_add_chord(&bag, &h->layers[i]);
    return bag;
}

struct tone_bag bag_of_quality(struct arena *a, struct tone root, const struct chord_quality *q)
{
    struct tone_bag bag = bag_new(a, q->n_degrees);
    for (uint32_t i = 0; i < q->n_degrees; i++)
        bag_add(&bag, tone_move(root, q->degrees[i]));
    return bag;
}

/* ---- comparing with what a name asks for ----------------------------------------------------------- */

static bool bag_has_degree(const struct tone_bag *b, struct tone root, int steps)
{
    for (uint32_t i = 0; i < b->n; i++)
        if (interval_between_tones(root, b->t[i]).steps == steps)
            return true;
    return false;
}

enum {
    STEPS_NINTH = 1,
    STEPS_THIRD = 2,
    STEPS_ELEVENTH = 3,
    STEPS_FIFTH = 4,
    STEPS_THIRTEENTH = 5,
    STEPS_SEVENTH = 6
};

/* Tones that a chord may leave out: the fifth beside a seventh, and what lies below an eleventh or thirteenth. */
static struct tone_bag may_leave_out(struct arena *a, const struct tone_bag *want, struct tone root)
{
    struct tone_bag may = bag_new(a, want->n);
    if (!bag_has_degree(want, root, STEPS_SEVENTH))
        return may;
    bool third = bag_has_degree(want, root, STEPS_THIRD), thirteenth = bag_has_degree(want, root, STEPS_THIRTEENTH);
    bool eleventh = third && bag_has_degree(want, root, STEPS_ELEVENTH);
    for (uint32_t i = 0; i < want->n; i++) {
        struct interval above = interval_between_tones(root, want->t[i]);
        bool fifth = above.steps == STEPS_FIFTH && above.half == 7;
        bool ninth = above.steps == STEPS_NINTH && above.half == 2 && (eleventh || thirteenth);
        bool below = above.steps == STEPS_ELEVENTH && above.half == 5 && thirteenth && third;
        if (fifth || ninth || below)
            bag_add(&may, want->t[i]);
    }
    return may;
}

static struct tone_bag bag_minus(struct arena *a, const struct tone_bag *from, const struct tone_bag *what)
{
    struct tone_bag rest = bag_new(a, from->n);
    for (uint32_t i = 0; i < from->n; i++)
        if (!bag_has(what, from->t[i]))
            bag_add(&rest, from->t[i]);
    return rest;
}

/* With a root, the chord may leave out what is usually left out. */
static struct tones_report compare(struct arena *a, const struct tone_bag *have, const struct tone_bag *want,
                                   const struct tone *root)
{
    struct tones_report r = {TONES_DIFFER, bag_minus(a, want, have), bag_minus(a, have, want)};
    pcset there = bag_set(have), asked = bag_set(want);
    if (!r.foreign.n && !r.missing.n) {
        r.fit = TONES_COMPLETE;
    } else if (!(there & ~asked)) {
        struct tone_bag may = root ? may_leave_out(a, want, *root) : (struct tone_bag){NULL, 0};
        if (!r.foreign.n && !bag_minus(a, &r.missing, &may).n)
            r.fit = TONES_SHORT;
        else if (!(asked & ~bag_set(&may) & ~there))
            r.fit = TONES_RESPELLED;
    }
    return r;
}

struct tones_report tones_compare(struct arena *a, const struct tone_bag *have, const struct tone_bag *want,
                                  struct tone root)
{
    return compare(a, have, want, &root);
}

struct tones_report tones_compare_all(struct arena *a, const struct tone_bag *have,
                                      const struct tone_bag *want)
{
    return compare(a, have, want, NULL);
}

/* ---- where tones come from ------------------------------------------------------------------------- */

static void source_grow(struct claim_context *ctx, struct tone_source *s)
{
    uint32_t cap = s->cap ? 2 * s->cap : 16;
    struct tone_place *items = ARENA_NEW_ARRAY(ctx->arena, struct tone_place, cap);
    struct tone_bag bag = bag_new(ctx->arena, cap);
    for (uint32_t i = 0; i < s->n; i++) {
        items[i] = s->items[i];
        bag_add(&bag, s->items[i].tone);
    }
    s->items = items;
    s->bag = bag;
    s->cap = cap;
}

/* A tone met at a position of a passage (NULL: at none); only the first place of each is kept. */
static void source_put(struct claim_context *ctx, struct tone_source *s, struct tone t, struct span where,
                       const struct passage *p, struct ratio at)
{
    s->set |= pcset_of(tone_pc(t));
    if (bag_has(&s->bag, t))
        return;
    if (s->n == s->cap)
        source_grow(ctx, s);
    s->items[s->n++] = (struct tone_place){t, where, p ? say_place(ctx, p, at) : STR("")};
    bag_add(&s->bag, t);
}

static void source_put_moment(struct claim_context *ctx, struct tone_source *s, const struct moment *m,
                              const struct passage *p)
{
    for (uint32_t i = 0; i < m->n; i++)
        source_put(ctx, s, m->tones[i], m->notes ? m->notes[i]->where : m->where, p, m->onset);
    /* A symbol named in the sentence stands for itself; one at a place stands for notes that are not known.
     */
    if (m->source != MOMENT_SYMBOL)
        s->sounding++;
    else if (p)
        s->symbols++;
}

static bool source_of_harmony(struct claim_context *ctx, const struct stream *stream, struct stretch where,
                              struct tone_source *out)
{
    struct moments moments;
    if (!stream_moments(ctx, stream, where, 1, &moments))
        return false;
    for (uint32_t i = 0; i < moments.n; i++)
        source_put_moment(ctx, out, &moments.items[i], moments.passage);
    return true;
}

bool source_of_stream(struct claim_context *ctx, const struct match *m, const struct stream *s,
                      struct tone_source *out)
{
    struct stretch where;
    struct line line;
    *out = (struct tone_source){.words = s->words, .span = tell_span(ctx, m)};
    if (!match_stretch(ctx, m, s, &where))
        return false;
    if (s->kind == STREAM_HARMONY)
        return source_of_harmony(ctx, s, where, out);
    if (!stream_notes(ctx, s, where, &line))
        return false;
    for (uint32_t i = 0; i < line.n; i++) {
        const struct note *note = line.notes[i];
        source_put(ctx, out, note->pitch.tone, note->where, line.passage, note->onset);
    }
    out->sounding = line.n;
    return true;
}

bool source_of_chords(struct claim_context *ctx, const struct chord_ref *chords, int n,
                      struct tone_source *out)
{
    struct str words[MATCH_SLOTS];
    *out = (struct tone_source){0};
    for (int i = 0; i < n; i++) {
        struct moment moment;
        if (!chord_moment(ctx, &chords[i], false, &moment))
            return false;
        source_put_moment(ctx, out, &moment, chords[i].at_place ? chords[i].passage : NULL);
        words[i] = chords[i].words;
    }
    out->words = say_list(ctx, words, (uint32_t)n, "and");
    return true;
}

struct str source_name(const struct tone_source *s)
{
    static const char all[] = "all of ";
    uint32_t n = sizeof all - 1;
    return str_starts(s->words, STR("all of ")) ? str_slice(s->words, n, s->words.n) : s->words;
}

struct str source_basis(struct claim_context *ctx, const struct tone_source *s)
{
    if (!s->symbols)
        return STR("");
    if (!s->sounding)
        return STR(" (by symbol alone)");
    return say_text(ctx, " (%.*s by symbol alone)",
                    STR_ARG(say_count(ctx, (int64_t)s->symbols, "chord", "chords")));
}

/* ---- words ----------------------------------------------------------------------------------------- */

struct str say_list(struct claim_context *ctx, const struct str *items, uint32_t n, const char *last)
{
    if (ctx->mute)
        return STR("");
    struct buf b = {0};
    for (uint32_t i = 0; i < n; i++) {
        if (i && i + 1 == n)
            buf_printf(&b, " %s ", last);
        else if (i)
            buf_put(&b, ", ");
        buf_str_put(&b, items[i]);
    }
    return buf_take(&b, ctx->arena);
}

struct str say_moment(struct claim_context *ctx, const struct moment *m)
{
    if (m->source != MOMENT_SYMBOL)
        return say_pitches(ctx, m->pitches, m->n);
    struct tone_bag bag = bag_of_moment(ctx->arena, m);
    struct str tones = say_tones(ctx, bag.t, bag.n);
    if (!m->symbol)
        return tones;
    return say_text(ctx, "%.*s by its symbol %.*s", STR_ARG(tones),
                    STR_ARG(say_harmony(ctx, m->symbol)));
}

struct str say_chord(struct claim_context *ctx, const struct chord_ref *c, const struct moment *m)
{
    if (c->at_place || m->source != MOMENT_SYMBOL)
        return say_moment(ctx, m);
    struct tone_bag bag = bag_of_moment(ctx->arena, m);
    return say_tones(ctx, bag.t, bag.n);
}

struct str say_symbol(struct claim_context *ctx, const struct chord_match *c, struct tone bass)
{
    char text[PITCH_TEXT_MAX];
    bool slash = !tone_eq(c->root, bass);
    return say_text(ctx, "%s",
                    chord_symbol(c->root, c->quality, slash ? &bass : NULL, SIGN_ASCII, text));
}

struct str say_harmony(struct claim_context *ctx, const struct harmony *h)
{
    char text[PITCH_TEXT_MAX];
    if (h->text.n || !h->n_layers || !h->layers[0].quality)
        return h->text;
    const struct chord *c = &h->layers[0];
    return say_text(ctx, "%s",
                    chord_symbol(c->root, c->quality, c->slash ? &c->bass : NULL, SIGN_ASCII, text));
}

struct str say_size(struct claim_context *ctx, struct interval v)
{
    char text[INTERVAL_TEXT_MAX];
    struct str name = say_interval(ctx, v);
    int steps = v.steps < 0 ? -v.steps : v.steps;
    if (steps <= 7)
        return name;
    struct str octaves = str_of(interval_phrase(v, true, text));
    if (str_eq(name, octaves))
        return name;
    return say_text(ctx, "%.*s (%.*s)", STR_ARG(name), STR_ARG(octaves));
}

struct str say_shared(struct claim_context *ctx, pcset shared, struct str tones)
{
    if (!shared)
        return STR("no tone");
    return say_text(ctx, "%.*s, %.*s", STR_ARG(say_count(ctx, pcset_count(shared), "tone", "tones")),
                    STR_ARG(tones));
}

struct str say_not_shared(struct claim_context *ctx, const struct match *m, pcset shared)
{
    struct tone_bag missing = bag_new(ctx->arena, MATCH_TONES);
    for (int i = 0; i < m->n_list; i++)
        if (!(shared & pcset_of(tone_pc(m->list[i]))))
            bag_add(&missing, m->list[i]);
    if (!missing.n || !shared)
        return STR("");
    return say_text(ctx, "; %.*s %s not among them", STR_ARG(say_tones(ctx, missing.t, missing.n)),
                    missing.n > 1 ? "are" : "is");
}

struct str say_half_steps(struct claim_context *ctx, int half)
{
    char text[INTERVAL_TEXT_MAX];
    int size = half < 0 ? -half : half;
    const char *words = half_steps_words(size, text);
    bool counted = words[0] >= '0' && words[0] <= '9';
    return say_text(ctx, "%s%s", counted ? "" : "a ", words);
}

struct str say_named(struct claim_context *ctx, const struct interval_ref *want)
{
    bool counted = want->words.n && want->words.p[0] >= '0' && want->words.p[0] <= '9';
    if (want->cents || counted)
        return want->words;
    return want->by_sound ? say_half_steps(ctx, want->v.half) : say_interval(ctx, want->v);
}

bool chord_is_tertian(const struct chord_quality *q)
{
    static const int members[4] = {0, STEPS_THIRD, STEPS_FIFTH, STEPS_SEVENTH};
    if (q->n_degrees != 3 && q->n_degrees != 4)
        return false;
    for (uint32_t i = 0; i < q->n_degrees; i++)
        if (q->degrees[i].steps != members[i])
            return false;
    return true;
}

uint32_t chord_readings(struct claim_context *ctx, const struct tone_bag *tones, struct chord_match *out)
{
    enum { CANDIDATES = 8 };
    struct chord_match all[CANDIDATES];
    const struct chord_dict *dict = &ctx->model->library->chords;
    uint32_t n = tones->n ? chord_identify(dict, tones->t, tones->n, all, CANDIDATES) : 0, kept = 0;
    for (uint32_t i = 0; i < n && kept < READINGS_MAX; i++)
        if (all[i].spelled == all[0].spelled && (i == 0 || chord_is_tertian(all[i].quality)))
            out[kept++] = all[i];
    return kept;
}

bool chord_reading(struct claim_context *ctx, const struct tone_bag *tones, struct chord_match *out)
{
    return tones->n && chord_identify(&ctx->model->library->chords, tones->t, tones->n, out, 1);
}

struct str say_chord_names(struct claim_context *ctx, const struct tone_bag *tones, bool *spelled)
{
    struct chord_match all[READINGS_MAX];
    struct str names[READINGS_MAX];
    uint32_t n = chord_readings(ctx, tones, all);
    *spelled = n && all[0].spelled;
    for (uint32_t i = 0; i < n; i++)
        names[i] = say_symbol(ctx, &all[i], tones->t[0]);
    return say_list(ctx, names, n, "or");
}

struct str say_nearest_chord(struct claim_context *ctx, const struct tone_bag *tones)
{
    const struct theory_library *lib = ctx->model->library;
    const struct chord_quality *best = NULL;
    struct tone best_root = {0};
    struct tones_report best_report = {0};
    for (uint32_t q = 0; q < lib->n_qualities; q++) {
        for (uint32_t i = 0; i < tones->n; i++) {
            struct tone_bag want = bag_of_quality(ctx->arena, tones->t[i], &lib->qualities[q]);
            struct tones_report r = tones_compare_all(ctx->arena, tones, &want);
            if (want.n < 3 || r.missing.n > 1 || r.foreign.n > 1)
                continue;
            if (best && r.missing.n + r.foreign.n >= best_report.missing.n + best_report.foreign.n)
                continue;
            best = &lib->qualities[q];
            best_root = tones->t[i];
            best_report = r;
        }
    }
    if (!best)
        return STR("");
    struct chord_match match = {.root = best_root, .quality = best};
    struct str symbol = say_symbol(ctx, &match, best_root);
    struct str missing = say_tones(ctx, best_report.missing.t, best_report.missing.n);
    struct str foreign = say_tones(ctx, best_report.foreign.t, best_report.foreign.n);
    if (!best_report.foreign.n)
        return say_text(ctx, "%.*s without %.*s", STR_ARG(symbol), STR_ARG(missing));
    if (!best_report.missing.n)
        return say_text(ctx, "%.*s with %.*s added", STR_ARG(symbol), STR_ARG(foreign));
    return say_text(ctx, "%.*s with %.*s for %.*s", STR_ARG(symbol), STR_ARG(foreign),
                    STR_ARG(missing));
}
