#include "claims/claims.h"

static const struct claim_kind *const kinds[] = {
#define KIND(id, fail_name, fail_summary) &claim_kind_##id,
#include "claims/kinds.def"
#undef KIND
    NULL,
};

const struct claim_kind *const *claim_kinds(void)
{
    return kinds;
}

const struct claim_kind *claim_kind_by_name(struct str name)
{
    for (const struct claim_kind *const *k = kinds; *k; k++)
        if (str_is(name, (*k)->name))
            return *k;
    return NULL;
}
