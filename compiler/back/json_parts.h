/* json_parts.h - pieces of the model as JSON.
 *
 * Purpose: json.c writes the whole and the timeline, json_music.c passages and figures; helpers for both.
 * Units:   exact times as text ("3/4"); seconds also as decimals with three places, in text, so that no
 * reader rounds them. Owner:   nodes belong to the tree they are added to; cJSON copies texts. Errors:  out
 * of memory aborts.
 */
#ifndef DESCANT_BACK_JSON_PARTS_H
#define DESCANT_BACK_JSON_PARTS_H

#include "sema/model.h"

#include <cJSON.h>

struct json {
    const struct model *m;
    struct arena *arena; /* scratch */
};

cJSON *json_object(void);
cJSON *json_array(void);
void json_push(cJSON *array, cJSON *item);
void json_set(cJSON *object, const char *key, cJSON *item);
void json_str(struct json *j, cJSON *object, const char *key, struct str s);
/* Left out where empty. */
void json_some(struct json *j, cJSON *object, const char *key, struct str s);
void json_int(cJSON *object, const char *key, int64_t value);
void json_bool(cJSON *object, const char *key, bool value);
/* "3/4" */
void json_ratio(cJSON *object, const char *key, struct ratio r);
/* KEY exact, KEY_seconds as a decimal. */
void json_seconds(struct json *j, cJSON *object, const char *key, struct ratio r);
void json_strings(struct json *j, cJSON *object, const char *key, const struct str *items, uint32_t n);
void json_pitch(cJSON *object, const char *key, struct pitch p);
/* file, line and column into the object itself. */
void json_where(struct json *j, cJSON *object, struct span where);
/* Name and place of a definition. */
cJSON *json_named(struct json *j, const struct symbol *s);
/* A name without its folder: outputs do not tell where they were made. */
struct str base_name(struct str path);

cJSON *json_passage(struct json *j, const struct passage *p);
cJSON *json_figure(struct json *j, const struct figure *f);

#endif
