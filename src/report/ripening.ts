/** How the fruit of a vintage ripened: readings of blocks before they were picked. */

import { findAnalyte } from '../../grammar/analytes.ts';
import type { Measure } from '../journal/events.ts';
import type { CurvePoint, Ripening, RipeningBlock } from './charted.ts';
import type { ReportContext } from './context.ts';
import { dayOf, dayText, isoDay, MINUTES_A_DAY, timeText } from './dates.ts';
import { analyteUnit, measureText } from './figures.ts';
import { loadsByVintage, type Vintage } from './fruit-loads.ts';
import { Known } from './known.ts';
import { readingsIn } from './readings.ts';
import { cell, EMPTY, figures, type Sheet, type SheetRow } from './sheet.ts';

export interface RipeningModel {
  readonly chart: Ripening;
  readonly sheet: Sheet;
}

/** A reading of a block belongs to the fruit picked there within so many days after it (common practice, no source). */
const SEASON = 200 * MINUTES_A_DAY;

/** Scales of sugar, in the order they win where a block was read on several. */
const SCALES = ['brix', 'SG', 'oechsle', 'baume', 'plato', 'density'];

interface BlockReading {
  readonly block: number;
  readonly minute: number;
  readonly measures: readonly Measure[];
  readonly line: ReturnType<ReportContext['links']['line']>;
  readonly using: string;
}

/** Of the fruit of a vintage; `undefined` where no block was read for it. */
export function ripeningOf(context: ReportContext, vintage: Vintage): RipeningModel | undefined {
  const picks = picksOf(context);
  const own = blockReadings(context).filter((reading) => {
    const pick = pickAfter(context, picks, reading);
    return pick !== undefined && pick.vintage === vintage;
  });
  return modelOf(context, own, `How the fruit${vintage === undefined ? '' : ` of ${vintage}`} ripened`, picks);
}

/** Of fruit that is not picked yet: what was read of late of blocks, after they were picked last. */
export function ripeningToCome(context: ReportContext): RipeningModel | undefined {
  const picks = picksOf(context);
  const from = (context.book.on + 1) * MINUTES_A_DAY - SEASON;
  const own = blockReadings(context).filter(
    (reading) => reading.minute >= from && pickAfter(context, picks, reading) === undefined,
  );
  return modelOf(context, own, 'How the fruit to come ripens', picks);
}

type Picks = ReadonlyMap<string, readonly { readonly vintage: Vintage; readonly minute: number }[]>;

/** The picking that a reading of a block was made for. */
function pickAfter({ book }: ReportContext, picks: Picks, { block, minute }: BlockReading) {
  const pick = picks.get(book.blocks[block]?.name ?? '')?.find((one) => one.minute >= minute - MINUTES_A_DAY);
  return pick === undefined || pick.minute - minute > SEASON ? undefined : pick;
}

function modelOf(
  context: ReportContext,
  own: readonly BlockReading[],
  title: string,
  picks: Picks,
): RipeningModel | undefined {
  if (own.length === 0) return undefined;
  const scale = SCALES.find((one) => own.some(({ measures }) => measures.some(({ analyte }) => analyte === one)));
  const blocks = [...new Set(own.map(({ block }) => block))].map((block): RipeningBlock => {
    const read = own.filter((one) => one.block === block);
    const [first] = read;
    const harvest = first === undefined ? undefined : pickAfter(context, picks, first);
    return {
      name: context.book.blocks[block]?.name ?? '',
      sugar: pointsOf(read, scale ?? ''),
      pH: pointsOf(read, 'pH'),
      acid: pointsOf(read, 'TA'),
      ...(harvest === undefined ? {} : { harvest: harvest.minute }),
    };
  });
  return {
    chart: { title, sugarUnit: findAnalyte(scale ?? 'brix')?.unit ?? '', acidUnit: 'g/L as tartaric', blocks },
    sheet: sheetOf(context, own),
  };
}

/** The first load of each block in each vintage, in the order of time. */
function picksOf({ book }: ReportContext): Picks {
  const picks = new Map<string, { readonly vintage: Vintage; readonly minute: number }[]>();
  for (const { vintage, loads } of [...loadsByVintage(book)].reverse()) {
    const seen = new Set<string>();
    for (const { event, origin } of loads) {
      const block = origin?.block;
      if (block === undefined || seen.has(block)) continue;
      seen.add(block);
      const already = picks.get(block);
      if (already === undefined) picks.set(block, [{ vintage, minute: event.minute }]);
      else already.push({ vintage, minute: event.minute });
    }
  }
  for (const list of picks.values()) list.sort((a, b) => a.minute - b.minute);
  return picks;
}

const KNOWN = new Known<ReportContext, readonly BlockReading[]>(blockReadings);

/** All readings of blocks: most readings of a book are of wine. */
function blockReadings(context: ReportContext): readonly BlockReading[] {
  const known = KNOWN.get(context);
  if (known !== undefined) return known;
  const found = gather(context);
  KNOWN.set(context, found);
  return found;
}

function gather(context: ReportContext): BlockReading[] {
  return readingsIn(context.book.happenings).flatMap(({ event, minute }) =>
    event.targets.flatMap((target) =>
      target.kind === 'block'
        ? [
            {
              block: target.block,
              minute,
              measures: event.measures,
              line: context.links.line(event.place),
              using: event.using ?? '',
            },
          ]
        : [],
    ),
  );
}

function pointsOf(readings: readonly BlockReading[], analyte: string): CurvePoint[] {
  return readings.flatMap(({ minute, measures }) =>
    measures
      .filter((measure) => measure.analyte === analyte && Number.isFinite(measure.value))
      .map(({ value, mark }) => (mark === '<' ? { minute, value, below: true } : { minute, value })),
  );
}

const MOST_ROWS = 200;

function sheetOf(context: ReportContext, readings: readonly BlockReading[]): Sheet {
  const analytes = [...new Set(readings.flatMap(({ measures }) => measures.map(({ analyte }) => analyte)))];
  const shown = readings.slice(-MOST_ROWS);
  const row = ({ block, minute, measures, using, line }: BlockReading): SheetRow => ({
    cells: [
      { figures: [{ text: dayText(dayOf(minute)) }], iso: isoDay(dayOf(minute)), quiet: timeText(minute) },
      cell(context.book.blocks[block]?.name ?? ''),
      ...analytes.map((analyte) => {
        const said = measures.filter((one) => one.analyte === analyte).map((one) => measureText(one, context.settings));
        return said.length === 0 ? EMPTY : cell(said.join(', '));
      }),
      cell(using),
      figures([line]),
    ],
  });
  return {
    label: 'Readings of blocks',
    caption:
      shown.length === readings.length
        ? 'What was read in the vineyard'
        : `What was read in the vineyard: the last ${shown.length} of ${readings.length} readings`,
    columns: [
      { name: 'Day', kind: 'nowrap' },
      { name: 'Block' },
      ...analytes.map((analyte) => {
        const unit = analyteUnit(analyte, context.settings);
        return { name: analyte, kind: 'number' as const, ...(unit === '' ? {} : { unit }) };
      }),
      { name: 'Using' },
      { name: 'Line', kind: 'line' },
    ],
    rows: shown.map(row),
    sort: true,
  };
}
