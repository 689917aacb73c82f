#include "checks/checks.h"

static void (*const checks[])(const struct model *m) = {
    check_ranges, check_harmony,  check_clocks,  check_timeline,
    check_links,  check_spelling, check_sources, check_holes,
};

void checks_run(const struct model *m)
{
    for (size_t i = 0; i < sizeof checks / sizeof *checks; i++)
        checks[i](m);
}
