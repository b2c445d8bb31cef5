/** A recipe in words and rows, for the terminal and for the page alike. */
import { formatDate } from '../../grammar/dates.ts';
import type { Settings } from '../journal/register.ts';
import { ageText } from '../report/dates.ts';
import { analyteUnit, shareText } from '../report/figures.ts';
import { nameList } from '../report/names.ts';
import type { Entry } from './entry.ts';
import { litresText } from './litres-text.ts';
import type { Contribution, NoRecipe, Recipe } from './recipe.ts';

export interface ToldPart {
  readonly name: string;
  readonly lot: string;
  readonly litres: string;
  readonly share: string;
  /** 0 to 100, for a bar. */
  readonly percent: number;
  readonly left: string;
}

export interface ToldRecipe {
  readonly head: string;
  readonly aim: string;
  readonly parts: readonly ToldPart[];
  readonly foretold: readonly {
    readonly name: string;
    readonly figure: string;
    readonly off: string;
    readonly age: string;
  }[];
  readonly bounds: readonly { readonly say: string; readonly figure: string }[];
  readonly binding: readonly { readonly say: string; readonly eased: string }[];
  readonly sources: readonly { readonly name: string; readonly share: string }[];
  readonly notes: readonly string[];
  readonly entry: string;
}

export const toldPart = ({ part, litres, share, emptied, left }: Contribution): ToldPart => ({
  name: part.name,
  lot: part.lot,
  litres: litresText(litres),
  share: shareText(share, 1),
  percent: share * 100,
  left: emptied ? 'emptied' : `${litresText(left)} left`,
});

/** Where standard uncertainties come from, told beside every one of them. */
const UNCERTAINTY_FROM =
  '± is one standard uncertainty, from the readings alone: of each reading what is usual for a cellar’s methods (common practice, no source), by its share';

export function toldRecipe(recipe: Recipe, entry: Entry | undefined, settings: Settings, on: number): ToldRecipe {
  const { foretold } = recipe;
  const off = recipe.drawn - recipe.arrives;
  return {
    head: `${litresText(recipe.arrives)}${off > 0 ? `, of ${litresText(recipe.drawn)} drawn` : ''}`,
    aim: recipe.aim,
    parts: recipe.contributions.map(toldPart),
    foretold: [
      ...foretold.figures.map(({ analyte, value, uncertainty, places, oldest }) => ({
        name: analyte,
        figure: `${value.toFixed(places)} ${analyteUnit(analyte, settings)}`.trim(),
        off: `± ${uncertainty.toFixed(Math.max(places, 1))}`,
        age:
          oldest === undefined
            ? 'as given'
            : `oldest reading ${formatDate(oldest)}${on > oldest ? `, ${ageText(on - oldest)} old` : ''}`,
      })),
      ...(foretold.pH === undefined
        ? []
        : [
            {
              name: 'pH',
              figure: foretold.pH.value.toFixed(2),
              off: `may be ${foretold.pH.mayBeOff.toFixed(2)} off`,
              age: 'an estimate from pH and TA of the parts; measure it',
            },
          ]),
    ],
    bounds: recipe.kept.map(({ say, value, unit, places }) => ({
      say,
      figure: unit === '%' ? shareText(value, 100) : `${value.toFixed(places)} ${unit}`.trim(),
    })),
    binding: recipe.binding.map(({ say, eased }) => ({ say, eased: eased ?? 'asked for exactly' })),
    sources: recipe.sources.map(({ name, share }) => ({ name, share: shareText(share, 1) })),
    notes: [
      ...(recipe.most === undefined ? [] : [`at most ${litresText(recipe.most)} could be made under the same bounds`]),
      ...(recipe.step === undefined
        ? []
        : [
            `amounts are in steps of ${litresText(recipe.step)} but where a vessel is emptied, and every bound was looked at again after rounding`,
          ]),
      ...recipe.remarks,
      ...foretold.lacking.map(
        ({ analyte, parts }) => `${analyte} of the blend is not told: no reading in ${nameList([...parts], 6)}`,
      ),
      ...(foretold.noPH === undefined ? [] : [foretold.noPH]),
      ...foretold.remarks,
      ...(foretold.figures.length === 0 ? [] : [UNCERTAINTY_FROM]),
      'figures are mixed by volume: taste and measure the blend before it is bottled',
      ...(entry === undefined
        ? ['no empty vessel takes it: --to names where it goes, and the entry is written']
        : entry.chosen),
    ],
    entry: entry?.text ?? '',
  };
}

export interface ToldRefusal {
  readonly conflict: readonly string[];
  readonly nearest: readonly string[];
  readonly parts: readonly ToldPart[];
}

export const toldRefusal = ({ conflict, nearest, nearestParts }: NoRecipe): ToldRefusal => ({
  conflict,
  nearest,
  parts: nearestParts.map(toldPart),
});

/** Columns padded to their widest; the last one stands as it is. */
function table(rows: readonly (readonly string[])[]): string[] {
  const widths: number[] = [];
  for (const row of rows) for (const [i, cell] of row.entries()) widths[i] = Math.max(widths[i] ?? 0, cell.length);
  return rows.map((row) =>
    `  ${row.map((cell, i) => (i === row.length - 1 ? cell : cell.padEnd(widths[i] ?? 0))).join('  ')}`.trimEnd(),
  );
}

const section = (head: string, lines: readonly string[]): string[] => (lines.length === 0 ? [] : ['', head, ...lines]);

export function recipeLines(told: ToldRecipe): string[] {
  return [
    told.head,
    `  aim: ${told.aim}`,
    ...section('from', table(told.parts.map(({ name, litres, share, left, lot }) => [name, litres, share, left, lot]))),
    ...section(
      'will read, mixed by volume',
      table(told.foretold.map(({ name, figure, off, age }) => [name, figure, off, age])),
    ),
    ...section('asked, and what it comes to', table(told.bounds.map(({ say, figure }) => [say, figure]))),
    ...section('what binds', table(told.binding.map(({ say, eased }) => [say, eased]))),
    ...section('grown', table(told.sources.map(({ name, share }) => [share, name]))),
    ...section(
      'notes',
      told.notes.map((note) => `  - ${note}`),
    ),
    ...section('to paste', told.entry === '' ? [] : told.entry.split('\n').map((line) => `  ${line}`)),
  ];
}

export function refusalLines({ conflict, nearest, parts }: ToldRefusal): string[] {
  return [
    conflict.length === 1
      ? 'It can’t be done. This cannot be kept with what there is:'
      : 'It can’t be done. These cannot be kept together; without any one of them the others can:',
    ...conflict.map((say) => `  - ${say}`),
    ...section(
      'the nearest that can',
      nearest.map((say) => `  - ${say}`),
    ),
    ...section('from', table(parts.map(({ name, litres, share, left, lot }) => [name, litres, share, left, lot]))),
  ];
}
