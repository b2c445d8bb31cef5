/** The bench trials of a book: what each row tries, what the tasters made of it, and what that can tell. */
import { fold } from '../../grammar/words.ts';
import type { Book, Happening } from '../cellar/book.ts';
import type { Kept, Target } from '../journal/events.ts';
import { servingOrder, type TrialRow, type TrialSaid } from '../journal/trials.ts';
import { friedman, leastTasters, type PanelVerdict, type Ranks, ranksOfScores, USUAL_CHANCE } from '../trade/panel.ts';
import { Known } from './known.ts';
import { counted, nameList } from './names.ts';

export interface Trial {
  readonly happening: Happening;
  readonly event: Kept;
  readonly said: TrialSaid;
}

const KNOWN = new Known<Book, readonly Trial[]>((book) =>
  book.happenings.flatMap((happening) => {
    const { event } = happening;
    return event.kind === 'kept' && event.trial !== undefined ? [{ happening, event, said: event.trial }] : [];
  }),
);

/** All trials, in the order of time. */
export function trialsOf(book: Book): readonly Trial[] {
  const known = KNOWN.get(book);
  if (known !== undefined) return known;
  const trials = KNOWN.work(book);
  KNOWN.set(book, trials);
  return trials;
}

export const trialNamed = (book: Book, name: string): Trial | undefined =>
  trialsOf(book).find(({ said }) => fold(said.name) === fold(name));

export const targetName = (book: Book, target: Target): string => {
  switch (target.kind) {
    case 'vessel':
      return book.vessels[target.vessel]?.facts.name ?? '';
    case 'lot':
      return book.lots[target.lot]?.facts.name ?? '';
    case 'block':
      return book.blocks[target.block]?.name ?? '';
  }
};

/** The wines of a trial, as they are called now. */
export const winesOf = (book: Book, { event }: Trial): string =>
  nameList(
    event.targets.map((target) => targetName(book, target)),
    6,
  );

/** A row in words: what is blended or added, or the wine as it is. */
export const rowSaid = ({ said, unread }: TrialRow): string =>
  unread ? `${said === '' ? 'nothing' : said} (not read)` : said === '' ? 'as it is' : said;

export interface Panel {
  /** Hands who said anything. */
  readonly tasters: number;
  /** By row: how many liked it best. */
  readonly firsts: readonly number[];
  /** Rankings of all rows. */
  readonly rankings: readonly { readonly hand: string; readonly ranks: Ranks }[];
  /** By row, of rankings of all rows; empty where there are none. */
  readonly sums: readonly number[];
  readonly verdict: PanelVerdict | undefined;
  readonly least: number;
  /** What may be said of it, in words. */
  readonly words: string;
}

/** What the tastings of a trial come to. */
export function panelOf({ rows, tastings }: TrialSaid): Panel {
  const firsts = rows.map(() => 0);
  const rankings: { hand: string; ranks: Ranks }[] = [];
  for (const { hand, order, scores } of tastings) {
    const best = order[0] ?? bestOf(scores);
    if (best !== undefined) firsts[best] = (firsts[best] ?? 0) + 1;
    const ranks = ranksOf(rows.length, order, scores);
    if (ranks !== undefined) rankings.push({ hand, ranks });
  }
  const least = leastTasters(rows.length);
  const verdict = rows.length < 2 ? undefined : friedman(rankings.map(({ ranks }) => ranks));
  return {
    tasters: tastings.length,
    firsts,
    rankings,
    sums: verdict?.sums ?? [],
    verdict,
    least,
    words: wordsOf(rows, tastings.length, rankings.length, least, verdict),
  };
}

/** The one with the highest score; none where two share it. */
function bestOf(scores: readonly { readonly row: number; readonly score: number }[]): number | undefined {
  const highest = Math.max(...scores.map(({ score }) => score));
  const [one, other] = scores.filter(({ score }) => score === highest);
  return other === undefined ? one?.row : undefined;
}

/** Ranks of all rows, or nothing where some were left out. */
function ranksOf(
  count: number,
  order: readonly number[],
  scores: readonly { readonly row: number; readonly score: number }[],
): Ranks | undefined {
  if (order.length === count) return Array.from({ length: count }, (_, row) => order.indexOf(row) + 1);
  if (scores.length !== count) return undefined;
  return ranksOfScores(
    Array.from({ length: count }, (_, row) => scores.find((one) => one.row === row)?.score ?? Number.NaN),
  );
}

function wordsOf(
  rows: readonly TrialRow[],
  tasters: number,
  ranked: number,
  least: number,
  verdict: PanelVerdict | undefined,
): string {
  if (rows.length < 2) return 'A trial of one row compares nothing.';
  if (tasters === 0)
    return `No tasting is written. A row below the trial tells one: a hand, and the rows from the best down, as ana ${rows
      .slice(0, 3)
      .map(({ name }) => name)
      .join(', ')}.`;
  const glasses = counted(rows.length, 'row');
  if (ranked < least)
    return `Too few tasters to say: ${counted(ranked, 'hand')} ranked all ${glasses}, and ranks can tell ${glasses} apart from ${counted(least, 'taster')} on.`;
  if (verdict === undefined) return 'The tasters liked all rows alike.';
  const { p, statistic, exact } = verdict;
  const by = `Friedman’s test of ${counted(ranked, 'ranking')}: statistic ${statistic.toFixed(2)}, p ${p < 0.001 ? 'under 0.001' : p.toFixed(3)}, ${exact ? 'chance counted out' : 'by the chi-squared distribution'}`;
  if (p > USUAL_CHANCE)
    return `The ranks do not tell the rows apart: chance alone would set them as far apart ${Math.round(p * 100)} times in a hundred. ${by}.`;
  const lowest = Math.min(...verdict.sums);
  const best = rows.filter((_, i) => verdict.sums[i] === lowest).map(({ name }) => name);
  return `The tasters tell the rows apart, and rank ${nameList(best)} best. ${by}.`;
}

/** A sheet for each taster: the codes in the order the glasses stand for that taster. */
export function servings({ said, event }: Trial, tasters: readonly string[]): { hand: string; codes: string[] }[] {
  const hands = tasters.length > 0 ? tasters : event.hands.length > 0 ? event.hands : [''];
  return hands.map((hand, i) => ({
    hand,
    codes: servingOrder(said.rows.length, i).flatMap((row) => said.rows[row]?.code ?? []),
  }));
}
