/** All postings of a book by classes of wine, sorted into flows from one account to another, in the order of time. */
import type { Book, Happening } from '../cellar/book.ts';
import type { Bottles, DayNumber, LotId, Microlitres, VesselId } from '../journal/events.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import type { LineKey, VolumeRules } from '../law/volume-rules.ts';
import { freshAccounts, postingsOf } from '../law/wine-account.ts';
import type { Account, Posting, ShareChange } from '../law/wine-postings.ts';
import { BottleTally } from './cased-bottles.ts';
import { dayOf } from './dates.ts';
import { Known } from './known.ts';
import { periodsOf } from './periods.ts';

export interface FlowEntry {
  readonly happening: Happening;
  readonly posting: Posting;
  readonly day: DayNumber;
  /** The sum of the flow before it, since the first day. */
  readonly before: Microlitres;
}

/** All that ever went from one account to another for one reason. */
export interface Flow {
  readonly from: Account | undefined;
  readonly to: Account | undefined;
  readonly key: LineKey;
  readonly entries: readonly FlowEntry[];
}

/** Must or juice in a vessel that is not wine yet. */
export interface NotYetWine {
  readonly vessel: VesselId;
  readonly lot: LotId;
  readonly volume: Microlitres;
}

/** A change of what the shares of a year are of, on its day. */
export interface ShareEntry extends ShareChange {
  readonly day: DayNumber;
}

export interface WineFlows {
  readonly rules: VolumeRules;
  readonly flows: readonly Flow[];
  /** What came to the shares of each year or was lost, in the order of time; what was there at its start is not among it. */
  readonly shares: readonly ShareEntry[];
  /** At the end of every month, and of the days asked for, what is not wine yet. */
  readonly notYetWine: ReadonlyMap<DayNumber, readonly NotYetWine[]>;
  /** At the same ends, the bottles on hand by size. */
  readonly bottles: ReadonlyMap<DayNumber, readonly Bottles[]>;
}

/** The flows of a book, worked out once. */
export function wineFlows(book: Book): WineFlows {
  const known = FLOWS.get(book);
  if (known !== undefined) return known;
  const flows = FLOWS.work(book);
  FLOWS.set(book, flows);
  return flows;
}

const FLOWS = new Known<Book, WineFlows>((book) => workOut(book, []));

/** As `wineFlows`, with what is not wine at the end of one day more. */
export const wineFlowsTo = (book: Book, day: DayNumber): WineFlows => workOut(book, [day]);

function workOut(book: Book, days: readonly DayNumber[]): WineFlows {
  const rules = RULE_SETS[book.settings.law].volumes;
  const memory = freshAccounts();
  const facts = {
    rules,
    settings: book.settings,
    styleOf: (lot: LotId) => book.lots[lot]?.facts.style,
    isBottling: (lot: LotId) => book.lots[lot]?.facts.bottling === true,
  };
  const cuts = [...new Set([...periodsOf(book, 'month').map(({ to }) => to), ...days])].sort((a, b) => a - b);
  const notYetWine = new Map<DayNumber, readonly NotYetWine[]>();
  const bottles = new Map<DayNumber, readonly Bottles[]>();
  const tally = new BottleTally();
  const sums = new Map<string, { readonly flow: Flow & { readonly entries: FlowEntry[] }; sum: Microlitres }>();
  const shares: ShareEntry[] = [];
  let cut = 0;
  const cutBefore = (day: DayNumber): void => {
    for (let at = cuts[cut]; at !== undefined && at < day; at = cuts[cut]) {
      notYetWine.set(
        at,
        [...memory.vessels]
          .filter(([, held]) => held.account === 'must' && held.volume > 0)
          .map(([vessel, { lot, volume }]) => ({ vessel, lot, volume }))
          .sort((a, b) => a.lot - b.lot || a.vessel - b.vessel),
      );
      bottles.set(at, tally.bySize());
      cut++;
    }
  };
  for (const happening of book.happenings) {
    const { event, movements, vessels, lots, became } = happening;
    const day = dayOf(event.minute);
    cutBefore(day);
    tally.see(happening);
    const posted = postingsOf(memory, facts, { event, movements, vessels, lots, became: became ?? [] });
    for (const change of posted.shares) shares.push({ day, ...change });
    for (const posting of posted.postings) {
      const { from, to, key } = posting;
      const name = `${from ?? ''}|${to ?? ''}|${key}`;
      let one = sums.get(name);
      if (one === undefined) {
        one = { flow: { from, to, key, entries: [] }, sum: 0 };
        sums.set(name, one);
      }
      one.flow.entries.push({ happening, posting, day, before: one.sum });
      one.sum += posting.volume;
    }
  }
  cutBefore(Number.POSITIVE_INFINITY);
  return { rules, flows: [...sums.values()].map(({ flow }) => flow), shares, notYetWine, bottles };
}
