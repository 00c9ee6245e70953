// What all kernels share: two doubles at a time, which are two neighbouring numbers or one complex number.
#pragma once

typedef double pair __attribute__((vector_size(16), aligned(8)));

// The name under which TypeScript calls a function.
#define KERNEL(name) __attribute__((export_name(name)))

static inline pair both(double value) { return (pair){value, value}; }

static inline pair swapped(pair x) { return __builtin_shufflevector(x, x, 1, 0); }

static inline double sum_of(pair x) { return x[0] + x[1]; }

static inline pair conjugate(pair x) { return (pair){x[0], -x[1]}; }

// Complex product.
static inline pair times(pair x, pair by) { return both(by[0]) * x + (pair){-by[1], by[1]} * swapped(x); }

// Complex product with the conjugate of `by`.
static inline pair times_conjugate(pair x, pair by) { return both(by[0]) * x + (pair){by[1], -by[1]} * swapped(x); }

// Product with -i.
static inline pair turned_back(pair x) { return (pair){x[1], -x[0]}; }
