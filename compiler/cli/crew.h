/* crew.h - many files at once, told of in order.
 *
 * Purpose: works on independent items in as many threads as there are processors, and finishes them one after the other in
 *          their order, so that what is printed does not depend on the threads.
 * Owner:   what `work` makes for an item is kept by the caller in the place that the crew gives it, a number below CREW_AHEAD,
 *          until `finish` has taken it. The place that was left last is given first: its memory is still near the processor.
 * Errors:  where no thread can be started, the caller's own does it all.
 */
#ifndef DESCANT_CREW_H
#define DESCANT_CREW_H

#include <stdint.h>

/* So many items may be begun and not yet finished: bounds the memory that results take. */
enum { CREW_AHEAD = 8 };

struct crew_job {
    void (*work)(void *data, uint32_t item, uint32_t place);   /* several at a time */
    void (*finish)(void *data, uint32_t item, uint32_t place); /* one at a time, in order; in any thread */
    void *data;
};

/* Items 0 to n - 1; returns when all are finished. */
void crew_run(const struct crew_job *job, uint32_t n);

#endif
