/** The list of vessels, as declared, with what each holds. */
import type { VesselRecord } from '../cellar/book.ts';
import { fillsText, isBarrel, yearsText } from './barrels.ts';
import type { Figure, ReportContext } from './context.ts';
import { volumeText } from './figures.ts';
import { fillText } from './fill.ts';
import { counted } from './names.ts';
import { cell, figures, type Sheet, type SheetRow } from './sheet.ts';
import { dueMarkOf, WORK_PAGE } from './work-due.ts';

export interface VesselsPage {
  readonly path: string;
  readonly title: string;
  readonly number: number;
}

export interface VesselsModel {
  readonly path: string;
  readonly title: string;
  readonly lead: string;
  readonly barrels: boolean;
  readonly sheet: Sheet | undefined;
  readonly pages: readonly Figure[];
}

/** Rows of one page. */
const MOST_ROWS = 300;

export function vesselsPages({ book }: ReportContext): VesselsPage[] {
  const count = Math.max(1, Math.ceil(book.vessels.length / MOST_ROWS));
  return Array.from({ length: count }, (_, index) =>
    index === 0
      ? { path: 'vessels.html', title: 'Vessels', number: 1 }
      : { path: `all-vessels/${index + 1}.html`, title: `Vessels, page ${index + 1}`, number: index + 1 },
  );
}

export function vesselsModel(context: ReportContext, pages: readonly VesselsPage[], page: VesselsPage): VesselsModel {
  const { book } = context;
  const { vessels } = book;
  const full = vessels.filter(({ content }) => content.volume > 0).length;
  const shown = vessels.slice((page.number - 1) * MOST_ROWS, page.number * MOST_ROWS);
  return {
    path: page.path,
    title: page.title,
    lead: vessels.length === 0 ? '' : `${counted(vessels.length, 'vessel')}, ${full} with something in them.`,
    barrels: vessels.some(isBarrel),
    sheet: shown.length === 0 ? undefined : sheetOf(context, shown, vessels.length),
    pages: pages.filter((other) => other !== page).map(({ path, number }) => ({ text: `page ${number}`, href: path })),
  };
}

function sheetOf(context: ReportContext, vessels: readonly VesselRecord[], all: number): Sheet {
  const { links, settings } = context;
  const marks = vessels.map(({ facts }) => dueMarkOf(context, facts.id));
  const marked = marks.some((mark) => mark !== undefined);
  const row = (vessel: VesselRecord, at: number): SheetRow => {
    const { facts, content, lot, retired } = vessel;
    const holds = content.volume > 0;
    return {
      cells: [
        figures([links.vessel(facts.id)]),
        cell(facts.kind),
        cell(volumeText(facts.capacity, settings)),
        cell(facts.at ?? ''),
        figures(holds && lot !== undefined ? [links.lot(lot)] : []),
        cell(holds ? fillText(context, vessel) : retired ? 'retired' : 'empty'),
        cell(yearsText(context, vessel)),
        cell(fillsText(vessel)),
        ...(marked ? [cell(marks[at]?.text ?? '', WORK_PAGE)] : []),
      ],
    };
  };
  return {
    label: 'Vessels',
    caption:
      vessels.length === all
        ? 'Every vessel as declared, and what it holds'
        : `As declared, and what each holds: ${vessels.length} of ${all}`,
    columns: [
      { name: 'Vessel', kind: 'nowrap' },
      { name: 'Kind' },
      { name: 'Room', kind: 'number' },
      { name: 'Place' },
      { name: 'Lot', kind: 'nowrap' },
      { name: 'How full', kind: 'nowrap' },
      { name: 'Age', kind: 'nowrap' },
      { name: 'Fills', kind: 'nowrap' },
      ...(marked ? [{ name: 'Work due', kind: 'words' } as const] : []),
    ],
    rows: vessels.map(row),
    sort: true,
  };
}
