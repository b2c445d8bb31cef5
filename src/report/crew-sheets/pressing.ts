/** The sheet of a pressing: must that lies on its skins, the free run it gives, and the cuts of the press. */
import type { VesselRecord } from '../../cellar/book.ts';
import type { DueItem } from '../../due/due-work.ts';
import { lotOf, type ReportContext } from '../context.ts';
import { massText, volumeText } from '../figures.ts';
import { cautionsBeside } from '../work-cautions.ts';
import { blank, type CrewContent, type CrewOrder, heldVessels, text, vesselCell } from './crew-sheet.ts';
import { lastRead, lastReadText } from './last-read.ts';

const PRESSED: readonly string[] = ['press', 'drain'];

export const isPressing = ({ row: { work } }: DueItem): boolean => work.kind === 'verb' && PRESSED.includes(work.verb);

/** Lines for the cuts of one pressing, and pressings on a sheet. */
const CUTS = 4;
const MOST_LOTS = 8;

/** It was crushed and nothing of it was pressed yet. */
function onSkins(context: ReportContext, { lot }: VesselRecord): boolean {
  const record = lotOf(context, lot);
  if (record === undefined || record.fruit.used === 0 || record.fruit.pomace > 0) return false;
  return record.stage === 'must' || record.stage === 'fermenting';
}

export function pressingSheet(context: ReportContext, order: CrewOrder): CrewContent {
  const due = new Set(order.items.filter(isPressing).map(({ vessel }) => vessel));
  const must = heldVessels(context, order, (vessel) =>
    due.size > 0 ? due.has(vessel.facts.id) : onSkins(context, vessel),
  );
  const lots = [...new Set(must.flatMap(({ lot }) => (lot === undefined ? [] : [lot])))].slice(0, MOST_LOTS);
  return {
    lead: 'Strike out what is not drained or pressed today. Dip what each vessel gives; cuts stand by their pressure.',
    cautions: cautionsBeside([
      { verb: 'drain', fermenting: true },
      { verb: 'press', fermenting: true },
    ]),
    tables: [
      {
        title: 'Free run',
        note: '',
        caption: 'Must on its skins, as the cellar is walked',
        columns: [
          { name: 'Vessel', kind: 'name' },
          { name: 'Holds', kind: 'number' },
          { name: 'Sugar', kind: 'given' },
          { name: 'Drained to', kind: 'blank' },
          { name: 'Free run', unit: context.settings.volume, kind: 'blank' },
          { name: 'At', kind: 'mark' },
          { name: 'By', kind: 'mark' },
          { name: 'Remark', kind: 'roomy' },
        ],
        rows: must.map((vessel) => {
          const sugar = sugarOf(context, vessel);
          return {
            cells: [
              vesselCell(context, vessel),
              text(volumeText(vessel.content.volume, context.settings, vessel.estimated)),
              text(sugar === undefined ? '' : lastReadText(context, sugar, order.on, true)),
              ...Array.from({ length: 5 }, () => blank()),
            ],
          };
        }),
      },
      {
        title: 'Press run',
        note: '',
        caption: 'The cuts of the press; what is left in it is weighed as pomace',
        columns: [
          { name: 'Lot', kind: 'name' },
          { name: 'Fruit', kind: 'number' },
          { name: 'Pressure', unit: 'bar', kind: 'blank' },
          { name: 'To', kind: 'blank' },
          { name: 'Press run', unit: context.settings.volume, kind: 'blank' },
          { name: 'Pomace', unit: context.settings.mass, kind: 'blank' },
          { name: 'Taste', kind: 'roomy' },
          { name: 'By', kind: 'mark' },
        ],
        rows: lots.flatMap((lot) =>
          Array.from({ length: CUTS }, (_, cut) => ({
            cells: [
              cut === 0 ? { figures: [context.links.lot(lot)], quiet: '' } : text('', 'next cut'),
              text(cut === 0 ? massText(lotOf(context, lot)?.fruit.used ?? 0, context.settings) : ''),
              ...Array.from({ length: 6 }, () => blank()),
            ],
          })),
        ),
      },
    ],
    signed: ['Press locked out for cleaning by', 'Pressed by'],
    none: 'No must lies on its skins. Fruit comes to lie there by `crush LS to B1..B4 ~335 L each`.',
  };
}

const SUGAR = ['brix', 'SG', 'density', 'oechsle', 'baume', 'plato'];

/** The newest reading of sugar on any scale. */
function sugarOf(context: ReportContext, vessel: VesselRecord) {
  return SUGAR.flatMap((analyte) => lastRead(context, vessel, analyte) ?? []).sort((a, b) => b.minute - a.minute)[0];
}
