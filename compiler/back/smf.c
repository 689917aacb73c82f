#include "back/smf.h"

static void put_be(struct buf *out, uint32_t value, int bytes)
{
    for (int shift = 8 * (bytes - 1); shift >= 0; shift -= 8)
        buf_byte(out, (int)(value >> shift & 0xFF));
}

void smf_quantity(struct buf *out, uint32_t value)
{
    int shift = 21;
    while (shift > 0 && value >> shift == 0)
        shift -= 7;
    for (; shift > 0; shift -= 7)
        buf_byte(out, (int)(value >> shift & 0x7F) | 0x80);
    buf_byte(out, (int)(value & 0x7F));
}

void smf_header(struct buf *out, uint32_t tracks, uint32_t division)
{
    buf_bytes(out, "MThd", 4);
    put_be(out, 6, 4);
    put_be(out, 1, 2);
    put_be(out, tracks, 2);
    put_be(out, division, 2);
}

struct smf smf_open(struct buf *out)
{
    buf_bytes(out, "MTrk", 4);
    put_be(out, 0, 4);
    return (struct smf){.out = out, .begin = out->n};
}

static void put_delta(struct smf *t, uint32_t tick)
{
    smf_quantity(t->out, tick - t->tick);
    t->tick = tick;
}

void smf_meta(struct smf *t, uint32_t tick, enum smf_meta type, struct str bytes)
{
    put_delta(t, tick);
    t->running = 0; /* meta events cancel running status */
    buf_byte(t->out, 0xFF);
    buf_byte(t->out, (int)type);
    smf_quantity(t->out, bytes.n);
    buf_str_put(t->out, bytes);
}

void smf_channel(struct smf *t, uint32_t tick, int status, int first, int second)
{
    put_delta(t, tick);
    if (status != t->running)
        buf_byte(t->out, status);
    t->running = status;
    buf_byte(t->out, first);
    if (second >= 0)
        buf_byte(t->out, second);
}

void smf_close(struct smf *t, uint32_t tick)
{
    smf_meta(t, tick, SMF_END, (struct str){"", 0});
    uint32_t n = (uint32_t)(t->out->n - t->begin);
    for (int i = 0; i < 4; i++)
        t->out->p[t->begin - 4 + (size_t)i] = (char)(n >> (8 * (3 - i)) & 0xFF);
}
