/*
 * Numbers that are the same on every machine: chance, noise and the few
 * functions of mathematics that a picture needs, made of + - * / sqrt only.
 */
#ifndef HANKLAB_TOOLS_SCENE_EXACT_H
#define HANKLAB_TOOLS_SCENE_EXACT_H

#include <stdbool.h>
#include <stdint.h>

/* The next of a sequence, and its state. Source: SplitMix64, Steele, Lea,
 * Flood, OOPSLA 2014. */
struct chance {
    uint64_t state;
};

uint64_t chance_bits(struct chance *c);
double chance_unit(struct chance *c); /* 0 <= x < 1 */
double chance_between(struct chance *c, double lo, double hi);

/* About normal, mean 0, SD 1: the sum of four even chances, so that it never
 * passes 3.5. */
double chance_normal(struct chance *c);

/* 0 <= x < 1, a function of its arguments alone. */
double hash_unit(uint64_t seed, int64_t i, int64_t j);

/* Smooth noise of -1..1 with a knot at every whole number; noise_ring comes
 * back to itself after `period` knots. */
double noise_ring(uint64_t seed, double x, int64_t period);
double noise_plane(uint64_t seed, double x, double y);

/* The same as noise_plane, quicker where one point is near the last: it keeps
 * the corners between. All zero but the seed is a new one. */
struct noise {
    uint64_t seed;
    int64_t i, j;
    bool known;
    double corner[4];
};
double noise_near(struct noise *n, double x, double y);

/* noise_plane over `octaves` halvings of size and weight, about -1..1. */
double noise_cloud(uint64_t seed, double x, double y, int octaves);

/* To 1e-14 relative. exact_pow and exact_log want x > 0. */
double exact_log(double x);
double exact_exp(double x);
double exact_pow(double x, double y);

/* Of a part of a turn; 1e-12 absolute. */
double exact_sin_turns(double turns);
double exact_cos_turns(double turns);

double clamp(double x, double lo, double hi);

/* 0 below lo, 1 above hi, smooth between. */
double smooth_step(double x, double lo, double hi);

#endif
