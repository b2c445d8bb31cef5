/** Every rule set, by the word the journal's `law` line has for it. */
import { EU } from './eu.ts';
import { NONE } from './none.ts';
import type { RuleSet } from './rules.ts';
import { US } from './us.ts';

export const RULE_SETS: Readonly<Record<RuleSet['law'], RuleSet>> = { us: US, eu: EU, none: NONE };
