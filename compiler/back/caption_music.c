/* caption_music.c - music described for viewers who cannot hear it.
 *
 * In this trade the music is the evidence, so a caption says what the model knows: the work, who plays, where
 * the harmony begins and ends, how long. No adjectives of mood: readers who rely on such captions prefer
 * instruments to adjectives. */
#include "back/caption_parts.h"
#include "back/segments.h"

#include <inttypes.h>

/* Where a description is written to. */
struct describer {
    struct marked_text *out;
    enum accidental_style style;
    struct arena *arena;
};

static void put(struct describer *d, const char *z)
{
    marked_put(d->out, str_of(z), 0);
}

/* ---- who plays ------------------------------------------------------------------------------------ */

enum { PLAYERS_MAX = 6 /* more are named by their families */ };

static struct str family_plural(struct str family)
{
    return str_is(family, "voice") ? STR("voices") : family;
}

static struct str main_family(const struct instrument *i)
{
    return i->n_families ? family_plural(i->families[0]) : (struct str){"", 0};
}

struct names {
    struct str *items;
    uint32_t n;
};

static void names_add(struct names *names, struct str name)
{
    for (uint32_t i = 0; i < names->n; i++)
        if (str_eq(names->items[i], name))
            return;
    if (name.n)
        names->items[names->n++] = name;
}

static struct str player(const struct part *part, struct str name, struct arena *a)
{
    return str_printf(a, "%s%s%.*s", part->muted ? "muted " : "", part->solo ? "solo " : "", STR_ARG(name));
}

static struct str part_calls(const struct part *part, uint32_t i)
{
    return part->called ? part->called[i] : instrument_title(part->instruments[i]);
}

/* "strings" for violins, violas, cellos; else each instrument. */
static void part_players(const struct part *part, struct names *names, struct arena *a)
{
    if (part->n_instruments == 0) {
        names_add(names, part->symbol.name);
        return;
    }
    struct str family = main_family(part->instruments[0]);
    bool one_family = part->n_instruments > 1 && family.n > 0;
    for (uint32_t i = 1; i < part->n_instruments; i++)
        one_family = one_family && str_eq(main_family(part->instruments[i]), family);
    for (uint32_t i = 0; i < part->n_instruments; i++)
        names_add(names, player(part, one_family ? family : part_calls(part, i), a));
}

static void put_names(struct describer *d, const struct names *names)
{
    for (uint32_t i = 0; i < names->n; i++) {
        if (i > 0)
            put(d, i + 1 < names->n ? ", " : " and ");
        marked_put_names(d->out, names->items[i], false, d->style, 0);
    }
}

/* The names of the parts that sound, or only their families. */
static struct names players_in(struct describer *d, const struct passage *p, struct stretch s, bool families)
{
    uint32_t room = p->n_parts;
    for (uint32_t i = 0; i < p->n_parts; i++)
        room += p->parts[i]->n_instruments;
    struct names names = {ARENA_NEW_ARRAY(d->arena, struct str, room), 0};
    for (uint32_t i = 0; i < p->n_parts; i++) {
        const struct part *part = p->parts[i];
        if (!part_sounds(part, s))
            continue;
        if (!families || part->n_instruments == 0)
            part_players(part, &names, d->arena);
        for (uint32_t k = 0; families && k < part->n_instruments; k++)
            names_add(&names, main_family(part->instruments[k]));
    }
    return names;
}

static bool put_players(struct describer *d, const struct passage *p, struct stretch s)
{
    struct names names = players_in(d, p, s, false);
    if (names.n > PLAYERS_MAX)
        names = players_in(d, p, s, true);
    put_names(d, &names);
    return names.n > 0;
}

/* ---- harmony --------------------------------------------------------------------------------------- */

/* Sixth chords by nation and the like, as they are said; common practice. */
static const struct {
    const char *typed, *said;
} numeral_names[] = {{"N6", "Neapolitan sixth"},
                     {"It+6", "Italian sixth"},
                     {"Fr+6", "French sixth"},
                     {"Ger+6", "German sixth"},
                     {"cad64", "cadential six-four"}};

static void put_numeral(struct describer *d, struct str s)
{
    for (size_t i = 0; i < sizeof numeral_names / sizeof *numeral_names; i++) {
        if (str_is(s, numeral_names[i].typed)) {
            put(d, numeral_names[i].said);
            return;
        }
    }
    for (uint32_t i = 0; i < s.n; i++) {
        bool before_degree = i + 1 < s.n && memchr("IViv", s.p[i + 1], 4) != NULL;
        bool flat = s.p[i] == 'b' && before_degree, sharp = s.p[i] == '#' && before_degree;
        if (s.p[i] == '/' && before_degree)
            marked_put(d->out, STR(" of "), MARK_GLUE);
        else if (flat || sharp)
            marked_put_names(d->out, flat ? STR("♭") : STR("♯"), true, d->style, 0);
        else
            marked_put(d->out, str_slice(s, i, i + 1), 0);
        if ((flat || sharp) && d->style == ACCIDENTALS_WORDS)
            marked_put(d->out, STR(" "), MARK_GLUE);
    }
}

static void put_harmony(struct describer *d, const struct harmony *h)
{
    struct str text = h->text;
    static const char voicing[] = " as (";
    for (uint32_t i = 0; i + sizeof voicing - 1 <= text.n; i++)
        if (memcmp(text.p + i, voicing, sizeof voicing - 1) == 0)
            text.n = i;
    switch (h->kind) {
    case HARMONY_CHORD:
        marked_put_names(d->out, text, true, d->style, 0);
        break;
    case HARMONY_ROMAN:
        put_numeral(d, text);
        break;
    case HARMONY_NONE:
        put(d, "no chord");
        break;
    }
}

/* "D over E flat to B flat over C flat", "… and … in turn", "… and …", "from … and back". */
static bool put_progression(struct describer *d, const struct passage *p, struct stretch s)
{
    uint32_t first, n = harmony_in(p, s, &first);
    if (n == 0)
        return false;
    const struct harmony_event *events = &p->harmony[first];
    const struct harmony *from = &events[0].harmony, *to = &events[n - 1].harmony, *second = NULL;
    bool two_in_turn = n > 2, third = false;
    for (uint32_t i = 1; i < n; i++) {
        if (!second && !str_eq(events[i].harmony.text, from->text))
            second = &events[i].harmony;
        third = third || (second && !str_eq(events[i].harmony.text, from->text) &&
                          !str_eq(events[i].harmony.text, second->text));
        const struct str *wanted = i % 2 ? second ? &second->text : &from->text : &from->text;
        two_in_turn = two_in_turn && second && str_eq(events[i].harmony.text, *wanted);
    }
    if (!second) {
        put_harmony(d, from);
    } else if (two_in_turn) {
        put_harmony(d, from);
        put(d, " and ");
        put_harmony(d, second);
        put(d, " in turn");
    } else if (n > 2 && !third) {
        put_harmony(d, from);
        put(d, " and ");
        put_harmony(d, second);
    } else if (str_eq(from->text, to->text)) {
        put(d, "from ");
        put_harmony(d, from);
        put(d, " and back");
    } else {
        put_harmony(d, from);
        put(d, " to ");
        put_harmony(d, to);
    }
    return true;
}

/* ---- lines -------------------------------------------------------------------------------------------- */

enum { TONES_LISTED = 8 };

static void put_tone_name(struct describer *d, struct pitch p)
{
    char text[PITCH_TEXT_MAX];
    marked_put_names(d->out, str_of(tone_text(p.tone, SIGN_ASCII, text)), true, d->style, 0);
}

static void put_tones(struct describer *d, const struct note *const *notes, uint32_t n)
{
    if (n > TONES_LISTED) {
        put(d, "from ");
        put_tone_name(d, notes[0]->pitch);
        put(d, " to ");
        put_tone_name(d, notes[n - 1]->pitch);
        return;
    }
    for (uint32_t i = 0; i < n; i++) {
        if (i > 0)
            put(d, ", ");
        put_tone_name(d, notes[i]->pitch);
    }
}

/* A single line without a harmony row: its tones. */
static bool put_line(struct describer *d, const struct passage *p, struct stretch s)
{
    const struct part *only = NULL;
    for (uint32_t i = 0; i < p->n_parts; i++) {
        if (!part_sounds(p->parts[i], s))
            continue;
        if (only)
            return false;
        only = p->parts[i];
    }
    if (!only)
        return false;
    const struct note **notes = ARENA_NEW_ARRAY(d->arena, const struct note *, only->n_notes);
    uint32_t n = 0;
    for (uint32_t i = 0; i < only->n_stacks; i++) {
        const struct stack *stack = &only->stacks[i];
        if (!ratio_lt(stack->onset, s.end) || ratio_le(ratio_plus(stack->onset, stack->length), s.onset))
            continue;
        if (stack->n != 1)
            return false;
        notes[n++] = &only->notes[stack->first];
    }
    put_tones(d, notes, n);
    return n > 0;
}

/* ---- the whole ---------------------------------------------------------------------------------------- */

static void put_title(struct describer *d, const struct work *w)
{
    put(d, "\"");
    marked_put_names(d->out, w->title.n ? w->title : w->symbol.name, false, d->style, 0);
    put(d, "\"");
}

/* Has an item before this one played the work? Then its title is enough. */
static bool work_known(const struct model *m, const struct item *item, const struct work *w)
{
    for (uint32_t i = 0; i < m->n_items && m->items[i] != item; i++)
        for (uint32_t k = 0; k < m->items[i]->n_passages; k++)
            if (m->items[i]->passages[k]->work == w && m->items[i]->kind != ITEM_SHOW)
                return true;
    return false;
}

static void put_work(struct describer *d, const struct model *m, const struct item *item,
                     const struct work *w)
{
    put_title(d, w);
    if (work_known(m, item, w))
        return;
    if (w->composer.n) {
        put(d, " by ");
        marked_put(d->out, w->composer, 0);
    } else if (w->from.n) {
        put(d, ", from \"");
        marked_put(d->out, w->from, 0);
        put(d, "\"");
    }
}

static void put_length(struct describer *d, struct ratio length)
{
    int64_t s = ratio_round(length);
    struct buf b = {0};
    if (s < 1)
        buf_put(&b, "less than a second");
    if (s >= 60)
        buf_printf(&b, "%" PRId64 " minute%s", s / 60, s / 60 == 1 ? "" : "s");
    if (s >= 60 && s % 60)
        buf_byte(&b, ' ');
    if (s % 60)
        buf_printf(&b, "%" PRId64 " second%s", s % 60, s % 60 == 1 ? "" : "s");
    put(d, buf_take(&b, d->arena).p);
}

static void put_figure(struct describer *d, const struct figure *f)
{
    const struct note **notes = ARENA_NEW_ARRAY(d->arena, const struct note *, f->n_notes);
    for (uint32_t i = 0; i < f->n_notes; i++)
        notes[i] = &f->notes[i];
    if (f->part) {
        struct names names = {ARENA_NEW_ARRAY(d->arena, struct str, f->part->n_instruments + 1), 0};
        part_players(f->part, &names, d->arena);
        put_names(d, &names);
        put(d, "; ");
    }
    put_tones(d, notes, f->n_notes);
}

static void put_passage(struct describer *d, const struct item *item, uint32_t index)
{
    const struct passage *p = item->passages[index];
    struct stretch s = item_stretch(item, index);
    struct marked_text *out = d->out;
    struct marked_text part = {.text = {0}};
    bool players = put_players(d, p, s);
    d->out = &part;
    bool harmony = put_progression(d, p, s) || put_line(d, p, s);
    d->out = out;
    if (players && harmony)
        put(d, "; ");
    for (uint32_t i = 0; harmony && i < part.text.n; i++)
        marked_put(out, (struct str){part.text.p + i, 1}, part.marks.p[i]);
    marked_free(&part);
}

void marked_put_music(struct marked_text *t, const struct model *m, const struct item *item,
                      enum accidental_style style, struct arena *a)
{
    struct describer d = {t, style, a};
    if (item->kind == ITEM_SILENCE) {
        put(&d, "[silence, ");
        put_length(&d, item->length);
        put(&d, "]");
        return;
    }
    put(&d, "[♪");
    marked_put(t, STR(" "), MARK_GLUE);
    if (item->kind == ITEM_DEMO)
        put(&d, "example");
    else if (item->n_passages == 0 || !item->passages[0]->work)
        put(&d, "music");
    const struct work *last = NULL;
    for (uint32_t i = 0; i < item->n_passages; i++) {
        const struct work *work = item->passages[i]->work;
        if (i > 0 && item->figure == NULL)
            put(&d, "; then ");
        if (work && work != last) {
            if (i == 0 && item->kind == ITEM_DEMO)
                put(&d, ", ");
            put_work(&d, m, item, work);
        }
        if (i == 0 || work != last)
            put(&d, ": ");
        last = work;
        if (item->figure)
            break;
        put_passage(&d, item, i);
    }
    if (item->figure) {
        if (item->n_passages == 0)
            put(&d, ": ");
        put_figure(&d, item->figure);
    }
    put(&d, ", ");
    put_length(&d, item->length);
    put(&d, "]");
}
