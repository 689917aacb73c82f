/* The analyst's chord symbols against what sounds in the parts. */
#include "checks/checks.h"

#include "base/buf.h"

enum { SOUNDING_MAX = 128, MATCHES_MAX = 8, LABELS_MAX = 3 };

/* What is compared: the symbol's tones, and the notes at its onset and through its length. */
struct comparison {
    const struct model *m;
    const struct passage *p;
    const struct harmony_event *e;
    pcset wanted;
    pcset heard;            /* through the event */
    struct sounding at[SOUNDING_MAX];
    uint32_t n;             /* at the onset */
};

static pcset symbol_set(const struct harmony *h)
{
    pcset set = 0;
    for (uint32_t i = 0; i < h->n_layers; i++)
        set |= chord_set(&h->layers[i]);
    return set;
}

static pcset heard_through(const struct passage *p, const struct harmony_event *e)
{
    struct ratio end = ratio_plus(e->onset, e->length);
    pcset set = 0;
    for (uint32_t k = 0; k < p->n_parts; k++) {
        const struct part *part = p->parts[k];
        for (uint32_t i = part_stack_after(part, e->onset);
             i < part->n_stacks && ratio_lt(part->stacks[i].onset, end); i++) {
            const struct stack *st = &part->stacks[i];
            for (uint32_t n = 0; n < st->n; n++)
                set |= pcset_of(tone_pc(part->notes[st->first + n].pitch.tone));
        }
    }
    return set;
}

/* Does the part play chords there, rather than a line? */
static bool plays_chord(const struct comparison *c, const struct part *part)
{
    uint32_t n = 0;
    for (uint32_t i = 0; i < c->n; i++)
        n += c->at[i].part == part;
    return n > 1;
}

/* Of a set, the tones that the symbol has, as it spells them; `joint` stands before the last. */
static void wanted_text(const struct harmony *h, pcset set, const char *joint, struct buf *out)
{
    struct tone tones[12];
    uint32_t n = 0;
    for (uint32_t i = 0; i < h->n_layers; i++) {
        const struct chord *ch = &h->layers[i];
        for (uint32_t k = 0; k <= ch->n_tones; k++) {
            struct tone t = k < ch->n_tones ? ch->tones[k] : ch->bass;
            if (set & pcset_of(tone_pc(t)))
                tones[n++] = t;
            set &= (pcset)~pcset_of(tone_pc(t));
        }
    }
    for (uint32_t i = 0; i < n; i++) {
        char name[PITCH_TEXT_MAX];
        buf_printf(out, "%s%s",
                   i == 0       ? ""
                   : i + 1 == n ? joint
                                : ", ",
                   tone_text(tones[i], SIGN_ASCII, name));
    }
}

/* "E4", or "F#4, which sounds E4": what is printed is what the author looks for. */
static struct str note_text(const struct comparison *c, const struct note *n)
{
    char written[PITCH_TEXT_MAX], sounding[PITCH_TEXT_MAX];
    pitch_text(n->written, SIGN_ASCII, written);
    if (pitch_eq(n->pitch, n->written))
        return str_printf(c->m->arena, "%s", written);
    return str_printf(c->m->arena, "%s, which sounds %s", written,
                      pitch_text(n->pitch, SIGN_ASCII, sounding));
}

/* "labels that would fit: Ebmaj7, Gm/Eb": what the sounding tones are, at most three. */
static void labels_note(const struct comparison *c, struct diag *d)
{
    struct tone tones[SOUNDING_MAX];
    uint32_t n = 0;
    for (uint32_t i = 0; i < c->n; i++) {
        bool known = false;
        for (uint32_t k = 0; k < n; k++)
            known = known || tone_pc(tones[k]) == tone_pc(c->at[i].note->pitch.tone);
        if (!known)
            tones[n++] = c->at[i].note->pitch.tone;
    }
    struct chord_match found[MATCHES_MAX];
    uint32_t matches = chord_identify(&c->m->library->chords, tones, n, found, MATCHES_MAX), labels = 0;
    struct buf b = {0};
    for (uint32_t i = 0; i < matches && labels < LABELS_MAX; i++) {
        char symbol[PITCH_TEXT_MAX];
        if (found[i].spelled ||
            !found[0].spelled) /* by sound alone E, G, C would be a minor chord with a raised fifth, too */
            buf_printf(&b, "%s`%s`", labels++ ? ", " : "",
                       chord_symbol(found[i].root, found[i].quality, found[i].root_bass ? NULL : &tones[0],
                                    SIGN_ASCII, symbol));
    }
    if (labels)
        diag_help(c->m->diags, d, "labels that would fit what sounds there: %.*s", STR_ARG(buf_str(&b)));
    buf_free(&b);
}

/* The perfect fifth of a chord of four tones and more, which may be left out without changing it (common
 * practice); else none. */
static pcset fifth_of(const struct chord *ch)
{
    for (uint32_t i = 0; i < ch->n_tones && ch->n_tones >= 4; i++) {
        struct interval v = interval_between_tones(ch->root, ch->tones[i]);
        if (v.steps == 4 && v.half == 7)
            return pcset_of(tone_pc(ch->tones[i]));
    }
    return 0;
}

static void report_missing(const struct comparison *c, pcset missing)
{
    struct buf b = {0};
    wanted_text(&c->e->harmony, missing, " or ", &b);
    struct str place = place_text(c->m->arena, c->p, c->e->onset);
    struct diag *d =
        diag_add(c->m->diags, DIAG_HARMONY_MISSING, c->e->where, "no %.*s sounds under `%.*s` at %.*s",
                 STR_ARG(buf_str(&b)), STR_ARG(c->e->harmony.text), STR_ARG(place));
    buf_free(&b);
    labels_note(c, d);
}

/* A tone that begins with the symbol in a line and does not belong to it: a line may lean on such a tone. */
static void report_line(const struct comparison *c, const struct note *n, const struct part *part)
{
    char pitch[PITCH_TEXT_MAX];
    struct diag *d = diag_add(
        c->m->diags, DIAG_HARMONY_LINE, c->e->where, "%s in the line `%.*s` does not belong to `%.*s`",
        pitch_text(n->pitch, SIGN_ASCII, pitch), STR_ARG(part->symbol.name), STR_ARG(c->e->harmony.text));
    diag_place(c->m->diags, d, n->where, "%.*s", STR_ARG(note_text(c, n)));
}

/* All foreign tones of the chords are one slip, and what is missing beside them is its other side. */
static void report_chord(const struct comparison *c, const struct sounding *foreign, uint32_t n,
                         pcset missing)
{
    struct buf b = {0};
    bool one_part = true;
    for (uint32_t i = 0; i < n; i++) {
        char pitch[PITCH_TEXT_MAX];
        buf_printf(&b, "%s%s",
                   i == 0       ? ""
                   : i + 1 == n ? " and "
                                : ", ",
                   pitch_text(foreign[i].note->pitch, SIGN_ASCII, pitch));
        one_part = one_part && foreign[i].part == foreign[0].part;
    }
    if (one_part)
        buf_printf(&b, " in `%.*s`", STR_ARG(foreign[0].part->symbol.name));
    struct diag *d = diag_add(c->m->diags, DIAG_HARMONY_FOREIGN, c->e->where, "%.*s %s not belong to `%.*s`",
                              STR_ARG(buf_str(&b)), n == 1 ? "does" : "do", STR_ARG(c->e->harmony.text));
    for (uint32_t i = 0; i < n; i++)
        diag_place(c->m->diags, d, foreign[i].note->where, "%.*s", STR_ARG(note_text(c, foreign[i].note)));
    b.n = 0;
    wanted_text(&c->e->harmony, missing, " or ", &b);
    if (missing)
        diag_note(c->m->diags, d, "and no %.*s sounds there", STR_ARG(buf_str(&b)));
    buf_free(&b);
    labels_note(c, d);
}

/* Is any foreign tone part of a chord? */
static bool report_foreign(const struct comparison *c, pcset missing)
{
    struct sounding foreign[12];
    uint32_t n = 0;
    pcset told = 0;
    for (uint32_t i = 0; i < c->n; i++) {
        const struct note *note = c->at[i].note;
        pcset one = pcset_of(tone_pc(note->pitch.tone));
        if ((c->wanted & one) || (told & one) || !ratio_eq(note->onset, c->e->onset))
            continue;
        told |= one;
        if (plays_chord(c, c->at[i].part))
            foreign[n++] = c->at[i];
        else
            report_line(c, note, c->at[i].part);
    }
    if (n)
        report_chord(c, foreign, n, missing);
    return n > 0;
}

/* The lowest note that sounds against the bass of the symbol: of its lowest layer. A polychord's own
 * symbol does not say its inversion; a slash does, and a plain symbol means the root. */
static void report_bass(const struct comparison *c)
{
    const struct harmony *h = &c->e->harmony;
    const struct chord *low = &h->layers[h->n_layers - 1];
    const struct note *bass = c->at[0].note;
    int pc = tone_pc(bass->pitch.tone);
    if (pc == tone_pc(low->bass) || !(c->wanted & pcset_of(pc)) || (h->n_layers > 1 && !low->slash))
        return;
    if (!ratio_eq(bass->onset, c->e->onset) && !plays_chord(c, c->at[0].part))
        return; /* a line that was there before: a pedal */
    char sounds[PITCH_TEXT_MAX], wanted[PITCH_TEXT_MAX], tone[PITCH_TEXT_MAX];
    tone_text(bass->pitch.tone, SIGN_ASCII, tone);
    struct diag *d =
        diag_add(c->m->diags, DIAG_HARMONY_BASS, c->e->where,
                 "`%.*s` has %s in the bass, but %s sounds lowest", STR_ARG(h->text),
                 tone_text(low->bass, SIGN_ASCII, wanted), pitch_text(bass->pitch, SIGN_ASCII, sounds));
    diag_place(c->m->diags, d, bass->where, "the lowest note: %.*s", STR_ARG(note_text(c, bass)));
    if (!low->slash && h->kind == HARMONY_CHORD) {
        struct str better = str_printf(c->m->arena, "%.*s/%s", STR_ARG(h->text), tone);
        diag_help(c->m->diags, d, "write `%.*s` for this inversion", STR_ARG(better));
        diag_fix(c->m->diags, d, c->e->where, better, false);
    } else {
        labels_note(c, d);
    }
}

/* The right sound in another spelling: an augmented sixth is no dominant seventh. */
static void report_spelling(const struct comparison *c)
{
    for (uint32_t i = 0; i < c->n; i++) {
        struct tone t = c->at[i].note->pitch.tone;
        const struct tone *same = NULL;
        bool spelled = false;
        for (uint32_t l = 0; l < c->e->harmony.n_layers; l++) {
            const struct chord *ch = &c->e->harmony.layers[l];
            for (uint32_t k = 0; k < ch->n_tones; k++) {
                spelled = spelled || tone_eq(ch->tones[k], t);
                if (tone_pc(ch->tones[k]) == tone_pc(t))
                    same = &ch->tones[k];
            }
            spelled = spelled || (ch->slash && tone_eq(ch->bass, t));
        }
        if (spelled || !same || !plays_chord(c, c->at[i].part))
            continue;
        char pitch[PITCH_TEXT_MAX], tone[PITCH_TEXT_MAX];
        struct diag *d = diag_add(c->m->diags, DIAG_HARMONY_SPELLING, c->at[i].note->where,
                                  "%s sounds like the %s of `%.*s` and is spelled otherwise",
                                  pitch_text(c->at[i].note->pitch, SIGN_ASCII, pitch),
                                  tone_text(*same, SIGN_ASCII, tone), STR_ARG(c->e->harmony.text));
        diag_place(c->m->diags, d, c->e->where, "the symbol");
        diag_help(c->m->diags, d,
                  "spell the note as the symbol does, or choose the symbol that its spelling means");
        return;
    }
}

/* A symbol with its own voicing, `C as (C3 G3 E4)`: the notes are the symbol's. */
static void check_voicing(const struct model *m, const struct harmony_event *e)
{
    for (uint32_t l = 0; l < e->harmony.n_layers && e->harmony.voicing[l]; l++) {
        const struct chord *ch = &e->harmony.layers[l];
        pcset wanted = chord_set(ch), left = wanted;
        bool foreign = false;
        if (ch->slash)
            wanted |= pcset_of(tone_pc(ch->bass));
        for (uint32_t i = 0; i < e->harmony.n_voicing[l]; i++) {
            struct pitch p = e->harmony.voicing[l][i];
            char pitch[PITCH_TEXT_MAX];
            left &= (pcset)~pcset_of(tone_pc(p.tone));
            if (wanted & pcset_of(tone_pc(p.tone)))
                continue;
            foreign = true;
            diag_add(m->diags, DIAG_HARMONY_FOREIGN, e->where, "%s in the voicing does not belong to `%.*s`",
                     pitch_text(p, SIGN_ASCII, pitch), STR_ARG(e->harmony.text));
        }
        left &= (pcset)~fifth_of(ch);
        struct buf b = {0};
        wanted_text(&e->harmony, left, " and ", &b);
        if (left && !foreign)
            diag_add(m->diags, DIAG_HARMONY_MISSING, e->where, "the voicing of `%.*s` lacks %.*s",
                     STR_ARG(e->harmony.text), STR_ARG(buf_str(&b)));
        buf_free(&b);
    }
}

static void check_event(const struct model *m, const struct passage *p, const struct harmony_event *e)
{
    struct comparison c = {
        .m = m, .p = p, .e = e, .wanted = symbol_set(&e->harmony), .heard = heard_through(p, e)};
    const struct bar *bar = passage_bar_at(p, e->onset);
    if (e->harmony.voicing[0])
        check_voicing(m, e);
    if (e->unread || e->harmony.kind == HARMONY_NONE || !bar || !bar->transcribed || e->harmony.voicing[0])
        return;
    c.n = passage_sounding(p, e->onset, c.at, SOUNDING_MAX);
    if (c.n <
        2) /* a symbol over a single line is the analyst's reading, not a label of what sounds together */
        return;
    pcset missing = c.wanted & (pcset)~c.heard;
    if (e->harmony.n_layers == 1)
        missing &= (pcset)~fifth_of(&e->harmony.layers[0]);
    if (report_foreign(&c, missing)) /* the symbol is another: what follows from it says nothing new */
        return;
    if (missing)
        report_missing(&c, missing);
    report_bass(&c);
    report_spelling(&c);
}

void check_harmony(const struct model *m)
{
    for (uint32_t i = 0; i < m->n_passages; i++)
        for (uint32_t k = 0; k < m->passages[i]->n_harmony && !m->passages[i]->notes_unread; k++)
            check_event(m, m->passages[i], &m->passages[i]->harmony[k]);
}
