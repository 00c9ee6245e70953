/** Beyond this headroom, noise and cone travel go first (common practice). */
export const MOST_RESTORATION_DB = 12;
