/** The page of work due: overdue, today and this week, with the sheets that the crew is handed. */
import type { DueItem, DueStatus } from '../due/due-work.ts';
import type { VesselId } from '../journal/events.ts';
import type { Caution } from './cautions.ts';
import type { Figure, ReportContext } from './context.ts';
import { CREW_SHEETS, type CrewSheetKind, crewSheetPath } from './crew-sheets/kinds.ts';
import { clock, dayOf, dayText, fullDayText, isoDay } from './dates.ts';
import { timesText } from './due-list.ts';
import { cell, figures, type Sheet, type SheetCell, type SheetRow } from './sheet.ts';
import { cautionsOfItems } from './work-cautions.ts';
import { WORK_PAGE, weekOf } from './work-due.ts';

export interface WorkModel {
  readonly path: string;
  readonly title: string;
  readonly lead: string;
  /** The journal has no plan: nothing is ever due. */
  readonly planless: boolean;
  readonly sections: readonly {
    readonly id: DueStatus;
    readonly title: string;
    readonly grave: boolean;
    readonly sheet: Sheet;
    readonly further: number;
  }[];
  readonly cautions: readonly Caution[];
  readonly sheets: readonly { readonly kind: CrewSheetKind; readonly link: Figure; readonly say: string }[];
  /** The calendar of it, where the journal has a plan. */
  readonly calendar: Figure | undefined;
}

export const CALENDAR = 'calendar.ics';

const TITLES: Readonly<Record<DueStatus, string>> = { overdue: 'Overdue', now: 'Today', next: 'This week' };
const STATUSES: readonly DueStatus[] = ['overdue', 'now', 'next'];

/** Rows of one part of the page, and vessels named in one row. */
const MOST_ROWS = 120;
const MOST_VESSELS = 12;

export function workModel(context: ReportContext): WorkModel {
  const { book } = context;
  const items = weekOf(book);
  const planless = book.plans.length === 0;
  const sections = STATUSES.flatMap((status) => {
    const rows = rowsOf(items.filter((item) => item.status === status));
    if (rows.length === 0) return [];
    return [
      {
        id: status,
        title: TITLES[status],
        grave: status === 'overdue',
        sheet: sheetOf(context, status, rows.slice(0, MOST_ROWS)),
        further: Math.max(0, rows.length - MOST_ROWS),
      },
    ];
  });
  return {
    path: WORK_PAGE,
    title: `Work on ${fullDayText(book.on)}`,
    lead: planless ? '' : leadOf(items),
    planless,
    sections,
    cautions: cautionsOfItems(context, items),
    sheets: CREW_SHEETS.map(({ kind, title, say }) => ({
      kind,
      link: { text: title, href: crewSheetPath(kind) },
      say,
    })),
    calendar: planless ? undefined : { text: 'calendar of the next month', href: CALENDAR },
  };
}

function leadOf(items: readonly DueItem[]): string {
  const count = (status: DueStatus): number => rowsOf(items.filter((item) => item.status === status)).length;
  const [overdue, now, next] = STATUSES.map(count);
  if (items.length === 0) return 'Nothing is due, nor within the week.';
  return `Overdue: ${overdue}. Today: ${now}. Within the week: ${next}.`;
}

/** One work on one lot on one day, in vessels in which it was last done at the same time; the line is the first one's. */
interface Row {
  readonly item: DueItem;
  readonly vessels: VesselId[];
}

function rowsOf(items: readonly DueItem[]): Row[] {
  const rows = new Map<string, Row>();
  for (const item of items) {
    const { row } = item;
    const key = [
      ...[item.due, row.place.file, row.place.line, item.lot, item.what, item.left ?? ''],
      item.last ?? '',
    ].join(' ');
    const known = rows.get(key);
    if (known === undefined) rows.set(key, { item, vessels: [item.vessel] });
    else known.vessels.push(item.vessel);
  }
  return [...rows.values()];
}

function sheetOf(context: ReportContext, status: DueStatus, rows: readonly Row[]): Sheet {
  const dated = status !== 'now';
  const handed = rows.some(({ item }) => item.row.by.length > 0);
  return {
    label: TITLES[status],
    caption: 'The work, where, by which line of the plans, and when it was last done there',
    columns: [
      { name: 'Vessel', kind: 'words' },
      { name: 'Lot', kind: 'nowrap' },
      { name: 'Work' },
      ...(dated ? [{ name: status === 'overdue' ? 'Since' : 'Day', kind: 'nowrap' } as const] : []),
      { name: 'Last done', kind: 'nowrap' },
      { name: 'Why', kind: 'words' },
      ...(handed ? [{ name: 'Whose' }] : []),
    ],
    rows: rows.map((row) => rowOf(context, row, dated, handed)),
    sort: true,
  };
}

function rowOf(context: ReportContext, { item, vessels }: Row, dated: boolean, handed: boolean): SheetRow {
  const { links } = context;
  const shown = vessels.slice(0, MOST_VESSELS).map((vessel) => links.vessel(vessel));
  const { row } = item;
  const at = item.dueAt === undefined ? '' : ` ${clock(item.dueAt)}`;
  const due: SheetCell = { ...cell(`${dayText(item.due)}${at}`), iso: isoDay(item.due) };
  return {
    cells: [
      figures(shown, vessels.length > shown.length ? `and ${vessels.length - shown.length} more` : ''),
      figures([links.lot(item.lot)]),
      cell(`${item.what}${timesText(item)}${dated || at === '' ? '' : `, at${at}`}`),
      ...(dated ? [due] : []),
      lastCell(context, item),
      figures([{ ...links.line(row.place), text: row.said }], item.plan.name),
      ...(handed ? [cell(row.by.join(', '))] : []),
    ],
  };
}

function lastCell({ book, links }: ReportContext, { last, lastAt }: DueItem): SheetCell {
  if (last === undefined) return { figures: [], quiet: 'not yet' };
  const text = dayOf(last) === book.on ? `today ${clock(last)}` : dayText(dayOf(last));
  return cell(text, lastAt === undefined ? undefined : links.line(lastAt).href);
}
