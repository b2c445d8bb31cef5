/** A sheet that somebody carries through the cellar and writes on, as plain data. */
import type { VesselRecord } from '../../cellar/book.ts';
import type { DueItem } from '../../due/due-work.ts';
import type { DayNumber, VesselId } from '../../journal/events.ts';
import type { Caution } from '../cautions.ts';
import { type Figure, type ReportContext, vesselOf } from '../context.ts';
import { fullDayText } from '../dates.ts';
import { type Span, sentenceOf } from '../finding-list.ts';
import { CREW_SHEETS, type CrewSheetKind, crewSheetPath } from './kinds.ts';
import { inWalkOrder, type Walk } from './walk-order.ts';

export interface CrewCell {
  readonly figures: readonly Figure[];
  /** What the record has, greyed: the last value beside the blank for the next. */
  readonly quiet: string;
  /** Nothing is asked here: the blank is crossed out. */
  readonly shut?: true;
}

export interface CrewColumn {
  readonly name: string;
  readonly unit?: string;
  /** `blank` is written in with a wet pencil; `roomy` has room for words; `mark` holds an initial or a tick. */
  readonly kind: 'name' | 'given' | 'number' | 'blank' | 'roomy' | 'mark';
}

export interface CrewTable {
  readonly title: string;
  /** What to know before its rows; empty where there is nothing. */
  readonly note: string;
  readonly caption: string;
  readonly columns: readonly CrewColumn[];
  readonly rows: readonly { readonly cells: readonly CrewCell[] }[];
}

export interface CrewSheet {
  readonly kind: CrewSheetKind;
  readonly path: string;
  readonly title: string;
  readonly day: string;
  /** For whom, or what it is of; empty for all. */
  readonly of: string;
  readonly lead: string;
  readonly cautions: readonly Caution[];
  readonly tables: readonly CrewTable[];
  /** Rows that are left out. */
  readonly further: number;
  /** What is signed for at the foot: `Walked by`. */
  readonly signed: readonly string[];
  /** Why there is nothing on it, and what would put something there; empty where there is something. */
  readonly none: readonly Span[];
}

/** What a sheet is made for. */
export interface CrewOrder {
  readonly on: DayNumber;
  /** Work that is overdue or due on the day. */
  readonly items: readonly DueItem[];
  /** Whom or what it is for; empty for all. */
  readonly of: string;
  /** Whether a vessel is asked for at all. */
  readonly wanted: (vessel: VesselRecord) => boolean;
  readonly walk: Walk;
}

/** What a kind of sheet fills in. */
export interface CrewContent {
  readonly lead: string;
  readonly cautions: readonly Caution[];
  readonly tables: readonly CrewTable[];
  readonly signed: readonly string[];
  readonly none: string;
}

export function crewSheetOf(kind: CrewSheetKind, { on, of }: CrewOrder, content: CrewContent): CrewSheet {
  const title = CREW_SHEETS.find((one) => one.kind === kind)?.title ?? '';
  const tables = content.tables.filter(({ rows }) => rows.length > 0);
  const empty = tables.length === 0;
  return {
    kind,
    path: crewSheetPath(kind),
    title,
    day: fullDayText(on),
    of,
    ...content,
    tables,
    further: 0,
    // an empty sheet is no work, and warns of none
    cautions: empty ? [] : content.cautions,
    lead: empty ? '' : content.lead,
    none: empty ? sentenceOf(content.none) : [],
  };
}

/** A sheet of at most so many rows, for a page that has to stay small. */
export function shortened(sheet: CrewSheet, most: number): CrewSheet {
  let room = most;
  let further = 0;
  const tables = sheet.tables.map((table) => {
    const rows = table.rows.slice(0, room);
    room -= rows.length;
    further += table.rows.length - rows.length;
    return { ...table, rows };
  });
  return { ...sheet, tables: tables.filter(({ rows }) => rows.length > 0), further };
}

export const text = (words: string, quiet = ''): CrewCell => ({
  figures: words === '' ? [] : [{ text: words }],
  quiet,
});
export const blank = (quiet = ''): CrewCell => ({ figures: [], quiet });
export const SHUT: CrewCell = { figures: [], quiet: '', shut: true };

/** The vessel a row is of, with its lot beneath. */
export function vesselCell({ links }: ReportContext, { facts, lot }: VesselRecord): CrewCell {
  return { figures: [links.vessel(facts.id)], quiet: lot === undefined ? '' : links.lot(lot).text };
}

/** Items by vessel, the vessels in the order of the walk. */
export function byVessel(
  context: ReportContext,
  order: CrewOrder,
  fits: (item: DueItem) => boolean,
): { readonly vessel: VesselRecord; readonly items: readonly DueItem[] }[] {
  const groups = new Map<VesselId, DueItem[]>();
  for (const item of order.items) {
    if (!fits(item)) continue;
    const group = groups.get(item.vessel);
    if (group === undefined) groups.set(item.vessel, [item]);
    else group.push(item);
  }
  const vessels = [...groups.keys()].flatMap((id) => vesselOf(context, id) ?? []);
  return inWalkOrder(vessels, order.walk).map((vessel) => ({ vessel, items: groups.get(vessel.facts.id) ?? [] }));
}

/** Vessels that hold something a sheet is about, as they are walked. */
export function heldVessels(
  { book }: ReportContext,
  order: CrewOrder,
  fits: (vessel: VesselRecord) => boolean,
): VesselRecord[] {
  const held = book.vessels.filter((one) => one.content.volume > 0 && order.wanted(one) && fits(one));
  return inWalkOrder(held, order.walk);
}

/** A sheet's blank for a figure of an analyte is at least as wide as the figure; sheets have as many as fit a page. */
export const MOST_FIELDS = 7;
