#include "base/normal.h"

#include <stdlib.h>
#include <utf8proc.h>

static bool is_ascii(struct str text)
{
    uint64_t high = 0, part;
    uint32_t i = 0;
    for (; i + sizeof part <= text.n; i += (uint32_t)sizeof part) {
        memcpy(&part, text.p + i, sizeof part);
        high |= part;
    }
    for (; i < text.n; i++)
        high |= (unsigned char)text.p[i];
    return !(high & 0x8080808080808080u);
}

struct str text_normal(struct arena *a, struct str text)
{
    if (is_ascii(text)) /* ASCII is normal */
        return text;
    utf8proc_uint8_t *nfc = NULL;
    utf8proc_ssize_t n = utf8proc_map((const utf8proc_uint8_t *)text.p, text.n, &nfc, UTF8PROC_STABLE | UTF8PROC_COMPOSE);
    if (n >= 0)
        text = (struct str){arena_copy(a, (const char *)nfc, (size_t)n), (uint32_t)n};
    free(nfc);
    return text;
}
