/** Every calculation on the sugar and the density of must. */
import type { Calculation } from './calculation.ts';
import { ENRICHMENT_CALCULATIONS } from './sugar-enrichment.ts';
import { SUGAR_PROMISE_CALCULATIONS } from './sugar-promise.ts';
import { SUGAR_READING_CALCULATIONS } from './sugar-readings.ts';

export const SUGAR_CALCULATIONS: readonly Calculation[] = [
  ...SUGAR_READING_CALCULATIONS,
  ...SUGAR_PROMISE_CALCULATIONS,
  ...ENRICHMENT_CALCULATIONS,
];
