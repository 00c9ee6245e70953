import type { Chart } from './figure.ts';

/** Pictures on one subject. */
export interface ChartGroup {
  readonly id: string;
  readonly title: string;
  /** What to see in all of them; empty where each says it itself. */
  readonly lead: string;
  readonly charts: readonly Chart[];
}
