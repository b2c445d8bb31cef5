/** One calculation carried out: its inputs with where each came from, the answer, and what belongs beside it. */
import { findUnit } from '../../grammar/units.ts';
import type { Answer, Calculation, Given, Input } from '../trade/calculations/calculation.ts';
import { asksWord, readFigure, readWord } from '../trade/calculations/read-input.ts';
import { inUnit } from '../trade/convert.ts';
import { isRefused, type Refused, refuse, type Worked } from '../trade/worked.ts';
import type { RecordOf } from './recorded.ts';

/** An input as it was used. */
export interface Used {
  readonly name: string;
  readonly say: string;
  readonly value: number | string;
  readonly unit: string;
  /** `given`, `usual`, or where the record has it from. */
  readonly from: string;
}

export interface Reckoning {
  readonly calculation: Calculation;
  readonly used: readonly Used[];
  readonly answer: Answer;
  /** What the answer's own remarks do not know: how old the record's figures are. */
  readonly remarks: readonly string[];
}

interface Sought {
  readonly used?: Used;
  readonly remark?: string;
}

function seek(input: Input, typed: string | undefined, record: RecordOf | undefined): Worked<Sought> {
  const of = (value: number | string, from: string): Used => ({
    name: input.name,
    say: input.say,
    value,
    unit: typeof value === 'string' ? '' : input.unit,
    from,
  });
  if (typed !== undefined) {
    const read = asksWord(input) ? readWord(input, typed) : readFigure(input, typed);
    return isRefused(read) ? read : { used: of(read, 'given') };
  }
  if (input.record !== undefined && record !== undefined) {
    const found = fromRecord(input, input.record, record);
    if (found !== undefined)
      return { used: of(found.value, found.from), ...(found.remark === undefined ? {} : { remark: found.remark }) };
  }
  if (input.usual !== undefined) return { used: of(input.usual, 'usual') };
  const [first] = input.choices ?? [];
  if (first !== undefined) return { used: of(first, 'usual') };
  if (input.optional === true) return {};
  const lacks = record !== undefined && input.record !== undefined ? `; ${record.name} has no figure of it` : '';
  return refuse(`--${input.name} is missing: ${input.say}${input.unit === '' ? '' : `, in ${input.unit}`}${lacks}`);
}

function fromRecord(
  input: Input,
  key: string,
  record: RecordOf,
): { value: number | string; from: string; remark?: string } | undefined {
  if (key === 'colour') {
    const colour = record.lot?.colour;
    return colour !== undefined && input.choices?.includes(colour) === true
      ? { value: colour, from: `what ${record.name} is` }
      : undefined;
  }
  const recorded = record.figures.get(key);
  if (recorded === undefined) return undefined;
  const from = findUnit(recorded.unit);
  const to = findUnit(input.unit);
  const value =
    from === undefined || to === undefined || from.dimension !== to.dimension
      ? recorded.value
      : inUnit(recorded.value, from, to);
  const [since] = recorded.since;
  return { value, from: recorded.said, ...(since === undefined ? {} : { remark: `${input.say}: ${since}` }) };
}

/** Carries a calculation out with what was typed, and with what the record has for the rest. */
export function reckon(
  calculation: Calculation,
  typed: Readonly<Record<string, string | undefined>>,
  record?: RecordOf,
): Reckoning | Refused {
  const used: Used[] = [];
  const remarks: string[] = [];
  const figures: Record<string, number> = {};
  const words: Record<string, string> = {};
  for (const input of calculation.inputs) {
    const sought = seek(input, typed[input.name], record);
    if (isRefused(sought)) return sought;
    if (sought.remark !== undefined) remarks.push(sought.remark);
    if (sought.used === undefined) continue;
    used.push(sought.used);
    const { value } = sought.used;
    if (typeof value === 'number') figures[input.name] = value;
    else words[input.name] = value;
  }
  const given: Given = { figures, words };
  const answer = calculation.work(given);
  return isRefused(answer) ? answer : { calculation, used, answer, remarks };
}

/** A figure with the decimals that mean something. */
export const figureText = (value: number, decimals: number): string => {
  const text = value.toFixed(decimals);
  return /^-0(\.0*)?$/.test(text) ? text.slice(1) : text;
};

/** A number as it was put in: no decimals that binary arithmetic made up. */
const inputText = (value: number): string => String(Number(value.toPrecision(7)));

/** As lines for people. */
export function reckoningLines({ calculation, used, answer, remarks }: Reckoning): string[] {
  const [first, ...more] = answer.figures;
  const unit = (text: string): string => (text === '' ? '' : ` ${text}`);
  const widest = Math.max(0, ...used.map(({ name }) => name.length));
  return [
    `${first.say}: ${figureText(first.value, first.decimals)}${unit(first.unit)}`,
    ...more.map((figure) => `  ${figure.say}: ${figureText(figure.value, figure.decimals)}${unit(figure.unit)}`),
    '',
    'from',
    ...used.map(
      ({ name, value, unit: u, from }) =>
        `  ${name.padEnd(widest)}  ${typeof value === 'number' ? inputText(value) : value}${unit(u)}${from === 'given' ? '' : `  (${from})`}`,
    ),
    `by       ${calculation.formula}`,
    `method   ${answer.method}`,
    `holds    ${calculation.range}`,
    ...calculation.sources.map((source, i) => `${i === 0 ? 'source ' : '       '}  ${source}`),
    ...[...answer.remarks, ...remarks].map((remark) => `note     ${remark}`),
    ...(calculation.caution === undefined ? [] : [`caution  ${calculation.caution}`]),
  ];
}

/** As plain data. */
export function reckoningJson({ calculation, used, answer, remarks }: Reckoning) {
  return {
    calculation: calculation.name,
    inputs: used,
    figures: answer.figures.map(({ say, value, unit, decimals }) => ({
      say,
      value: Number(figureText(value, decimals)),
      unit,
    })),
    formula: calculation.formula,
    method: answer.method,
    range: calculation.range,
    sources: calculation.sources,
    remarks: [...answer.remarks, ...remarks],
    caution: calculation.caution ?? null,
  };
}
