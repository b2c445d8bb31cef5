/** Malolactic conversion of a lot: malic acid falling, how far it has come, and when it may be called finished. */
import type { Happening } from '../cellar/book.ts';
import type { Place } from '../journal/events.ts';
import { MALOLACTIC_THRESHOLDS, malolacticChange, malolacticStage } from '../trade/malolactic.ts';
import { isRefused } from '../trade/worked.ts';
import type { CurvePoint, Falling } from './charted.ts';
import type { ReportContext } from './context.ts';
import { dayOf, dayText, isoDay, shortDayText } from './dates.ts';
import { valueText } from './figures.ts';
import type { Link } from './links.ts';
import { type ReadingTaken, readingsIn, readOf } from './readings.ts';

export interface MalicRow {
  readonly day: string;
  readonly iso: string;
  readonly of: string;
  readonly malic: string;
  readonly using: string;
  readonly line: Link;
}

export interface MalolacticModel {
  readonly chart: Falling;
  readonly rows: readonly MalicRow[];
  /** `finished: 0.06 g/L on 16 Nov 2026`, with what has become of the acid. */
  readonly state: string;
  readonly remarks: readonly string[];
  readonly line: Link;
  /** Whether the newest reading is below what counts as finished, as far as its method can tell. */
  readonly finished: boolean;
  readonly stage: string;
  readonly newest: { readonly value: number; readonly mark: string; readonly minute: number; readonly place: Place };
}

interface Malic {
  readonly reading: ReadingTaken;
  readonly value: number;
  readonly mark: string;
  readonly using: string;
}

/** `undefined` where malic acid was never read in wine. */
export function malolacticOf(
  context: ReportContext,
  name: string,
  happenings: readonly Happening[],
): MalolacticModel | undefined {
  const taken: Malic[] = readingsIn(happenings).flatMap((reading) =>
    reading.event.measures
      .filter(({ analyte }) => analyte === 'malic')
      .map(({ value, mark }) => ({ reading, value, mark, using: reading.event.using ?? '' })),
  );
  const last = taken.at(-1);
  if (last === undefined) return undefined;
  const series = new Map<string, CurvePoint[]>();
  for (const { reading, value, mark } of taken) {
    for (const of of readOf(context, reading)) {
      const point: CurvePoint = { minute: reading.minute, value, ...(mark === '<' ? { below: true } : {}) };
      const points = series.get(of);
      if (points === undefined) series.set(of, [point]);
      else points.push(point);
    }
  }
  const text = (value: number): string => `${valueText('malic', value, context.settings)} g/L`;
  const { finished } = MALOLACTIC_THRESHOLDS;
  return {
    chart: {
      title: `Malic acid of ${name}`,
      substance: 'malic acid',
      unit: 'g/L',
      finished: { value: finished, text: `finished below ${finished} g/L` },
      series: [...series].map(([of, points]) => ({ name: of, points })),
      strips: inoculations(context, happenings),
    },
    rows: taken.map(({ reading, value, mark, using }) => ({
      day: dayText(dayOf(reading.minute)),
      iso: isoDay(dayOf(reading.minute)),
      of: readOf(context, reading).join(', '),
      malic: mark + valueText('malic', value, context.settings),
      using,
      line: context.links.line(reading.event.place),
    })),
    state: `${stageOf(taken, last)}: ${last.mark}${text(last.value)} on ${dayText(dayOf(last.reading.minute))}`,
    remarks: remarksOf(taken, text),
    line: context.links.line(last.reading.event.place),
    finished: last.value <= (last.mark === '<' ? MALOLACTIC_THRESHOLDS.nearly : finished),
    stage: stageOf(taken, last),
    newest: {
      value: last.value,
      mark: last.mark,
      minute: last.reading.minute,
      place: last.reading.event.place,
    },
  };
}

/** So much less than before, in g/L, and malic acid is falling: readings differ by less of themselves (common practice, no source). */
const FALL = 0.1;

/** A paper that shows nothing below 0.3 g/L can't tell whether the last tenth is gone. */
function stageOf(taken: readonly Malic[], { value, mark }: Malic): string {
  if (mark === '<' && value > MALOLACTIC_THRESHOLDS.finished) return 'too low for the method to tell';
  const stage = malolacticStage(value);
  if (isRefused(stage)) return 'not a figure of wine';
  const most = Math.max(...taken.map((one) => one.value));
  return stage === 'under way' && most - value < FALL ? 'not seen to fall yet' : stage;
}

function remarksOf(taken: readonly Malic[], text: (value: number) => string): string[] {
  const first = taken.find(({ mark }) => mark === '');
  const last = taken.findLast(({ mark }) => mark === '');
  if (first === undefined || last === undefined || first === last || first.value <= last.value) return [];
  const change = malolacticChange(first.value - last.value);
  if (isRefused(change)) return [];
  const share = Math.floor(((first.value - last.value) / first.value) * 100);
  return [
    `${share} % of the ${text(first.value)} read on ${shortDayText(dayOf(first.reading.minute))} is gone. By molar masses that makes ${change.lactic.toFixed(2)} g/L of lactic acid and ${change.carbonDioxide.toFixed(2)} g/L of carbon dioxide, and takes ${change.acidityDrop.toFixed(2)} g/L off the total acidity as tartaric.`,
  ];
}

function inoculations(context: ReportContext, happenings: readonly Happening[]): Falling['strips'] {
  const marks = happenings
    .filter(
      ({ event }) =>
        event.verb === 'inoculate' &&
        event.kind === 'add' &&
        event.additions.some(({ material }) => context.book.materials[material]?.kind === 'bacteria'),
    )
    .map(({ event, sentence }) => ({
      minute: event.minute,
      label: `${shortDayText(dayOf(event.minute))}: ${sentence}`,
    }));
  return marks.length === 0 ? [] : [{ name: 'Bacteria', shape: 'triangle', marks }];
}
