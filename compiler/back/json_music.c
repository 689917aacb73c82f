#include "back/json_parts.h"

static cJSON *note_json(struct json *j, const struct note *n)
{
    cJSON *o = json_object();
    json_pitch(o, "pitch", n->pitch);
    json_int(o, "midi", pitch_midi(n->pitch));
    json_pitch(o, "written", n->written);
    json_ratio(o, "onset", n->onset);
    json_ratio(o, "length", n->length);
    json_int(o, "voice", n->voice);
    json_bool(o, "uncertain", n->uncertain);
    json_where(j, o, n->where);
    return o;
}

static cJSON *notes_json(struct json *j, const struct note *notes, uint32_t n)
{
    cJSON *list = json_array();
    for (uint32_t i = 0; i < n; i++)
        json_push(list, note_json(j, &notes[i]));
    return list;
}

static const char *extent_word(enum extent_kind kind)
{
    switch (kind) {
    case EXTENT_REST:
        return "rest";
    case EXTENT_OPEN:
        return "open";
    }
    return "";
}

static cJSON *part_json(struct json *j, const struct part *p)
{
    cJSON *o = json_named(j, &p->symbol);
    cJSON *instruments = json_array();
    for (uint32_t i = 0; i < p->n_instruments; i++) {
        cJSON *instrument = json_object();
        json_str(j, instrument, "name", p->instruments[i]->symbol.name);
        json_str(j, instrument, "title", instrument_title(p->instruments[i]));
        json_int(instrument, "program", p->instruments[i]->program);
        json_strings(j, instrument, "families", p->instruments[i]->families, p->instruments[i]->n_families);
        json_push(instruments, instrument);
    }
    json_set(o, "instruments", instruments);
    json_bool(o, "muted", p->muted);
    json_bool(o, "solo", p->solo);
    json_bool(o, "written", p->written);
    json_int(o, "voices", p->n_voices);
    json_bool(o, "voices_known", p->voices_known);
    if (p->voice_names)
        json_strings(j, o, "voice_names", p->voice_names, p->n_voices);
    json_set(o, "notes", notes_json(j, p->notes, p->n_notes));
    cJSON *extents = json_array();
    for (uint32_t i = 0; i < p->n_extents; i++) {
        cJSON *extent = json_object();
        json_str(j, extent, "kind", str_of(extent_word(p->extents[i].kind)));
        json_ratio(extent, "onset", p->extents[i].onset);
        json_ratio(extent, "length", p->extents[i].length);
        json_push(extents, extent);
    }
    json_set(o, "rests", extents);
    return o;
}

static cJSON *tones_json(const struct chord *c)
{
    cJSON *list = json_array();
    for (uint32_t i = 0; i < c->n_tones; i++) {
        char text[PITCH_TEXT_MAX];
        json_push(list, cJSON_CreateString(tone_text(c->tones[i], SIGN_ASCII, text)));
    }
    return list;
}

static cJSON *layer_json(struct json *j, const struct harmony *h, uint32_t index)
{
    const struct chord *c = &h->layers[index];
    char text[PITCH_TEXT_MAX];
    cJSON *o = json_object();
    json_str(j, o, "root", str_of(tone_text(c->root, SIGN_ASCII, text)));
    json_str(j, o, "bass", str_of(tone_text(c->bass, SIGN_ASCII, text)));
    if (c->quality)
        json_str(j, o, "quality", c->quality->name);
    json_bool(o, "altered", c->altered);
    json_set(o, "tones", tones_json(c));
    if (h->voicing[index]) {
        cJSON *voicing = json_array();
        for (uint32_t i = 0; i < h->n_voicing[index]; i++)
            json_push(voicing, cJSON_CreateString(pitch_text(h->voicing[index][i], SIGN_ASCII, text)));
        json_set(o, "voicing", voicing);
    }
    return o;
}

static const char *reading_word(enum reading_kind kind)
{
    switch (kind) {
    case HARMONY_CHORD:
        return "chord";
    case HARMONY_ROMAN:
        return "numeral";
    case HARMONY_NONE:
        return "none";
    }
    return "";
}

static cJSON *harmony_json(struct json *j, const struct harmony_event *e)
{
    cJSON *o = json_object();
    json_str(j, o, "symbol", e->harmony.text);
    json_str(j, o, "kind", str_of(reading_word(e->harmony.kind)));
    json_ratio(o, "onset", e->onset);
    json_ratio(o, "length", e->length);
    json_bool(o, "uncertain", e->uncertain);
    cJSON *layers = json_array();
    for (uint32_t i = 0; i < e->harmony.n_layers; i++)
        json_push(layers, layer_json(j, &e->harmony, i));
    json_set(o, "layers", layers);
    json_where(j, o, e->where);
    return o;
}

static void set_frame(struct json *j, cJSON *o, const struct passage *p)
{
    cJSON *bars = json_array();
    for (uint32_t i = 0; i < p->n_bars; i++) {
        char text[METER_TEXT_MAX];
        cJSON *bar = json_object();
        json_int(bar, "number", p->bars[i].number);
        json_ratio(bar, "onset", p->bars[i].onset);
        json_ratio(bar, "length", p->bars[i].length);
        json_str(j, bar, "meter", str_of(meter_text(p->bars[i].meter, text)));
        json_bool(bar, "transcribed", p->bars[i].transcribed);
        json_push(bars, bar);
    }
    json_set(o, "bars", bars);
    cJSON *tempos = json_array();
    for (uint32_t i = 0; i < p->n_tempos; i++) {
        cJSON *tempo = json_object();
        json_ratio(tempo, "at", p->tempos[i].at);
        json_ratio(tempo, "beat", p->tempos[i].beat);
        json_ratio(tempo, "bpm", p->tempos[i].bpm);
        json_push(tempos, tempo);
    }
    json_set(o, "tempos", tempos);
    cJSON *keys = json_array();
    for (uint32_t i = 0; i < p->n_keys; i++) {
        char text[PITCH_TEXT_MAX];
        cJSON *key = json_object();
        json_ratio(key, "at", p->keys[i].at);
        json_str(j, key, "key", str_of(key_text(p->keys[i].key, SIGN_ASCII, text)));
        json_push(keys, key);
    }
    json_set(o, "keys", keys);
}

static void set_basis(struct json *j, cJSON *o, const struct passage *p)
{
    const char *word = "";
    switch (p->basis) {
    case BASIS_EAR:
        word = "ear";
        break;
    case BASIS_REDUCTION:
        word = "reduction";
        break;
    case BASIS_GUESS:
        word = "guess";
        break;
    case BASIS_SCORE:
        word = "score";
        break;
    }
    if (p->has_basis)
        json_str(j, o, "basis", str_of(word));
    if (p->score)
        json_str(j, o, "score", p->score->symbol.name);
    json_some(j, o, "score_bars", p->score_bars);
}

cJSON *json_passage(struct json *j, const struct passage *p)
{
    cJSON *o = json_named(j, &p->symbol);
    if (p->work)
        json_str(j, o, "work", p->work->symbol.name);
    set_basis(j, o, p);
    cJSON *heard = json_array();
    for (uint32_t i = 0; i < p->n_heard; i++) {
        cJSON *h = json_object();
        json_str(j, h, "recording", p->heard[i].recording->symbol.name);
        json_seconds(j, h, "from", p->heard[i].from);
        json_seconds(j, h, "to", p->heard[i].to);
        json_push(heard, h);
    }
    json_set(o, "heard", heard);
    json_ratio(o, "pickup", p->pickup);
    json_ratio(o, "length", p->length);
    set_frame(j, o, p);
    cJSON *parts = json_array();
    for (uint32_t i = 0; i < p->n_parts; i++)
        json_push(parts, part_json(j, p->parts[i]));
    json_set(o, "parts", parts);
    cJSON *harmony = json_array();
    for (uint32_t i = 0; i < p->n_harmony; i++)
        json_push(harmony, harmony_json(j, &p->harmony[i]));
    json_set(o, "harmony", harmony);
    return o;
}

cJSON *json_figure(struct json *j, const struct figure *f)
{
    cJSON *o = json_named(j, &f->symbol);
    if (f->passage)
        json_str(j, o, "passage", f->passage->symbol.name);
    if (f->part)
        json_str(j, o, "part", f->part->symbol.name);
    json_ratio(o, "onset", f->onset);
    json_ratio(o, "length", f->length);
    json_set(o, "notes", notes_json(j, f->notes, f->n_notes));
    return o;
}
