/** Every calculation the tool offers, in the order the documentation shows them. */
import { ACID_CALCULATIONS } from './acid.ts';
import { ADDITION_CALCULATIONS } from './additions.ts';
import { ALCOHOL_CALCULATIONS } from './alcohol.ts';
import { BLENDING_CALCULATIONS } from './blending.ts';
import type { Calculation } from './calculation.ts';
import { FERMENT_CALCULATIONS } from './ferment.ts';
import { GAS_AND_HEAT_CALCULATIONS } from './gas-and-heat.ts';
import { GAUGING_CALCULATIONS } from './gauging.ts';
import { NUTRIENT_CALCULATIONS } from './nutrients.ts';
import { SUGAR_CALCULATIONS } from './sugar.ts';
import { SULFUR_DIOXIDE_CALCULATIONS } from './sulfur-dioxide.ts';

export const CALCULATIONS: readonly Calculation[] = [
  ...SUGAR_CALCULATIONS,
  ...ALCOHOL_CALCULATIONS,
  ...FERMENT_CALCULATIONS,
  ...SULFUR_DIOXIDE_CALCULATIONS,
  ...ACID_CALCULATIONS,
  ...NUTRIENT_CALCULATIONS,
  ...ADDITION_CALCULATIONS,
  ...BLENDING_CALCULATIONS,
  ...GAS_AND_HEAT_CALCULATIONS,
  ...GAUGING_CALCULATIONS,
];
