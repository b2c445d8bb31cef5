/** Every calculation the tool offers, in the order the documentation shows them. */
import { ALCOHOL_CALCULATIONS } from './alcohol.ts';
import { BLENDING_CALCULATIONS } from './blending.ts';
import type { Calculation } from './calculation.ts';
import { GAS_AND_HEAT_CALCULATIONS } from './gas-and-heat.ts';
import { NUTRIENT_CALCULATIONS } from './nutrients.ts';

export const CALCULATIONS: readonly Calculation[] = [
  ...ALCOHOL_CALCULATIONS,
  ...BLENDING_CALCULATIONS,
  ...NUTRIENT_CALCULATIONS,
  ...GAS_AND_HEAT_CALCULATIONS,
];
