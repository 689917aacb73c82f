#include "base/normal.h"

#include <stdlib.h>
#include <utf8proc.h>

struct str text_normal(struct arena *a, struct str text)
{
    uint32_t i = 0;
    while (i < text.n && (unsigned char)text.p[i] < 0x80)
        i++;
    if (i == text.n) /* ASCII is normal */
        return text;
    utf8proc_uint8_t *nfc = NULL;
    utf8proc_ssize_t n = utf8proc_map((const utf8proc_uint8_t *)text.p, text.n, &nfc, UTF8PROC_STABLE | UTF8PROC_COMPOSE);
    if (n >= 0)
        text = (struct str){arena_copy(a, (const char *)nfc, (size_t)n), (uint32_t)n};
    free(nfc);
    return text;
}
