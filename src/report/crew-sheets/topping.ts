/** The sheet of topping: vessels that are to be topped, the room over the wine, and what there is to top with. */
import type { VesselRecord } from '../../cellar/book.ts';
import type { DueItem } from '../../due/due-work.ts';
import type { Microlitres, VesselId } from '../../journal/events.ts';
import { happeningsOf, lotOf, type ReportContext, vesselOf } from '../context.ts';
import { volumeText } from '../figures.ts';
import { cautionsOfItems } from '../work-cautions.ts';
import { blank, byVessel, type CrewContent, type CrewOrder, text, vesselCell } from './crew-sheet.ts';
import { nearText } from './last-read.ts';

export const isTopping = ({ row: { work } }: DueItem): boolean => work.kind === 'verb' && work.verb === 'top';

/** Vessels offered to top from. */
const MOST_SOURCES = 3;

export function toppingSheet(context: ReportContext, order: CrewOrder): CrewContent {
  const due = byVessel(context, order, isTopping);
  const topped = new Set(due.map(({ vessel }) => vessel.facts.id));
  return {
    lead: 'The room is what the record leaves free; what has evaporated shows only in the vessel. Write what went in.',
    cautions: cautionsOfItems(context, order.items.filter(isTopping)),
    tables: [
      {
        title: '',
        note: '',
        caption: 'Vessels to top, as the cellar is walked',
        columns: [
          { name: 'Vessel', kind: 'name' },
          { name: 'Last topped', kind: 'given' },
          { name: 'Room by the record', kind: 'number' },
          { name: 'There is to top with', kind: 'given' },
          { name: 'From', kind: 'blank' },
          { name: 'Went in', unit: context.settings.volume, kind: 'blank' },
          { name: 'By', kind: 'mark' },
          { name: 'Smell, taste, bung', kind: 'roomy' },
        ],
        rows: due.map(({ vessel, items: [item] }) => ({
          cells: [
            vesselCell(context, vessel),
            lastCell(context, vessel, item?.last, order),
            text(volumeText(Math.max(0, vessel.facts.capacity - vessel.content.volume), context.settings)),
            text(sourcesText(context, vessel, topped)),
            blank(),
            blank(),
            blank(),
            blank(),
          ],
        })),
      },
    ],
    signed: ['Topped by', 'Sulfur dioxide read by'],
    none: 'Nothing is to be topped on this day. A plan asks for it by `due top every 21 days`.',
  };
}

function lastCell(context: ReportContext, vessel: VesselRecord, last: number | undefined, order: CrewOrder) {
  if (last === undefined) return text('not yet');
  const took = wentIn(context, vessel, last);
  return text(nearText(last, order.on), took === 0 ? '' : `took ${volumeText(took, context.settings)}`);
}

/** What went into a vessel at a topping. */
function wentIn(context: ReportContext, { facts, happenings }: VesselRecord, minute: number): Microlitres {
  return happeningsOf(context, happenings)
    .filter(({ event }) => event.minute === minute && event.verb === 'top')
    .flatMap(({ movements }) => movements)
    .reduce((sum, one) => sum + (one.kind === 'across' && one.to === facts.id ? one.volume : 0), 0);
}

/** Where more of the same lot lies that is not to be topped itself, the smallest vessels first: `K1 48 L, T5 212 L`. */
function sourcesText(context: ReportContext, { lot, facts }: VesselRecord, topped: ReadonlySet<VesselId>): string {
  const sources = (lotOf(context, lot)?.vessels ?? [])
    .flatMap((id) => vesselOf(context, id) ?? [])
    .filter((one) => one.facts.id !== facts.id && !topped.has(one.facts.id) && one.content.volume > 0)
    .sort((a, b) => a.facts.capacity - b.facts.capacity || a.facts.id - b.facts.id);
  if (sources.length === 0) return 'no more of this lot';
  const told = sources
    .slice(0, MOST_SOURCES)
    .map(({ facts: { name }, content }) => `${name} ${volumeText(content.volume, context.settings)}`);
  return `${told.join(', ')}${sources.length > MOST_SOURCES ? ` and ${sources.length - MOST_SOURCES} more` : ''}`;
}
