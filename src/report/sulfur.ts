/** Sulfur dioxide of a lot over time: free, total and molecular, by the house's one method, with what each figure rests on. */
import type { Happening } from '../cellar/book.ts';
import type { Minute, Place } from '../journal/events.ts';
import { molecularMethod } from '../journal/house-methods.ts';
import {
  molecularSulfurDioxide,
  SULFUR_DIOXIDE_METHOD_NAMES,
  type SulfurDioxideMethod,
} from '../trade/sulfur-dioxide.ts';
import { isRefused } from '../trade/worked.ts';
import type { CurvePoint, Mark, SulfurDioxide } from './charted.ts';
import { type ReportContext, vesselNames } from './context.ts';
import { dayOf, dayText, isoDay, MINUTES_A_DAY, shortDayText } from './dates.ts';
import { valueText } from './figures.ts';
import type { Link } from './links.ts';
import { nameList } from './names.ts';
import { type ReadingTaken, readingsIn, readOf } from './readings.ts';

export interface SulfurRow {
  readonly day: string;
  readonly iso: string;
  readonly of: string;
  readonly free: string;
  readonly total: string;
  readonly pH: string;
  readonly molecular: string;
  readonly line: Link;
}

export interface SulfurModel {
  readonly chart: SulfurDioxide;
  readonly rows: readonly SulfurRow[];
  /** The newest molecular figure and what it rests on, for the head of the page. */
  readonly newest: NewestMolecular | undefined;
  readonly remark: string;
}

export interface NewestMolecular {
  readonly text: string;
  /** The readings it rests on: `free 32 mg/L on 19 Aug 2027, pH 3.62`. */
  readonly read: string;
  readonly line: Link;
  /** In mg/L. */
  readonly molecular: number;
  readonly method: SulfurDioxideMethod;
  readonly minute: Minute;
  readonly place: Place;
  /** In mg/L. */
  readonly free: number;
  readonly pH: Read;
  /** In % vol; only the method that counts it has it. */
  readonly alcohol: Read | undefined;
}

/** What most bulletins advise to keep, in mg/L molecular (common practice; the plan of the lot says better where there is one). */
export const USUAL_MOLECULAR = { low: 0.5, high: 0.8 } as const;

/** A reading of pH serves readings of free sulfur dioxide for so long after it, and so long before it (common practice, no source). */
const AFTER = 200 * MINUTES_A_DAY;
const BEFORE = 30 * MINUTES_A_DAY;

/** The temperature the OIV's tables begin with and are read at. */
const REFERENCE_CELSIUS = 20;

interface Read {
  readonly minute: Minute;
  readonly value: number;
}

/** The reading nearest to a moment that may serve it: the newest before, else the first soon after. */
function serving(reads: readonly Read[], minute: Minute): Read | undefined {
  const before = reads.findLast((read) => read.minute <= minute);
  if (before !== undefined && minute - before.minute <= AFTER) return before;
  const after = reads.find((read) => read.minute > minute);
  return after !== undefined && after.minute - minute <= BEFORE ? after : undefined;
}

const valuesOf = (readings: readonly ReadingTaken[], analyte: string): Read[] =>
  readings.flatMap(({ event, minute }) =>
    event.measures
      .filter((measure) => measure.analyte === analyte && (measure.mark === '' || measure.mark === '~'))
      .map(({ value }) => ({ minute, value })),
  );

function molecularOf(
  method: SulfurDioxideMethod,
  free: number,
  pH: number | undefined,
  alcohol: number | undefined,
): number | undefined {
  if (pH === undefined || (method === 'oiv' && alcohol === undefined)) return undefined;
  const worked = molecularSulfurDioxide(
    free,
    method === 'plain'
      ? { method, pH }
      : { method, pH, percentVolume: alcohol ?? Number.NaN, celsius: REFERENCE_CELSIUS },
  );
  return isRefused(worked) ? undefined : worked.molecular;
}

/** `undefined` where neither free nor total was ever read. */
export function sulfurOf(
  context: ReportContext,
  name: string,
  happenings: readonly Happening[],
): SulfurModel | undefined {
  const method = molecularMethod(context.settings);
  const readings = readingsIn(happenings);
  const acidity = valuesOf(readings, 'pH');
  const strength = valuesOf(readings, 'alcohol');
  const points = {
    free: new Map<Minute, CurvePoint[]>(),
    total: new Map<Minute, CurvePoint[]>(),
    molecular: new Map<Minute, CurvePoint[]>(),
  };
  const rows: SulfurRow[] = [];
  let newest: SulfurModel['newest'];
  for (const reading of readings) {
    const { event, minute } = reading;
    const free = event.measures.find(({ analyte }) => analyte === 'free SO2');
    const total = event.measures.find(({ analyte }) => analyte === 'total SO2');
    if (free === undefined && total === undefined) continue;
    const own = event.measures.find(({ analyte }) => analyte === 'pH')?.value;
    const pH = own === undefined ? serving(acidity, minute) : { minute, value: own };
    const alcohol = serving(strength, minute);
    const molecular =
      free === undefined || free.mark === '<' || free.mark === '>'
        ? undefined
        : molecularOf(method, free.value, pH?.value, alcohol?.value);
    const shown = (analyte: string, value: number | undefined, mark = ''): string =>
      value === undefined ? '' : mark + valueText(analyte, value, context.settings);
    const line = context.links.line(event.place);
    if (free !== undefined) put(points.free, { minute, value: free.value, ...below(free.mark) });
    if (total !== undefined) put(points.total, { minute, value: total.value, ...below(total.mark) });
    if (molecular !== undefined) put(points.molecular, { minute, value: molecular });
    const from = pH === undefined || pH.minute === minute ? '' : ` (${shortDayText(dayOf(pH.minute))})`;
    if (molecular !== undefined && free !== undefined && pH !== undefined)
      newest = {
        text: `${molecular.toFixed(2)} mg/L molecular`,
        read: `free ${shown('free SO2', free.value)} mg/L on ${dayText(dayOf(minute))}, pH ${shown('pH', pH.value)}${from}`,
        line,
        molecular,
        method,
        minute,
        place: event.place,
        free: free.value,
        pH,
        alcohol: method === 'plain' ? undefined : alcohol,
      };
    rows.push({
      day: dayText(dayOf(minute)),
      iso: isoDay(dayOf(minute)),
      of: nameList(readOf(context, reading), 4),
      free: shown('free SO2', free?.value, free?.mark),
      total: shown('total SO2', total?.value, total?.mark),
      pH: pH === undefined ? '' : shown('pH', pH.value) + from,
      molecular: molecular === undefined ? '' : molecular.toFixed(2),
      line,
    });
  }
  if (rows.length === 0) return undefined;
  return {
    chart: {
      title: `Sulfur dioxide of ${name}`,
      unit: 'mg/L',
      free: averaged(points.free),
      total: averaged(points.total),
      molecular: averaged(points.molecular),
      method: SULFUR_DIOXIDE_METHOD_NAMES[method],
      target: { ...USUAL_MOLECULAR, text: 'usual: 0.5 to 0.8 mg/L' },
      strips: sulfitings(context, happenings),
    },
    rows,
    newest,
    remark:
      method === 'plain'
        ? 'Molecular = free / (1 + 10^(pH − 1.81)), the plain constant of the trade. By the tables of the OIV, which count alcohol, the same wine reads a fourth to a half more: `method molecular SO2 oiv` takes those instead. pH is that of the same reading, else the newest before it.'
        : `Molecular by OIV-MA-AS323-04C: the mixed constant at the alcohol read and ${REFERENCE_CELSIUS} °C. By the plain constant 1.81 the same wine reads less. pH and alcohol are those of the same reading, else the newest before it.`,
  };
}

const below = (mark: string): { below?: true } => (mark === '<' ? { below: true } : {});

function put(into: Map<Minute, CurvePoint[]>, point: CurvePoint): void {
  const there = into.get(point.minute);
  if (there === undefined) into.set(point.minute, [point]);
  else there.push(point);
}

/** One point a moment: the mean of the vessels read in it. */
const averaged = (points: ReadonlyMap<Minute, readonly CurvePoint[]>): CurvePoint[] =>
  [...points.values()].flatMap((round) => {
    const [first] = round;
    if (first === undefined) return [];
    return [{ ...first, value: round.reduce((sum, { value }) => sum + value, 0) / round.length }];
  });

/** Additions that brought sulfur dioxide. */
function sulfitings(context: ReportContext, happenings: readonly Happening[]): SulfurDioxide['strips'] {
  const marks: Mark[] = happenings
    .filter(({ added }) => added.some(({ brings }) => brings.some(({ analyte }) => analyte === 'SO2')))
    .map(({ event, sentence, vessels }) => ({
      minute: event.minute,
      label:
        `${shortDayText(dayOf(event.minute))}: ${sentence}${vessels.length > 1 ? '' : ` ${vesselNames(context, vessels).join('')}`}`.trim(),
    }));
  return marks.length === 0 ? [] : [{ name: 'Sulfur dioxide added', shape: 'diamond', marks }];
}
