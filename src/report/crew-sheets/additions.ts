/** The sheet of additions: what is to be weighed for each vessel, worked out and rounded, with room for a second pair of eyes. */
import type { VesselRecord } from '../../cellar/book.ts';
import { PIECE } from '../../cellar/content.ts';
import { atRate } from '../../cellar/works/additions.ts';
import { rounded } from '../../checks/answers.ts';
import type { DueItem } from '../../due/due-work.ts';
import type { Add, Dose } from '../../journal/events.ts';
import type { MaterialFacts } from '../../journal/register.ts';
import { type ReportContext, vesselOf } from '../context.ts';
import { dayOf } from '../dates.ts';
import { isFermenting } from '../ferment.ts';
import { volumeText } from '../figures.ts';
import { capital } from '../names.ts';
import { cautionsBeside, cautionsOfItems, type WorkAhead } from '../work-cautions.ts';
import {
  blank,
  byVessel,
  type CrewColumn,
  type CrewContent,
  type CrewOrder,
  type CrewTable,
  text,
  vesselCell,
} from './crew-sheet.ts';

const GIVING: readonly string[] = ['inoculate', 'fine'];

/** Something that goes into the wine, and is weighed or measured before. */
export const isAddition = ({ row: { work } }: DueItem): boolean =>
  work.kind === 'material' || work.kind === 'material kind' || (work.kind === 'verb' && GIVING.includes(work.verb));

const SIGNED: readonly CrewColumn[] = [
  { name: 'Weighed', kind: 'blank' },
  { name: 'By', kind: 'mark' },
  { name: 'Seen by', kind: 'mark' },
  { name: 'Batch', kind: 'blank' },
  { name: 'Went in at', kind: 'blank' },
];

export function additionsSheet(context: ReportContext, order: CrewOrder): CrewContent {
  const items = order.items.filter(isAddition);
  const questions = askedOn(context, order);
  return {
    lead:
      'Worked out from the volume in the record and rounded to what a scale shows: to 0.01 g below 10 g, to 1 g, and to ' +
      '10 g from 10 kg on. Check the figure, weigh, and have somebody else read the scale before it goes in.',
    cautions: [
      ...new Set([
        ...cautionsOfItems(context, items),
        ...cautionsBeside(questions.flatMap((event) => aheadOf(context, event))),
      ]),
    ],
    tables: [...dueTables(context, order), questionTable(context, questions)],
    signed: ['Scale checked by', 'Done by'],
    none: 'Nothing is to be added on this day. A plan asks for it by `due add nutri-a 20 g/hL once when a third gone`.',
  };
}

/** A table for each thing that is given: what is weighed for one vessel is not mistaken for another's. */
function dueTables(context: ReportContext, order: CrewOrder): CrewTable[] {
  const works = new Map<string, { readonly item: DueItem; readonly vessels: VesselRecord[] }>();
  for (const { vessel, items } of byVessel(context, order, isAddition)) {
    for (const item of items) {
      const known = works.get(item.what);
      if (known === undefined) works.set(item.what, { item, vessels: [vessel] });
      else known.vessels.push(vessel);
    }
  }
  return [...works.values()].map(({ item, vessels }) => {
    const { work } = item.row;
    const facts = work.kind === 'material' ? context.book.materials[work.material] : undefined;
    const dose = work.kind === 'material' ? work.dose : undefined;
    return {
      title: capital(item.what),
      note:
        dose === undefined
          ? 'The plan does not say how much: whoever decides writes it down before anything is weighed.'
          : (facts?.caution ?? ''),
      caption: `${capital(item.what)}, as the cellar is walked`,
      columns: [
        { name: 'Vessel', kind: 'name' },
        { name: 'Into', kind: 'number' },
        { name: 'Weigh', kind: 'number' },
        ...SIGNED,
      ],
      rows: vessels.map((vessel) => ({
        cells: [
          vesselCell(context, vessel),
          text(volumeText(vessel.content.volume, context.settings, vessel.estimated)),
          text(toWeigh(dose, facts, vessel)),
          ...SIGNED.map(() => blank()),
        ],
      })),
    };
  });
}

/** `82 g`; as the plan says it where that is no rate, and nothing where it says none: then somebody has to decide. */
function toWeigh(dose: Dose | undefined, facts: MaterialFacts | undefined, { content }: VesselRecord): string {
  if (dose === undefined || facts === undefined) return '';
  if (dose.kind === 'mass') return scaleText({ amount: dose.micrograms / 1e6, unit: 'g' });
  if (dose.kind === 'volume') return scaleText({ amount: dose.microlitres / 1000, unit: 'mL' });
  if (dose.kind !== 'rate') return '';
  const found = atRate(dose, facts, content.volume, 0);
  if (found === undefined) return '';
  if (found.unit === 'pieces') return scaleText({ amount: found.amount / PIECE, unit: 'pieces' });
  return found.unit === 'µg'
    ? scaleText({ amount: found.amount / 1e6, unit: 'g' })
    : scaleText({ amount: found.amount / 1000, unit: 'mL' });
}

const scaleText = (exact: { readonly amount: number; readonly unit: 'g' | 'mL' | 'pieces' }): string =>
  `${rounded(exact)}\u00A0${exact.unit}`;

/** Questions of the day and of the week before it that wait for what went in. */
const WAITING_DAYS = 7;

function askedOn({ book }: ReportContext, { on }: CrewOrder): Add[] {
  return book.happenings.flatMap(({ event }) =>
    event.kind === 'add' &&
    dayOf(event.minute) <= on &&
    dayOf(event.minute) > on - WAITING_DAYS &&
    event.additions.some(({ dose }) => dose.kind === 'asked')
      ? [event]
      : [],
  );
}

function aheadOf(context: ReportContext, event: Add): WorkAhead[] {
  const fermenting = event.targets.some((target) => {
    const lot =
      target.kind === 'lot' ? target.lot : target.kind === 'vessel' ? vesselOf(context, target.vessel)?.lot : undefined;
    return isFermenting(context, lot);
  });
  return event.additions.map(({ material }) => {
    const facts = context.book.materials[material];
    return { verb: event.verb, fermenting, material: facts?.kind, substance: facts?.substance };
  });
}

/** What the book answered to a `?`: the answer is a finding of the line. */
function questionTable({ book, links }: ReportContext, questions: readonly Add[]): CrewTable {
  const answers = new Map(
    book.findings
      .filter(({ code }) => code === 'question-answered' || code === 'question-open')
      .map(({ where, message }) => [`${where.file}:${where.line}`, message]),
  );
  return {
    title: 'Asked of the book',
    note: '',
    caption: 'What a line asks by a question mark, and the answer',
    columns: [{ name: 'Line', kind: 'name' }, { name: 'Answer', kind: 'given' }, ...SIGNED],
    rows: questions.map(({ place }) => ({
      cells: [
        { figures: [links.line(place)], quiet: '' },
        text(answers.get(`${place.file}:${place.line}`) ?? ''),
        ...SIGNED.map(() => blank()),
      ],
    })),
  };
}
