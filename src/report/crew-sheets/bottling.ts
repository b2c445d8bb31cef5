/** The sheet of a bottling: the wine as it lies ready, what is checked at the filler, and what is counted. */
import type { DueItem } from '../../due/due-work.ts';
import { lotOf, type ReportContext } from '../context.ts';
import { volumeText } from '../figures.ts';
import { cautionsBeside } from '../work-cautions.ts';
import { blank, type CrewContent, type CrewOrder, heldVessels, text, vesselCell } from './crew-sheet.ts';
import { lastRead, lastReadText } from './last-read.ts';

export const isBottling = ({ row: { work } }: DueItem): boolean => work.kind === 'verb' && work.verb === 'bottle';

/** Vessels a wine is bottled from where no plan says which (common practice, no source). */
const READY_IN: readonly string[] = ['tank', 'drum', 'keg', 'carboy', 'flexitank'];
/** What is asked of a wine before it goes into bottles. */
const ASKED = ['free SO2', 'pH', 'residual sugar', 'turbidity'] as const;
/** Microlitres of the usual bottle. */
const BOTTLE = 750_000;
const CHECKS = 8;
const COUNTS = 6;

export function bottlingSheet(context: ReportContext, order: CrewOrder): CrewContent {
  const due = new Set(order.items.filter(isBottling).map(({ vessel }) => vessel));
  const ready = heldVessels(context, order, ({ facts, lot }) => {
    if (due.size > 0) return due.has(facts.id);
    return lotOf(context, lot)?.stage === 'wine' && (order.of !== '' || READY_IN.includes(facts.kind));
  });
  const rows = (count: number, columns: number) =>
    ready.length === 0
      ? []
      : Array.from({ length: count }, () => ({ cells: Array.from({ length: columns }, () => blank()) }));
  return {
    lead: 'The figures are the last ones read. Bottles are what the volume gives with nothing lost, at 750 mL.',
    cautions: cautionsBeside([{ verb: 'bottle', fermenting: false }]),
    tables: [
      {
        title: 'The wine',
        note: '',
        caption: 'Wine that lies ready, as the cellar is walked',
        columns: [
          { name: 'Vessel', kind: 'name' },
          { name: 'Holds', kind: 'number' },
          { name: 'Bottles', kind: 'number' },
          ...ASKED.map((analyte) => ({ name: analyte, kind: 'given' as const })),
          { name: 'Bottle it', kind: 'mark' },
          { name: 'Left over', unit: context.settings.volume, kind: 'blank' },
        ],
        rows: ready.map((vessel) => ({
          cells: [
            vesselCell(context, vessel),
            text(volumeText(vessel.content.volume, context.settings, vessel.estimated)),
            text(String(Math.floor(vessel.content.volume / BOTTLE))),
            ...ASKED.map((analyte) => {
              const last = lastRead(context, vessel, analyte);
              return last === undefined ? text('', 'not read') : text(lastReadText(context, last, order.on, true));
            }),
            blank(),
            blank(),
          ],
        })),
      },
      {
        title: 'At the filler',
        note: '',
        caption: 'Checked at the start, every hour, and at the end',
        columns: [
          { name: 'Time', kind: 'blank' },
          { name: 'Free SO2', unit: 'mg/L', kind: 'blank' },
          { name: 'Dissolved oxygen', unit: 'mg/L', kind: 'blank' },
          { name: 'Temp', kind: 'blank' },
          { name: 'Fill height', kind: 'blank' },
          { name: 'Closure', kind: 'blank' },
          { name: 'Remark', kind: 'roomy' },
          { name: 'By', kind: 'mark' },
        ],
        rows: rows(CHECKS, 8),
      },
      {
        title: 'Counted',
        note: '',
        caption: 'Bottles by size, with what was broken or kept as samples',
        columns: [
          { name: 'Bottling', kind: 'roomy' },
          { name: 'Size', kind: 'blank' },
          { name: 'Bottles', kind: 'blank' },
          { name: 'Broken', kind: 'blank' },
          { name: 'Samples', kind: 'blank' },
          { name: 'Code', kind: 'blank' },
          { name: 'By', kind: 'mark' },
        ],
        rows: rows(COUNTS, 7),
      },
    ],
    signed: ['Line released by', 'Counted by'],
    none: 'No wine lies ready in a tank. A sheet for one lot is made by `ullage sheet FOLDER bottling --for LOT --out FILE`.',
  };
}
