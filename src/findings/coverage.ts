/** Coverage factor of a 95 % bound: 2 in place of 1.96 (JCGM 100:2008, annex G; from memory). */
export const COVERAGE = 2;
