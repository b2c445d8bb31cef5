/** Which materials correct a wine's acid, so that laws ask for a reading before and after them. */
import type { MaterialFacts } from '../journal/register.ts';
import { findSubstance } from '../trade/substances.ts';

/** Acids that correct a wine's own; ascorbic acid and the like do other work. */
const CORRECTING: ReadonlySet<string> = new Set([
  'tartaric acid',
  'malic acid',
  'lactic acid',
  'citric acid',
  'citric acid monohydrate',
  'fumaric acid',
]);

/** Acid that is added for its own sake, or what takes acid away. */
export function correctsAcid({ kind, substance }: MaterialFacts): boolean {
  const known = substance === undefined ? undefined : findSubstance(substance);
  if (known === undefined) return kind === 'acid';
  return CORRECTING.has(known.name) || known.kind === 'deacidifier';
}
