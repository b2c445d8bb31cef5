/** Every calculation the tool offers, in the order the documentation shows them. */
import type { Calculation } from './calculation.ts';

export const CALCULATIONS: readonly Calculation[] = [];
