/** What the columns of a laboratory's or a logger's table mean, in words: `brix`, `temp F`, `vessel`, `day month/day/year`. */
import { ANALYTE_WORDS, findAnalyte } from '../../grammar/analytes.ts';
import { sayDimension } from '../../grammar/fit.ts';
import { nearest } from '../../grammar/suggest.ts';
import { findUnit } from '../../grammar/units.ts';
import { usualUnit } from './measures.ts';

export type DayOrder = 'year-month-day' | 'day-month-year' | 'month-day-year';

export type ColumnMeaning =
  /** The vessel, the lot or the sample the row tells of. */
  | { readonly kind: 'vessel' }
  | { readonly kind: 'day'; readonly order: DayOrder }
  | { readonly kind: 'time' }
  | { readonly kind: 'remark' }
  /** Figures of an analyte, in a unit where its word does not fix one. */
  | { readonly kind: 'reading'; readonly analyte: string; readonly unit: string | undefined };

const ORDERS: readonly DayOrder[] = ['year-month-day', 'day-month-year', 'month-day-year'];
const PLAIN = ['vessel', 'day', 'time', 'remark'] as const;

/** Most words that name one thing measured. */
const MOST_WORDS = 3;

/** What words say of a column, or what is wrong with them and what to write. */
export function columnMeaning(
  words: readonly string[],
): ColumnMeaning | { readonly problem: string; readonly help: string } {
  const [first = '', second, ...more] = words;
  const word = first.toLowerCase();
  if (word === 'day') return dayMeaning(second, more);
  if (word === 'vessel' || word === 'time' || word === 'remark') {
    if (second === undefined) return { kind: word };
    return { problem: `nothing stands behind \`${word}\``, help: `write \`${word}\` alone` };
  }
  for (let count = Math.min(MOST_WORDS, words.length); count > 0; count--) {
    const analyte = findAnalyte(words.slice(0, count).join(' '));
    if (analyte === undefined) continue;
    const [unit, ...rest] = words.slice(count);
    // the sign stands behind numbers only
    const usual = usualUnit(analyte).replace('%', 'percent');
    if (rest.length > 0) return { problem: `\`${rest.join(' ')}\` stands behind the unit`, help: 'take it out' };
    if (analyte.fixed) {
      if (unit === undefined || unit === analyte.unit)
        return { kind: 'reading', analyte: analyte.key, unit: undefined };
      return { problem: `${analyte.key} takes no unit`, help: `write \`${analyte.key}\` alone` };
    }
    const dimension = unit === undefined ? undefined : findUnit(unit)?.dimension;
    if (unit !== undefined && dimension !== undefined && analyte.dimensions.includes(dimension))
      return { kind: 'reading', analyte: analyte.key, unit };
    const needs = analyte.dimensions.map(sayDimension).join(' or ');
    return {
      problem:
        unit === undefined ? `${analyte.key} has no unit` : `\`${unit}\` is no ${analyte.key}: it needs ${needs}`,
      help: `write the unit its figures have: \`${analyte.key} ${usual}\``,
    };
  }
  const near = nearest(words.join(' '), [...PLAIN, ...ANALYTE_WORDS]);
  return {
    problem:
      words.length === 0 ? 'what the column means is missing' : `\`${words.join(' ')}\` is nothing a column can mean`,
    help:
      near === undefined
        ? 'it is `vessel`, `day`, `time`, `remark`, or something measured with its unit: `temp C`'
        : `did you mean \`${near}\`?`,
  };
}

/** Whether two columns mean the same; `temp C` and `temp °C` do. */
export function sameMeaning(a: ColumnMeaning, b: ColumnMeaning): boolean {
  if (a.kind === 'day' && b.kind === 'day') return a.order === b.order;
  if (a.kind !== 'reading' || b.kind !== 'reading') return a.kind === b.kind;
  const symbol = (unit: string | undefined) => (unit === undefined ? undefined : findUnit(unit)?.symbol);
  return a.analyte === b.analyte && symbol(a.unit) === symbol(b.unit);
}

function dayMeaning(order: string | undefined, more: readonly string[]): ReturnType<typeof columnMeaning> {
  if (order === undefined) return { kind: 'day', order: 'year-month-day' };
  const found = ORDERS.find((one) => one === order.toLowerCase().replaceAll('/', '-'));
  if (found !== undefined && more.length === 0) return { kind: 'day', order: found };
  return {
    problem: `\`${[order, ...more].join(' ')}\` is no way to write a day`,
    help: 'it is `year-month-day`, `day/month/year` or `month/day/year`',
  };
}
