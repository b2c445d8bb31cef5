/** The answer to what was asked of a blend as plain data for other programs; `recipe.schema.json` describes it. */
import { formatDate } from '../../grammar/dates.ts';
import type { Settings } from '../journal/register.ts';
import { analyteUnit } from '../report/figures.ts';
import type { Entry } from './entry.ts';
import type { AnswerToBlend, Contribution } from './recipe.ts';

const rounded = (value: number): number => Number(value.toFixed(6));

const contribution = ({ part, litres, share, emptied, left }: Contribution) => ({
  vessel: part.name,
  lot: part.lot,
  litres: rounded(litres),
  share: rounded(share),
  emptied,
  left: rounded(left),
});

export function recipeJson(answer: AnswerToBlend, entry: Entry | undefined, settings: Settings, on: number) {
  const head = { format: 'ullage-recipe', version: 1, on: formatDate(on), status: answer.status } as const;
  switch (answer.status) {
    case 'unable':
      return { ...head, why: answer.why };
    case 'none':
      return {
        ...head,
        conflict: answer.conflict,
        nearest: { misses: answer.nearest, parts: answer.nearestParts.map(contribution) },
      };
    case 'recipe':
      return {
        ...head,
        litres: rounded(answer.arrives),
        drawn: rounded(answer.drawn),
        step: answer.step ?? null,
        aim: answer.aim,
        most: answer.most === undefined ? null : rounded(answer.most),
        parts: answer.contributions.map(contribution),
        foretold: answer.foretold.figures.map(({ analyte, value, uncertainty, oldest }) => ({
          analyte,
          value: rounded(value),
          unit: analyteUnit(analyte, settings),
          uncertainty: rounded(uncertainty),
          oldest: oldest === undefined ? null : formatDate(oldest),
        })),
        pH:
          answer.foretold.pH === undefined
            ? null
            : { value: rounded(answer.foretold.pH.value), mayBeOff: rounded(answer.foretold.pH.mayBeOff) },
        bounds: answer.kept.map(({ say, value, unit }) => ({ bound: say, value: rounded(value), unit })),
        binding: answer.binding.map(({ say, eased }) => ({ bound: say, eased: eased ?? null })),
        sources: answer.sources.map(({ name, share }) => ({ source: name, share: rounded(share) })),
        remarks: [...answer.remarks, ...answer.foretold.remarks],
        entry: entry === undefined ? null : { text: entry.text, to: entry.to, as: entry.as },
      };
  }
}
