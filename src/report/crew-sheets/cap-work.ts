/** The sheet of cap work: a row for each work due in a vessel, a box for every time it is asked. */
import type { DueItem } from '../../due/due-work.ts';
import { CAP_WORKS } from '../../due/keys.ts';
import type { ReportContext } from '../context.ts';
import { cautionsOfItems } from '../work-cautions.ts';
import {
  blank,
  byVessel,
  type CrewCell,
  type CrewContent,
  type CrewOrder,
  MOST_FIELDS,
  SHUT,
  text,
  vesselCell,
} from './crew-sheet.ts';
import { lastRead, lastReadText, nearText } from './last-read.ts';

/** Work on the cap. */
export const isCapWork = ({ row: { work } }: DueItem): boolean => work.kind === 'verb' && CAP_WORKS.includes(work.verb);

export function capWorkSheet(context: ReportContext, order: CrewOrder): CrewContent {
  const vessels = byVessel(context, order, isCapWork);
  const works = vessels.flatMap(({ vessel, items }) => items.map((item) => ({ vessel, item })));
  const times = Math.min(MOST_FIELDS, Math.max(0, ...works.map(({ item }) => item.asked ?? 1)));
  return {
    lead: 'Write the time and your initials into a box when the work is done; one that is struck through is not asked.',
    cautions: cautionsOfItems(context, order.items.filter(isCapWork)),
    tables: [
      {
        title: '',
        note: '',
        caption: 'Work on the cap, as the cellar is walked',
        columns: [
          { name: 'Vessel', kind: 'name' },
          { name: 'Work', kind: 'given' },
          { name: 'Last', kind: 'given' },
          ...Array.from({ length: times }, (_, at) => ({
            name: `${at + 1}`,
            unit: 'time, by',
            kind: 'blank' as const,
          })),
          { name: 'Cap temp', kind: 'blank' },
          { name: 'Remark', kind: 'roomy' },
        ],
        rows: works.map(({ vessel, item }) => {
          const warmth = lastRead(context, vessel, 'cap temp') ?? lastRead(context, vessel, 'temp');
          return {
            cells: [
              vesselCell(context, vessel),
              text(item.what),
              text(item.last === undefined ? 'not yet' : nearText(item.last, order.on)),
              ...boxes(item, times),
              blank(warmth === undefined ? '' : lastReadText(context, warmth, order.on, true)),
              blank(),
            ],
          };
        }),
      },
    ],
    signed: ['First time by', 'Last time by'],
    none: 'No work on a cap is due on this day. A plan asks for it by `due punch-down 3 a day while brix above 5`.',
  };
}

/** What was done already is told; the rest is left to be written in. */
function boxes({ left, asked }: DueItem, times: number): CrewCell[] {
  const of = asked ?? 1;
  const done = of - (left ?? of);
  return Array.from({ length: times }, (_, at) => (at < done ? blank('done') : at < of ? blank() : SHUT));
}
