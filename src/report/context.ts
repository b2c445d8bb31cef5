/** What every page model draws on: the book, the links to its pages, and look-ups made once. */
import type { Book, Happening, LotRecord, VesselRecord } from '../cellar/book.ts';
import type { LotId, Place, VesselId } from '../journal/events.ts';
import type { Settings } from '../journal/register.ts';
import type { Tint } from './charted.ts';
import { type Links, linksOf } from './links.ts';

export interface ReportContext {
  readonly book: Book;
  readonly settings: Settings;
  readonly links: Links;
}

export function contextOf(book: Book): ReportContext {
  return { book, settings: book.settings, links: linksOf(book) };
}

/** A figure worded for people, and the line of the journal it comes from. */
export interface Figure {
  readonly text: string;
  readonly href?: string;
}

export interface Fact {
  readonly name: string;
  readonly figures: readonly Figure[];
}

/** A figure that links to its line. */
export function figureAt(context: ReportContext, text: string, place: Place | undefined): Figure {
  const href = place === undefined ? undefined : context.links.line(place).href;
  return href === undefined ? { text } : { text, href };
}

export function lotOf(context: ReportContext, lot: LotId | undefined): LotRecord | undefined {
  return lot === undefined ? undefined : context.book.lots[lot];
}

export function vesselOf(context: ReportContext, vessel: VesselId): VesselRecord | undefined {
  return context.book.vessels[vessel];
}

/** The happenings a record names, in the book's order; numbers that lead nowhere are left out. */
export function happeningsOf(context: ReportContext, indexes: readonly number[]): Happening[] {
  return indexes.flatMap((index) => {
    const found = context.book.happenings[index];
    return found === undefined ? [] : [found];
  });
}

export function vesselNames(context: ReportContext, vessels: readonly VesselId[]): string[] {
  return vessels.flatMap((id) => {
    const name = vesselOf(context, id)?.facts.name;
    return name === undefined ? [] : [name];
  });
}

/** The colour a wine is drawn in. */
export function tintOf(lot: LotRecord | undefined): Tint {
  return lot?.colour ?? 'plain';
}
