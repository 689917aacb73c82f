#include "theory/pcset.h"

#include "theory_random.h"

static pcset set_of(const int *pcs, int n)
{
    pcset s = 0;
    for (int i = 0; i < n; i++)
        s |= pcset_of(pcs[i]);
    return s;
}

static void knows_examples(struct test *t)
{
    int normal[12], vector[6];
    pcset triad = set_of((const int[]){4, 7, 0}, 3);
    CHECK(t, pcset_of(-1) == pcset_of(11) && pcset_of(25) == pcset_of(1));
    CHECK(t, pcset_count(triad) == 3 && pcset_count(0) == 0 && pcset_count(0xFFF) == 12);
    CHECK(t, pcset_normal(triad, PRIME_RAHN, normal) == 3);
    CHECK(t, normal[0] == 0 && normal[1] == 4 && normal[2] == 7);
    CHECK(t, pcset_prime(triad, PRIME_RAHN) == set_of((const int[]){0, 3, 7}, 3));
    CHECK(t, pcset_normal(0, PRIME_RAHN, normal) == 0 && pcset_prime(0, PRIME_FORTE) == 0);
    pcset_vector(set_of((const int[]){0, 3, 6, 9}, 4), vector);
    CHECK(t, vector[2] == 4 && vector[5] == 2 && vector[0] + vector[1] + vector[3] + vector[4] == 0);
}

/* 5-20, where the two rules part (Hutchinson, Lists of Set Classes). */
static void knows_both_rules(struct test *t)
{
    pcset s = set_of((const int[]){0, 1, 3, 7, 8}, 5);
    CHECK(t, pcset_prime(s, PRIME_FORTE) == s);
    CHECK(t, pcset_prime(s, PRIME_RAHN) == set_of((const int[]){0, 1, 5, 6, 8}, 5));
}

/* Every one of the 4,096 sets: 224 classes by both rules, as many of each size as the tables print. */
static void counts_classes(struct test *t)
{
    static const int printed[13] = {1, 1, 6, 12, 29, 38, 50, 38, 29, 12, 6, 1, 1};
    for (int rule = PRIME_RAHN; rule <= PRIME_FORTE; rule++) {
        int classes[13] = {0};
        for (int s = 0; s <= 0xFFF; s++)
            if (pcset_prime((pcset)s, (enum prime_rule)rule) == s)
                classes[pcset_count((pcset)s)]++;
        CHECK(t, memcmp(classes, printed, sizeof printed) == 0);
    }
}

static bool prime_ignores_transposition(struct rng *r)
{
    pcset s = any_set(r), moved = pcset_transpose(s, rng_between(r, -30, 30));
    return pcset_prime(s, PRIME_RAHN) == pcset_prime(moved, PRIME_RAHN) &&
           pcset_prime(s, PRIME_FORTE) == pcset_prime(moved, PRIME_FORTE);
}

static bool prime_ignores_inversion(struct rng *r)
{
    pcset s = any_set(r), turned = pcset_invert(s);
    return pcset_prime(s, PRIME_RAHN) == pcset_prime(turned, PRIME_RAHN) &&
           pcset_prime(s, PRIME_FORTE) == pcset_prime(turned, PRIME_FORTE);
}

static bool prime_is_a_form_of_the_set(struct rng *r)
{
    pcset s = any_set(r), prime = pcset_prime(s, PRIME_RAHN);
    for (int half = 0; half < 12; half++)
        if (pcset_transpose(prime, half) == s || pcset_transpose(pcset_invert(prime), half) == s)
            return s == 0 || (prime & 1);
    return false;
}

static bool vector_ignores_both(struct rng *r)
{
    int a[6], b[6];
    pcset s = any_set(r);
    pcset_vector(s, a);
    pcset_vector(pcset_transpose(pcset_invert(s), rng_between(r, 0, 11)), b);
    int n = pcset_count(s), pairs = 0;
    for (int i = 0; i < 6; i++)
        pairs += a[i];
    return memcmp(a, b, sizeof a) == 0 && pairs == n * (n - 1) / 2;
}

/* The normal order holds the set's tones, in cyclic order, within the smallest span any rotation has. */
static bool normal_order_is_compact(struct rng *r)
{
    pcset s = any_set(r);
    int order[12], n = pcset_normal(s, PRIME_FORTE, order);
    if (n == 0 || set_of(order, n) != s)
        return n == 0 && s == 0;
    int span = (order[n - 1] - order[0] + 12) % 12, widest_gap = 12 - span;
    for (int i = 0; i + 1 < n; i++)
        if ((order[i + 1] - order[i] + 12) % 12 > widest_gap)
            return false;
    return n == pcset_count(s);
}

static bool inverting_and_moving_return(struct rng *r)
{
    pcset s = any_set(r);
    int half = rng_between(r, -40, 40);
    return pcset_invert(pcset_invert(s)) == s && pcset_transpose(pcset_transpose(s, half), -half) == s &&
           pcset_count(pcset_transpose(s, half)) == pcset_count(s);
}

int main(int argc, char **argv)
{
    static const struct law laws[] = {
        {"prime form ignores transposition", prime_ignores_transposition},
        {"prime form ignores inversion", prime_ignores_inversion},
        {"prime form begins on 0 and is a form of the set", prime_is_a_form_of_the_set},
        {"the vector ignores both and counts every pair", vector_ignores_both},
        {"normal order is the whole set, its widest gap outside", normal_order_is_compact},
        {"inverting and moving can be undone", inverting_and_moving_return},
    };
    struct test t = {"theory_pcset", 0, 0};
    knows_examples(&t);
    knows_both_rules(&t);
    counts_classes(&t);
    test_laws(&t, laws, sizeof laws / sizeof laws[0], test_seed(&t, argc, argv));
    return test_end(&t);
}
