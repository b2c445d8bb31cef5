/** Of which class of wine something is, by its alcohol and gas, and the account it is kept in by that. */
import { gasOf, type Held, strengthOf } from './held-wine.ts';
import type { VolumeRules, WineClass } from './volume-rules.ts';
import type { Account } from './wine-postings.ts';

/** The class of wine of so much alcohol and gas; what nothing is known of is taken for the weakest. */
export function classOf(
  rules: VolumeRules,
  strength: number | undefined,
  gas: number | undefined,
  sparkling: boolean,
): WineClass {
  const effervescent = rules.gas === undefined ? sparkling && gas !== undefined : (gas ?? 0) > rules.gas.above;
  if (effervescent) return sparkling ? rules.sparkling : rules.carbonated;
  return rules.classes.find(({ upTo }) => upTo === undefined || (strength ?? 0) <= upTo) ?? rules.classes[0];
}

export const bulkAccount = (rules: VolumeRules, held: Held): Account =>
  `bulk ${classOf(rules, strengthOf(held), gasOf(held), held.sparkling).id}`;

/** What is to sparkle is sealed in: its gas is read once at most. */
export const bottledAccount = (rules: VolumeRules, held: Held): Account =>
  `bottled ${held.sparkling ? rules.sparkling.id : classOf(rules, strengthOf(held), gasOf(held), false).id}`;

export function effervescenceDiffers(rules: VolumeRules, one: Account, other: Account): boolean {
  const fizzy = (account: Account): boolean =>
    [rules.sparkling, rules.carbonated].some(({ id }) => account.endsWith(` ${id}`));
  return fizzy(one) !== fizzy(other);
}
