/** Sums over the account of a lot. */
import type { Microlitres } from '../journal/events.ts';
import type { LotAccount } from './book.ts';

/** All that came into a lot. `settled` counts with its sign. */
export const broughtIn = (account: LotAccount): Microlitres =>
  account.made +
  account.bought +
  account.found +
  account.blendedIn +
  account.liquids +
  account.dipGains +
  account.settled;

/** All that left it. */
export const goneOut = (account: LotAccount): Microlitres =>
  account.blendedOut +
  account.setApart +
  account.bottled +
  account.dispatched +
  account.samples +
  account.lees +
  account.pomace +
  account.losses +
  account.evaporation +
  account.dipLosses;

/** What should be on hand. */
export const onHandByAccount = (account: LotAccount): Microlitres => broughtIn(account) - goneOut(account);
