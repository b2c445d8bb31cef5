/** Wines and labels for the tests of claims, made of plain figures. */
import type { LabelSaid } from '../../src/journal/events.ts';
import type { Origin } from '../../src/journal/register.ts';
import type { Answer, ClaimKind } from '../../src/law/claims.ts';
import { judge } from '../../src/law/claims.ts';
import type { RuleSet } from '../../src/law/rules.ts';
import type { Figures, Wine } from '../../src/law/wine.ts';

export type Part = Partial<Omit<Origin, 'id'>> & { readonly volume: number };

/** A wine of these parts, in microlitres; Syrah of ledge-2 in Lower Teal of 2025 where nothing else is said. */
export function wine(parts: readonly Part[], more: Partial<Wine> = {}): Wine {
  return {
    sources: parts.map(({ volume, ...origin }, id) => ({
      volume,
      origin: {
        id,
        variety: 'Syrah',
        colour: 'red',
        vintage: 2025,
        region: 'Lower Teal',
        block: 'ledge-2',
        estate: true,
        ...origin,
      },
    })),
    open: true,
    estimated: false,
    broughtIn: [],
    colour: 'red',
    figures: {},
    allergens: [],
    ...more,
  };
}

export const label = (said: Partial<LabelSaid>): LabelSaid => ({
  lot: 0,
  varieties: [],
  regions: [],
  blocks: [],
  estate: false,
  holds: [],
  ...said,
});

export const figure = (value: number, said = String(value)): Required<Figures>['alcohol'] => ({
  value,
  said,
  minute: 0,
  place: { file: 0, line: 1 },
});

export function answers(set: RuleSet, kind: ClaimKind, said: Partial<LabelSaid>, of: Wine): readonly Answer[] {
  return judge(set, label(said), of, 'L').filter((answer) => answer.kind === kind);
}

/** The one answer of a kind. */
export function answer(set: RuleSet, kind: ClaimKind, said: Partial<LabelSaid>, of: Wine): Answer {
  const [only, more] = answers(set, kind, said, of);
  if (only === undefined || more !== undefined) throw new Error(`not one answer about ${kind}`);
  return only;
}
