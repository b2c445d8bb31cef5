/** The sheet of a round: a row a vessel as the cellar is walked, a blank for every measurement that is due. */
import { inAnalyteOrder } from '../../../grammar/analytes.ts';
import type { VesselRecord } from '../../cellar/book.ts';
import type { DueItem } from '../../due/due-work.ts';
import type { ReportContext } from '../context.ts';
import { analyteUnit } from '../figures.ts';
import { cautionsOfItems } from '../work-cautions.ts';
import {
  blank,
  byVessel,
  type CrewContent,
  type CrewOrder,
  type CrewTable,
  MOST_FIELDS,
  SHUT,
  vesselCell,
} from './crew-sheet.ts';
import { lastRead, lastReadText } from './last-read.ts';

export const isReading = ({ row: { work } }: DueItem): boolean => work.kind === 'reading';

/** What is to be read in a vessel on a round. */
export interface RoundStop {
  readonly vessel: VesselRecord;
  readonly analytes: readonly string[];
}

/** The stops of a round as they are walked: every vessel in which a reading is overdue or due on the day. */
export function roundStops(context: ReportContext, order: CrewOrder): RoundStop[] {
  return byVessel(context, order, isReading).map(({ vessel, items }) => ({
    vessel,
    analytes: inAnalyteOrder(items.flatMap(({ analytes }) => analytes ?? [])),
  }));
}

export function roundSheet(context: ReportContext, order: CrewOrder): CrewContent {
  const stops = roundStops(context, order);
  const fields = inAnalyteOrder(stops.flatMap(({ analytes }) => analytes));
  return {
    lead: 'The grey figure is the last one read. A blank that stays empty is a reading that was not taken.',
    cautions: cautionsOfItems(context, order.items.filter(isReading)),
    tables: inParts(fields).map((part) => tableOf(context, order, stops, part)),
    signed: ['Walked by', 'From', 'To'],
    none: 'No reading is due on this day. A plan asks for one by `due reading brix, temp 2 a day`.',
  };
}

/** As many fields as a page is wide. */
function inParts(fields: readonly string[]): string[][] {
  const parts: string[][] = [];
  for (let at = 0; at < fields.length; at += MOST_FIELDS) parts.push(fields.slice(at, at + MOST_FIELDS));
  return parts;
}

function tableOf(
  context: ReportContext,
  { on }: CrewOrder,
  stops: readonly RoundStop[],
  fields: readonly string[],
): CrewTable {
  const mine = stops.filter(({ analytes }) => analytes.some((analyte) => fields.includes(analyte)));
  return {
    title: '',
    note: '',
    caption: 'What is to be read, as the cellar is walked',
    columns: [
      { name: 'Vessel', kind: 'name' },
      { name: 'Time', kind: 'mark' },
      ...fields.map((analyte) => ({
        name: analyte,
        unit: analyteUnit(analyte, context.settings),
        kind: 'blank' as const,
      })),
      { name: 'Remark', kind: 'roomy' },
    ],
    rows: mine.map(({ vessel, analytes }) => ({
      cells: [
        vesselCell(context, vessel),
        blank(),
        ...fields.map((analyte) => {
          if (!analytes.includes(analyte)) return SHUT;
          const last = lastRead(context, vessel, analyte);
          return blank(last === undefined ? '' : lastReadText(context, last, on));
        }),
        blank(),
      ],
    })),
  };
}
