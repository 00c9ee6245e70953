/** A piece of sound as it comes in: one array a channel. */
export type Block = readonly Float32Array[];
