/** What an event is to an account by classes of wine: volumes that go from one account to another, and what shares are of. Types only. */
import type { LotId, Microlitres, VesselId } from '../journal/events.ts';
import type { YearOfClass } from './annual-losses.ts';
import type { AccountKind, LineKey } from './volume-rules.ts';

/** `must`, a class's wine in vessels (`bulk still-16`) or in bottles (`bottled still-16`). */
export type Account = 'must' | `${Exclude<AccountKind, 'must'>} ${string}`;

/** A volume that went from one account to another, or came into the cellar or left it. */
export interface Posting {
  readonly from: Account | undefined;
  readonly to: Account | undefined;
  readonly key: LineKey;
  readonly volume: Microlitres;
  /** The vessel it is of; undefined for bottles. */
  readonly vessel: VesselId | undefined;
  readonly lot: LotId;
  /** It follows from an estimate: nobody measured it. */
  readonly estimated: boolean;
}

/**
 * What an event adds to what a class's shares of the calendar year are of, or to what was lost of it; below zero where
 * wine goes over to another class. With wine that goes over go its part of what there was, and of what was lost of that:
 * so a loss is held against the wine it was lost of, whichever class that is found to be of later.
 */
export interface ShareChange extends YearOfClass {
  readonly account: Account;
}

export interface Posted {
  readonly postings: readonly Posting[];
  readonly shares: readonly ShareChange[];
}
