/* A fuzzer for libFuzzer; FUZZ_TARGET names the target. Every other change is one of ours, that keeps words
 * whole. */
#include "fuzz/mutate.h"
#include "fuzz/targets.h"

#include <stddef.h>
#include <stdint.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t n);
size_t LLVMFuzzerMutate(uint8_t *data, size_t n, size_t max);
size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t n, size_t max, unsigned seed);
size_t LLVMFuzzerCustomCrossOver(const uint8_t *a, size_t n_a, const uint8_t *b, size_t n_b, uint8_t *out,
                                 size_t max, unsigned seed);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t n)
{
    fuzz_target_by_name(FUZZ_TARGET)->run(fuzz_context(), (struct str){(const char *)data, (uint32_t)n});
    return 0;
}

static size_t put_mutated(struct str text, struct str other, uint8_t *out, size_t max, unsigned seed)
{
    struct rng r = {seed};
    struct buf b = {0};
    mutate(&r, text, other, (uint32_t)max, &b);
    size_t n = b.n;
    memcpy(out, b.p, n);
    buf_free(&b);
    return n;
}

size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t n, size_t max, unsigned seed)
{
    struct str text = {(const char *)data, (uint32_t)n};
    return seed % 2 ? LLVMFuzzerMutate(data, n, max) : put_mutated(text, text, data, max, seed);
}

size_t LLVMFuzzerCustomCrossOver(const uint8_t *a, size_t n_a, const uint8_t *b, size_t n_b, uint8_t *out,
                                 size_t max, unsigned seed)
{
    return put_mutated((struct str){(const char *)a, (uint32_t)n_a},
                       (struct str){(const char *)b, (uint32_t)n_b}, out, max, seed);
}
