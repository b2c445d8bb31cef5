/** How long a time a law lets be told of at once, by the volumes there were to account for. */
import type { PeriodRule } from './volume-rules.ts';

/** Wine gallons to account for in every month and every quarter of a year. */
export interface ToAccountFor {
  readonly month: readonly number[];
  readonly quarter: readonly number[];
}

/** The longest period whose most is nowhere passed: exactly as much as is allowed is not above it. `undefined` for none. */
export function longestPeriod(rules: readonly PeriodRule[], gallons: ToAccountFor): PeriodRule | undefined {
  return rules.findLast(({ most }) => most === undefined || gallons[most.within].every((sum) => sum <= most.gallons));
}
