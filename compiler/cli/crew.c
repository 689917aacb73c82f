#include "cli/crew.h"

#include <pthread.h>
#include <stdbool.h>
#include <unistd.h>

enum { MEMBERS_MAX = CREW_AHEAD / 2 };

struct crew {
    const struct crew_job *job;
    uint32_t n;
    pthread_mutex_t lock; /* of all below */
    pthread_cond_t room;  /* an item was finished */
    uint32_t n_begun, n_finished;
    bool finishing;
    uint32_t place[CREW_AHEAD]; /* of item i at i % CREW_AHEAD */
    bool done[CREW_AHEAD];      /* likewise: worked on, not yet finished */
    uint32_t left[CREW_AHEAD], n_left; /* places that nobody uses, the one left last on top */
};

/* Finishes what is next in order, as far as it is worked on. Whoever comes while another does so leaves it to that one. */
static void finish_ready(struct crew *c)
{
    for (;;) {
        uint32_t item = c->n_finished, at = item % CREW_AHEAD, place = c->place[at];
        if (c->finishing || !c->done[at])
            return;
        c->finishing = true;
        pthread_mutex_unlock(&c->lock);
        c->job->finish(c->job->data, item, place);
        pthread_mutex_lock(&c->lock);
        c->finishing = c->done[at] = false;
        c->left[c->n_left++] = place;
        c->n_finished++;
        pthread_cond_broadcast(&c->room);
    }
}

static void *member(void *crew)
{
    struct crew *c = crew;
    pthread_mutex_lock(&c->lock);
    while (c->n_begun < c->n) {
        if (!c->n_left) {
            pthread_cond_wait(&c->room, &c->lock);
            continue;
        }
        uint32_t item = c->n_begun++, place = c->left[--c->n_left];
        c->place[item % CREW_AHEAD] = place;
        pthread_mutex_unlock(&c->lock);
        c->job->work(c->job->data, item, place);
        pthread_mutex_lock(&c->lock);
        c->done[item % CREW_AHEAD] = true;
        finish_ready(c);
    }
    pthread_mutex_unlock(&c->lock);
    return NULL;
}

static uint32_t members_for(uint32_t n)
{
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    uint32_t most = processors > MEMBERS_MAX ? MEMBERS_MAX : processors > 1 ? (uint32_t)processors : 1;
    return most < n ? most : n;
}

void crew_run(const struct crew_job *job, uint32_t n)
{
    struct crew c = {.job = job, .n = n, .lock = PTHREAD_MUTEX_INITIALIZER, .room = PTHREAD_COND_INITIALIZER};
    pthread_t others[MEMBERS_MAX];
    uint32_t wanted = members_for(n), started = 0;
    while (c.n_left < 2 * wanted) {
        c.left[c.n_left] = c.n_left;
        c.n_left++;
    }
    while (started + 1 < wanted && pthread_create(&others[started], NULL, member, &c) == 0)
        started++;
    member(&c);
    for (uint32_t i = 0; i < started; i++)
        pthread_join(others[i], NULL);
    pthread_mutex_destroy(&c.lock);
    pthread_cond_destroy(&c.room);
}
