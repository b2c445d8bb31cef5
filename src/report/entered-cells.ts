/** The cells of a table from outside: days in an order that was told, times, and figures with their marks. */
import { parseDate } from '../../grammar/dates.ts';
import { findUnit } from '../../grammar/units.ts';
import type { ColumnMeaning, DayOrder } from '../journal/csv-columns.ts';
import type { DayNumber, Measure, Minute } from '../journal/events.ts';

/** What stands before the decimals of a figure. */
export type DecimalMark = 'point' | 'comma';

type Wrong = { readonly why: string };

const ORDER_SAID: Readonly<Record<DayOrder, string>> = {
  'year-month-day': 'year-month-day',
  'day-month-year': 'day/month/year',
  'month-day-year': 'month/day/year',
};

/** `12.10.2026`, `2026/10/12 14:05`, `2026-10-12T14:05:00`: three numbers, and a time behind them if there is one. */
const DAY = /^(\d{1,4})([-./])(\d{1,2})\2(\d{1,4})(?:[T ]+(\S.*))?$/;

/** The day of a cell, and the minute of the day where it tells one. */
export function readDay(
  cell: string,
  order: DayOrder,
): { readonly day: DayNumber; readonly minute: Minute | undefined } | Wrong {
  if (cell === '') return { why: 'the day is missing' };
  const [, first = '', , second = '', third = '', time] = DAY.exec(cell) ?? [];
  const asked = `it is said to be ${ORDER_SAID[order]}`;
  if (first === '') return { why: `"${cell}" is no day in numbers: ${asked}` };
  const [year, month, date] =
    order === 'year-month-day'
      ? [first, second, third]
      : order === 'day-month-year'
        ? [third, second, first]
        : [third, first, second];
  if (year.length !== 4) {
    return order === 'year-month-day' && third.length === 4
      ? { why: `"${cell}" can be read in two ways: say which by \`day day/month/year\` or \`day month/day/year\`` }
      : { why: `"${cell}" has no year of four digits where one belongs: ${asked}` };
  }
  const day = parseDate(`${year}-${month.padStart(2, '0')}-${date.padStart(2, '0')}`);
  if (Number.isNaN(day)) return { why: `"${cell}" is no day there is: ${asked}` };
  if (time === undefined) return { day, minute: undefined };
  const minute = readTime(time);
  return typeof minute === 'number' ? { day, minute } : minute;
}

const TIME = /^(\d{1,2}):(\d{2})(?::\d{2}(?:[.,]\d+)?)?\s*([ap]\.?m\.?)?$/i;

/** The minute of a day: `14:05`, `14:05:30`, `2:05 pm`; seconds are left out. */
export function readTime(cell: string): Minute | Wrong {
  const found = TIME.exec(cell.trim());
  const [hours, minutes] = [Number(found?.[1]), Number(found?.[2])];
  const half = found?.[3]?.charAt(0).toLowerCase();
  const wrong = {
    why: /(?:Z|[+-]\d{2}:?\d{2})$/.test(cell)
      ? `"${cell}" is a time of another zone: write the cellar's own time`
      : `"${cell}" is no time of a day`,
  };
  if (found === null || minutes > 59) return wrong;
  if (half === undefined) return hours > 23 ? wrong : hours * 60 + minutes;
  if (hours < 1 || hours > 12) return wrong;
  return ((hours % 12) + (half === 'p' ? 12 : 0)) * 60 + minutes;
}

/** What laboratories write where there is no figure. */
const NONE: ReadonlySet<string> = new Set(['', '-', '–', '—', 'n/a', 'na', 'n.a.', '#n/a', 'nan', 'null']);
const FIGURE = /^([<>~]?)\s*([+\-−]?)\s*(\d+(?:[.,]\d+)*|[.,]\d+)\s*(\S.*)?$/u;
/** `1,840` may be one and a bit, or more than a thousand. */
const EITHER_WAY = /^[1-9]\d{0,2}[.,]\d{3}$/;

/** A figure as a journal writes it; nothing where the cell has none. */
export function readFigure(
  cell: string,
  { unit }: Extract<ColumnMeaning, { kind: 'reading' }>,
  decimal: DecimalMark,
): { readonly text: string; readonly mark: Measure['mark'] } | Wrong | undefined {
  const said = cell.trim();
  if (NONE.has(said.toLowerCase())) return undefined;
  const found = FIGURE.exec(said);
  if (found === null) return { why: `"${said}" is no figure` };
  const [, mark = '', sign = '', digits = '', behind] = found;
  if (behind !== undefined && !isUnit(behind, unit))
    return {
      why: `"${behind}" stands behind the figure, and the column is ${unit === undefined ? 'without a unit' : `in ${unit}`}`,
    };
  const [own, other] = decimal === 'point' ? ['.', ','] : [',', '.'];
  const parts = (isGrouped(digits, other) ? digits.replaceAll(other, '') : digits).split(own);
  if (parts.some((part) => part.includes(other)) || parts.length > 2)
    return { why: `"${said}" is not written with a decimal ${decimal}: say how by --decimal` };
  const [whole = '', decimals] = parts;
  const number = `${whole === '' ? '0' : whole.replace(/^0+(?=\d)/, '')}${decimals === undefined ? '' : `.${decimals}`}`;
  const negative = sign === '-' || sign === '−';
  return { text: `${negative ? '-' : ''}${number}`, mark: mark as Measure['mark'] };
}

/** Thousands set apart: `1,840.5`, `12.000`. */
const isGrouped = (digits: string, by: string): boolean =>
  (by === ',' ? /^\d{1,3}(?:,\d{3})+(?:\.\d+)?$/ : /^\d{1,3}(?:\.\d{3})+(?:,\d+)?$/).test(digits);

function isUnit(behind: string, unit: string | undefined): boolean {
  const [is, wanted] = [findUnit(behind.trim()), unit === undefined ? undefined : findUnit(unit)];
  return is !== undefined && wanted !== undefined && is.symbol === wanted.symbol;
}

/**
 * What the decimals of figures stand behind, as far as the figures themselves tell: a comma can do so only where cells
 * are not parted by commas. Where they do not tell, why.
 */
export function decimalMarkOf(cells: readonly string[], parted: string): DecimalMark | Wrong {
  const figures = cells.flatMap((cell) => FIGURE.exec(cell.trim())?.[3] ?? []);
  const commas = figures.filter((figure) => figure.includes(','));
  const points = figures.filter((figure) => figure.includes('.'));
  const [comma] = commas;
  if (comma === undefined) return 'point';
  const ways = (one: string): Wrong => ({
    why: `"${one}" may be ${one.replace(',', '.')} or ${one.replaceAll(',', '')}: say by --decimal comma or --decimal point which is meant`,
  });
  const [point] = points;
  if (point !== undefined)
    return {
      why: `"${point}" has a point and "${comma}" a comma: say by --decimal which of them stands before decimals`,
    };
  if (parted === ',' || commas.every((one) => EITHER_WAY.test(one))) return ways(comma);
  return 'comma';
}
