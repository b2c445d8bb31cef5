/** Sheets for a blind tasting: for each taster the codes in the order the glasses stand, and a key for whoever pours. */
import type { Book } from '../cellar/book.ts';
import { dayOf, fullDayText } from './dates.ts';
import { rowSaid, servings, type Trial, winesOf } from './trials.ts';

export interface TastingSheets {
  readonly title: string;
  readonly day: string;
  readonly sheets: readonly { readonly hand: string; readonly codes: readonly string[] }[];
  readonly key: readonly { readonly code: string; readonly row: string; readonly said: string }[];
  readonly wines: string;
  /** How the tasting is written down afterwards: `ana 471, 208, 663`. */
  readonly written: string;
}

export function tastingSheets(book: Book, trial: Trial, tasters: readonly string[]): TastingSheets {
  const sheets = servings(trial, tasters);
  const codes = trial.said.rows.map(({ code }) => code);
  return {
    title: trial.said.name,
    day: fullDayText(dayOf(trial.event.minute)),
    sheets,
    key: trial.said.rows.map((row) => ({ code: row.code, row: row.name, said: rowSaid(row) })),
    wines: winesOf(book, trial),
    written: `${sheets[0]?.hand === '' || sheets[0] === undefined ? 'ana' : sheets[0].hand} ${codes.join(', ')}`,
  };
}
