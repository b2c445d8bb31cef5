/** Free run against press run: the lots that one must was drained and pressed to, side by side. */
import { findAnalyte } from '../../grammar/analytes.ts';
import type { LotRecord } from '../cellar/book.ts';
import type { Microlitres } from '../journal/events.ts';
import { happeningsOf, lotOf, type ReportContext } from './context.ts';
import { dayOf, shortDayText } from './dates.ts';
import { measureText, shareText, volumeText } from './figures.ts';
import type { Link } from './links.ts';
import { readingsIn } from './readings.ts';
import { cell, EMPTY, figures, type Sheet, type SheetCell } from './sheet.ts';

export interface RunsModel {
  /** The must they came from. */
  readonly of: Link;
  readonly sheet: Sheet;
}

type Run = 'free run' | 'press run';

interface Sibling {
  readonly lot: LotRecord;
  readonly run: Run;
  readonly volume: Microlitres;
}

/** What tells free run from press run by the tongue and in the glass. */
const ANALYTES = ['pH', 'TA', 'VA', 'malic', 'alcohol', 'free SO2', 'total SO2', 'turbidity', 'colour'];

/** Of the lot's own children, or of those of the must it came from; `undefined` where there are not both. */
export function runsOf(context: ReportContext, lot: LotRecord): RunsModel | undefined {
  const musts = [lot, ...lot.parents.flatMap((parent) => lotOf(context, parent.lot) ?? [])];
  for (const must of musts) {
    if (must.account.made === 0) continue;
    const siblings = siblingsOf(context, must);
    const runs = new Set(siblings.map(({ run }) => run));
    const belongs = must === lot || siblings.some((sibling) => sibling.lot === lot);
    if (runs.size === 2 && belongs)
      return { of: context.links.lot(must.facts.id), sheet: sheetOf(context, must, siblings) };
  }
  return undefined;
}

function siblingsOf(context: ReportContext, must: LotRecord): Sibling[] {
  return must.children.flatMap(({ lot, volume }): Sibling[] => {
    const child = lotOf(context, lot);
    const run = child === undefined ? undefined : runOf(context, child);
    return child === undefined || run === undefined || volume === 0 ? [] : [{ lot: child, run, volume }];
  });
}

/** What most of a lot is: toppings of another run change a lot's make, not what it is. */
function runOf({ book }: ReportContext, lot: LotRecord): Run | undefined {
  const sums = { free: 0, press: 0, untold: 0 };
  for (const { origin, volume } of lot.composition) sums[book.origins[origin]?.run ?? 'untold'] += volume;
  const half = (sums.free + sums.press + sums.untold) / 2;
  if (sums.free > half) return 'free run';
  return sums.press > half ? 'press run' : undefined;
}

function sheetOf(context: ReportContext, must: LotRecord, siblings: readonly Sibling[]): Sheet {
  const whole = siblings.reduce((sum, { volume }) => sum + volume, 0);
  const newest = siblings.map(({ lot }) => newestOf(context, lot));
  const analytes = ANALYTES.filter((analyte) => newest.some((of) => of.has(analyte)));
  return {
    label: 'Free run and press run',
    caption: `What ${must.facts.name} was bled, drained and pressed to, with the newest figure of each and its day`,
    columns: [
      { name: 'Lot' },
      { name: 'Run' },
      { name: 'Volume', kind: 'number' },
      { name: 'Share', kind: 'number' },
      ...analytes.map((analyte) => {
        const unit = findAnalyte(analyte)?.unit ?? '';
        return { name: analyte, kind: 'number' as const, ...(unit === '' || unit === analyte ? {} : { unit }) };
      }),
    ],
    rows: siblings.map(({ lot, run, volume }, index) => ({
      cells: [
        figures([context.links.lot(lot.facts.id)]),
        cell(run),
        cell(volumeText(volume, context.settings)),
        cell(shareText(volume, whole)),
        ...analytes.map((analyte) => newest[index]?.get(analyte) ?? EMPTY),
      ],
    })),
    sort: true,
  };
}

function newestOf(context: ReportContext, lot: LotRecord): Map<string, SheetCell> {
  const newest = new Map<string, SheetCell>();
  for (const { event, minute } of readingsIn(happeningsOf(context, lot.happenings))) {
    const { href } = context.links.line(event.place);
    for (const measure of event.measures) {
      const text = measureText(measure, context.settings);
      newest.set(
        measure.analyte,
        figures([href === undefined ? { text } : { text, href }], shortDayText(dayOf(minute))),
      );
    }
  }
  return newest;
}
