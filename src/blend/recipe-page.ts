/** A recipe as a page model: its picture, its parts, what it will read, what binds; or why there is none. */

import type { Book } from '../cellar/book.ts';
import type { CompositionBar } from '../report/charted.ts';
import { fullDayText } from '../report/dates.ts';
import { shareText } from '../report/figures.ts';
import type { Entry } from './entry.ts';
import type { Contribution, NoRecipe, Recipe } from './recipe.ts';
import { type ToldRecipe, type ToldRefusal, toldRecipe, toldRefusal } from './told-recipe.ts';

export interface RecipePage {
  readonly title: string;
  readonly day: string;
  readonly picture: CompositionBar | undefined;
  readonly recipe: ToldRecipe | undefined;
  readonly refusal: ToldRefusal | undefined;
}

/** Vessels of one lot are one length of the picture. */
function pictureOf(title: string, contributions: readonly Contribution[]): CompositionBar | undefined {
  const lots = new Map<string, { litres: number; share: number }>();
  for (const { part, litres, share } of contributions) {
    const known = lots.get(part.lot) ?? { litres: 0, share: 0 };
    lots.set(part.lot, { litres: known.litres + litres, share: known.share + share });
  }
  if (lots.size === 0) return undefined;
  return {
    title,
    parts: [...lots]
      .sort(([, a], [, b]) => b.share - a.share)
      .map(([label, { litres, share }], i) => ({
        letter: String.fromCharCode(65 + (i % 26)),
        label,
        share,
        text: `${Number(litres.toFixed(1))} L, ${shareText(share, 1)}`,
      })),
  };
}

export function recipePage(answer: Recipe | NoRecipe, entry: Entry | undefined, book: Book): RecipePage {
  const day = fullDayText(book.on);
  if (answer.status === 'none')
    return {
      title: 'A blend that can’t be done',
      day,
      picture: pictureOf('The nearest that can', answer.nearestParts),
      recipe: undefined,
      refusal: toldRefusal(answer),
    };
  const title = entry === undefined ? 'A recipe' : `A recipe for ${entry.as}`;
  return {
    title,
    day,
    picture: pictureOf(title, answer.contributions),
    recipe: toldRecipe(answer, entry, book.settings, book.on),
    refusal: undefined,
  };
}
