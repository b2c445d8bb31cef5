/** The `blend` entry of a recipe, ready to be pasted into the journal. */
import { formatDate } from '../../grammar/dates.ts';
import type { Book } from '../cellar/book.ts';
import { rangesOf } from '../report/names.ts';
import { dayWritten, emptyVesselFor, freeName, litresWritten, nameWritten, timeAfter } from '../report/paste-lines.ts';
import type { Asked } from './asked.ts';
import type { Contribution } from './recipe.ts';

export interface Entry {
  /** The day it stands under and the entry itself, a line each. */
  readonly text: string;
  readonly to: readonly string[];
  readonly as: string;
  /** What was chosen for want of being asked. */
  readonly chosen: readonly string[];
}

/** Neighbours that are emptied are joined to a range; what is drawn in part says how much. */
function sourcesText(contributions: readonly Contribution[]): string {
  const texts: string[] = [];
  let emptied: string[] = [];
  const close = (): void => {
    texts.push(...rangesOf(emptied).map((name) => (name.includes('..') ? name : nameWritten(name))));
    emptied = [];
  };
  for (const { part, litres, emptied: all } of contributions) {
    if (all) emptied.push(part.name);
    else {
      close();
      texts.push(`${nameWritten(part.name)} ${litresWritten(litres)}`);
    }
  }
  close();
  return texts.join(', ');
}

/** Undefined where no vessel was named and none that is empty takes the blend. */
export function blendEntry(
  book: Book,
  asked: Asked,
  contributions: readonly Contribution[],
  named: { readonly to?: readonly string[]; readonly as?: string },
): Entry | undefined {
  const arrives = contributions.reduce((sum, { litres }) => sum + litres, 0) - asked.lees - asked.loss;
  const found = named.to === undefined ? emptyVesselFor(book, arrives, new Set(asked.from)) : undefined;
  const to = named.to ?? (found === undefined ? [] : [found]);
  if (to.length === 0) return undefined;
  const as = named.as ?? freeName(book, `blend-${formatDate(book.on)}`);
  const ends = [
    ...(asked.lees > 0 ? [`lees ${litresWritten(asked.lees)}`] : []),
    ...(asked.loss > 0 ? [`loss ${litresWritten(asked.loss)}`] : []),
  ];
  const line = `${timeAfter(book)} blend ${sourcesText(contributions)} to ${to.map(nameWritten).join(', ')} as ${nameWritten(as)}${ends
    .map((end) => `, ${end}`)
    .join('')}`;
  return {
    text: `${dayWritten(book)}\n${line}`,
    to,
    as,
    chosen: [
      ...(named.to === undefined
        ? [`${to.join(', ')} is the smallest empty vessel that takes it; --to names another`]
        : []),
      ...(named.as === undefined ? ['--as gives the blend its name'] : []),
    ],
  };
}
