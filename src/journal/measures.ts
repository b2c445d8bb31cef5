/** Reads what was measured: analytes with their values, in a `reading` line or in the cells of a table. */
import { ANALYTE_WORDS, type Analyte, findAnalyte } from '../../grammar/analytes.ts';
import type { Amount, Cell, Item, Part, Span } from '../../grammar/entries.ts';
import { sayDimension } from '../../grammar/fit.ts';
import { insteadIf } from '../../grammar/fixes.ts';
import { nearest } from '../../grammar/suggest.ts';
import { findUnit } from '../../grammar/units.ts';
import { fromBaseToNumber, readBase } from '../trade/convert.ts';
import type { Aim, Measure } from './events.ts';
import type { Line } from './line.ts';

export interface Column {
  readonly analyte: Analyte;
  readonly unit: string | undefined;
  /** Its figures are in the analyte's own unit, and need no conversion. */
  readonly plain: boolean;
}

/** The analyte that begins at a part, taking as many words as belong to it. */
export function analyteAt(parts: readonly Part[], at: number): { analyte: Analyte; next: number } | undefined {
  let words = '';
  let found: { analyte: Analyte; next: number } | undefined;
  for (let i = at; i < parts.length && i < at + 3; i++) {
    const part = parts[i];
    if (part === undefined || part.type !== 'word' || part.to !== undefined) break;
    words = words === '' ? part.text : `${words} ${part.text}`;
    const analyte = findAnalyte(words);
    if (analyte !== undefined) found = { analyte, next: i + 1 };
  }
  return found;
}

function unitProblem(line: Line, span: Span, analyte: Analyte, text: string, unit: string | undefined): undefined {
  const told = text === '' ? analyte.key : `${analyte.key} ${text}`;
  // the sign stands behind numbers only: a column is headed by the word
  const usual = text === '' ? usualUnit(analyte).replace('%', 'percent') : usualUnit(analyte);
  const right = analyte.fixed ? told : `${told} ${usual}`;
  const { start, end } = span;
  if (unit === undefined) {
    return line.fail({ start, end, code: 'unit-missing', message: `${told} has no unit`, help: `write \`${right}\`` });
  }
  const needs = analyte.dimensions.map(sayDimension).join(' or ');
  // a hundredth by weight to volume is 10 g/L
  const percent = unit === '%' && analyte.unit === 'g/L' && text !== '';
  return line.fail({
    start,
    end,
    code: 'unit-wrong-kind',
    message: `\`${text === '' ? unit : `${text} ${unit}`}\` is no ${analyte.key}: it needs ${needs === '' ? 'a number alone' : needs}`,
    help: percent
      ? `1 % is 10 g/L: write \`${analyte.key} ${Number((Number(text) * 10).toPrecision(12))} g/L\``
      : `write \`${right}\``,
  });
}

/** What a line is to bring a wine to, where its words say so: `0.6 mg/L molecular`, `TA 6.5 g/L`. */
export function readAim(line: Line, items: readonly Item[]): Aim | undefined {
  const parts = flatten(items);
  const at = parts.findIndex((part) => part.type === 'amount' && !Number.isNaN(part.value));
  const amount = parts[at];
  if (amount?.type !== 'amount') return undefined;
  for (let i = 0; i < parts.length; i++) {
    const found = analyteAt(parts, i);
    if (found === undefined) continue;
    const read = measure(line, found.analyte, amount, undefined);
    return read === undefined ? undefined : { analyte: read.analyte, value: read.value };
  }
  return undefined;
}

const isOwnUnit = (analyte: Analyte, unit: string | undefined): boolean =>
  unit === analyte.unit || (unit === 'C' && analyte.unit === '°C');

export const usualUnit = (analyte: Analyte): string =>
  analyte.unit === '°C' ? 'C' : analyte.unit === '%vol' ? '%' : analyte.unit;

/** One value in the analyte's own unit. */
export function measure(
  line: Line,
  analyte: Analyte,
  amount: Amount,
  columnUnit: string | undefined,
): Measure | undefined {
  const written = amount.unit ?? columnUnit;
  const said = `${amount.mark}${amount.text}${amount.high === undefined ? '' : `..${amount.high}`}${written === undefined ? '' : ` ${written}`}`;
  if (analyte.fixed) {
    if (written !== undefined && !fixedUnit(analyte, written))
      return unitProblem(line, amount, analyte, amount.text, written);
    return plain(analyte, amount, amount.value, amount.high === undefined ? undefined : Number(amount.high), said);
  }
  if (written === undefined) return unitProblem(line, amount, analyte, amount.text, undefined);
  if (isOwnUnit(analyte, written)) {
    return plain(analyte, amount, amount.value, amount.high === undefined ? undefined : Number(amount.high), said);
  }
  const unit = findUnit(written);
  const to = findUnit(analyte.unit);
  if (unit === undefined || to === undefined || !analyte.dimensions.includes(unit.dimension)) {
    return unitProblem(line, amount, analyte, amount.text, written);
  }
  const value = convert(amount.text, unit, to);
  const high = amount.high === undefined ? undefined : convert(amount.high, unit, to);
  if (value === undefined) return unitProblem(line, amount, analyte, amount.text, written);
  return plain(analyte, amount, value, high, said);
}

function convert(
  text: string,
  unit: NonNullable<ReturnType<typeof findUnit>>,
  to: NonNullable<ReturnType<typeof findUnit>>,
): number | undefined {
  const base = readBase(text, unit);
  // readings are doubles; six digits more than any instrument shows are kept
  return base === undefined ? undefined : Number(fromBaseToNumber(base, to).toPrecision(12));
}

const plain = (analyte: Analyte, amount: Amount, value: number, high: number | undefined, said: string): Measure =>
  high === undefined
    ? { analyte: analyte.key, value, mark: amount.mark, said }
    : { analyte: analyte.key, value, high, mark: amount.mark, said };

/** `brix 24.6 %` and the like: a unit that says the same as the word. */
function fixedUnit(analyte: Analyte, unit: string): boolean {
  return unit === analyte.unit || (analyte.key === 'brix' && unit === '%');
}

/** A word that names nothing measured, or a number where such a word belongs. */
export function unknownAnalyte(line: Line, part: Part, number: string, help: string): undefined {
  const near = part.type === 'word' ? nearest(part.text, ANALYTE_WORDS) : undefined;
  return line.fail({
    start: part.start,
    end: part.end,
    code: 'analyte-unknown',
    message: part.type === 'amount' ? number : `\`${part.text}\` is not something that is measured`,
    help: near === undefined ? help : `did you mean \`${near}\`?`,
    ...insteadIf(part, near),
  });
}

const flatten = (items: readonly Item[]): Part[] => items.flatMap((item) => [...item.parts]);

/** Places first, then analytes with their values; words behind a value say how it was sampled. */
export function readMeasures(
  line: Line,
  items: readonly Item[],
): { placeItems: Item[]; measures: Measure[]; how: string } | undefined {
  const placeItems: Item[] = [];
  const measures: Measure[] = [];
  const how: string[] = [];
  let i = 0;
  // the first word is always a place, whatever else it could mean; an item that is nothing but a name is one too
  for (; i < items.length; i++) {
    const item = items[i] as Item;
    const head = item.parts[0];
    if (head.type === 'amount') break;
    const isAnalyte = analyteAt(item.parts, 0) !== undefined;
    if (i > 0 && isAnalyte) break;
    placeItems.push(item);
    if (item.parts.length > 1) break;
  }
  if (placeItems.length === 0) {
    const first = items[0];
    return line.fail({
      start: first?.start ?? 0,
      end: first?.end ?? 0,
      code: 'line-malformed',
      message: 'a reading begins with the vessels, the lot or the sample',
      help: 'for example `reading LS brix 24.6, pH 3.58`',
    });
  }
  const lastPlace = placeItems[placeItems.length - 1] as Item;
  const rest = [
    ...(lastPlace.parts.length > 1 ? lastPlace.parts.slice(1) : []),
    ...flatten(items.slice(placeItems.length)),
  ];
  let at = 0;
  while (at < rest.length) {
    const found = analyteAt(rest, at);
    const part = rest[at] as Part;
    if (found === undefined) {
      if (measures.length > 0 && part.type === 'word') {
        how.push(part.text);
        at++;
        continue;
      }
      return unknownAnalyte(
        line,
        part,
        `${part.text} stands there without what was measured`,
        'write what was measured, then the figure: `brix 24.6, pH 3.58`',
      );
    }
    const value = rest[found.next];
    if (value === undefined || value.type !== 'amount' || Number.isNaN(value.value)) {
      return line.fail({
        start: part.start,
        end: (rest[found.next - 1] ?? part).end,
        code: 'amount-missing',
        message: `${found.analyte.key} has no figure`,
        help: `write it after the word: \`${found.analyte.key} ${found.analyte.plausible[0] + 1}${found.analyte.fixed ? '' : ` ${usualUnit(found.analyte)}`}\``,
      });
    }
    const one = measure(line, found.analyte, value, undefined);
    if (one === undefined) return undefined;
    measures.push(one);
    at = found.next + 1;
  }
  if (measures.length === 0) {
    return line.fail({
      start: lastPlace.start,
      end: lastPlace.end,
      code: 'amount-missing',
      message: 'the reading says nothing was measured',
      help: 'write what was measured, then the figure: `reading B4 temp 30.5 C`',
    });
  }
  return { placeItems, measures, how: how.join(' ') };
}

/** The columns a `readings` line opens; a place may stand before them only in a `reading`. */
export function readColumns(line: Line, items: readonly Item[]): Column[] | undefined {
  const parts = flatten(items);
  const columns: Column[] = [];
  let at = 0;
  while (at < parts.length) {
    const found = analyteAt(parts, at);
    const part = parts[at] as Part;
    if (found === undefined) {
      return unknownAnalyte(
        line,
        part,
        'a number stands where a column is named',
        'name the columns: `readings brix, temp C`',
      );
    }
    const next = parts[found.next];
    let unit: string | undefined;
    at = found.next;
    // `NTU` is a unit behind `turbidity`, and a word for it elsewhere
    const other = analyteAt(parts, found.next)?.analyte ?? found.analyte;
    if (next?.type === 'word' && findUnit(next.text) !== undefined && other === found.analyte) {
      unit = next.text;
      at++;
      const dimension = findUnit(next.text)?.dimension;
      if (
        found.analyte.fixed
          ? !fixedUnit(found.analyte, unit)
          : dimension === undefined || !found.analyte.dimensions.includes(dimension)
      ) {
        return unitProblem(line, next, found.analyte, '', unit);
      }
    } else if (!found.analyte.fixed) return unitProblem(line, part, found.analyte, '', undefined);
    columns.push({ analyte: found.analyte, unit, plain: found.analyte.fixed || isOwnUnit(found.analyte, unit) });
  }
  return columns;
}

/** The cells of a row against the columns; words behind the last figure say how it was sampled. */
export function readCells(line: Line, cells: readonly Cell[], columns: readonly Column[]): Measure[] | undefined {
  const measures: Measure[] = [];
  let column = 0;
  for (const cell of cells) {
    if (cell.type === 'word' && column >= columns.length) continue;
    const into = columns[column];
    if (into === undefined) {
      return line.fail({
        start: cell.start,
        end: cell.end,
        code: 'cells-too-many',
        message: `the row has more cells than the ${columns.length} column${columns.length === 1 ? '' : 's'} above`,
        help: 'mend the row, or name another column; a remark begins with ` -- `',
      });
    }
    column++;
    if (cell.type === 'dash') continue;
    if (cell.type !== 'amount' || Number.isNaN(cell.value)) {
      const text = cell.type === 'amount' ? '' : cell.text;
      return line.fail({
        start: cell.start,
        end: cell.end,
        code: 'number-malformed',
        message: `\`${text}\` stands where a figure for ${into.analyte.key} belongs`,
        help: 'write a number, or `-` for an empty cell',
      });
    }
    const one = measure(line, into.analyte, cell, into.unit);
    if (one === undefined) return undefined;
    measures.push(one);
  }
  return measures;
}

/** A figure as written in a unit, in the analyte's own; undefined where the unit is none of it. */
export function valueIn(analyte: Analyte, text: string, unit: string | undefined): number | undefined {
  if (analyte.fixed) return unit === undefined ? Number(text) : undefined;
  if (unit === undefined) return undefined;
  if (isOwnUnit(analyte, unit)) return Number(text);
  const [from, to] = [findUnit(unit), findUnit(analyte.unit)];
  if (from === undefined || to === undefined || !analyte.dimensions.includes(from.dimension)) return undefined;
  return convert(text, from, to);
}
