/** What a sheet or a round is made for, out of a folder and the words of a command line. */
import { compareFindings } from '../journal/findings.ts';
import { contextOf, type ReportContext } from '../report/context.ts';
import type { CrewOrder } from '../report/crew-sheets/crew-sheet.ts';
import { orderOn, siteOrder } from '../report/crew-sheets/crew-sheets.ts';
import type { CrewSheetKind } from '../report/crew-sheets/kinds.ts';
import { orderFor } from '../report/crew-sheets/order-for.ts';
import { walkOf } from '../report/crew-sheets/walk-order.ts';
import { readBook } from './read-book.ts';
import { sayTally, tally, visible } from './show.ts';

export interface CrewOptions {
  /** For this day; without it, for the last day written or the next on which such work is due. */
  readonly on: number | undefined;
  readonly for: string | undefined;
  /** The walk, in place of the journal's. */
  readonly order: string | undefined;
}

/** Tells why something is not done. */
export function refuse(why: string): 2 {
  process.stderr.write(`${why}\n`);
  return 2;
}

/** The journal with all that is to be said of it; nothing, and told, where the folder cannot be read. */
export function contextIn(folder: string, on: number | undefined): ReportContext | undefined {
  const found = readBook(folder, on);
  if (found === undefined) return undefined;
  const { read, book } = found;
  return contextOf({ ...book, findings: [...read.findings, ...book.findings].sort(compareFindings) });
}

/** Nothing, and told, where a name or a step of the walk is not known. */
export function orderedBy(context: ReportContext, kind: CrewSheetKind, options: CrewOptions): CrewOrder | undefined {
  let order = options.on === undefined ? siteOrder(context, kind) : orderOn(context, options.on);
  if (options.order !== undefined) {
    const walk = walkOf(context.book, options.order);
    if ('unknown' in walk) {
      refuse(`--order names ${visible(walk.unknown)}, which is neither a vessel nor a place where vessels stand`);
      return undefined;
    }
    order = { ...order, walk };
  }
  if (options.for === undefined) return order;
  const narrowed = orderFor(context, order, options.for);
  if (!('unknown' in narrowed)) return narrowed;
  const near = narrowed.near === undefined ? '' : `; did you mean ${visible(narrowed.near)}?`;
  refuse(`no hand, lot, vessel or plan is called ${visible(narrowed.unknown)}${near}`);
  return undefined;
}

/** 1 where the journal has errors, which is told; else 0. */
export function endOf({ book }: ReportContext): 0 | 1 {
  const counts = tally(book.findings);
  if (counts.errors === 0) return 0;
  process.stderr.write(
    `the journal has ${sayTally(counts)}: what they touch may be missing; ullage check tells them\n`,
  );
  return 1;
}
