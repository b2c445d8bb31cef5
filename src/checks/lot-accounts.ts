/** The account of every lot, to the last microlitre: what came in is what went out and what is on hand. */
import { onHandByAccount } from '../cellar/accounts.ts';
import { forgetful } from './check.ts';

export const lotAccounts = forgetful((cellar) => ({
  after() {
    // accounts are compared once, at the end
  },
  end(say) {
    for (const lot of cellar.lots()) {
      const expected = onHandByAccount(lot.account);
      const is = cellar.onHand(lot);
      if (expected === is) continue;
      say(lot.facts.place, {
        code: 'lot-unbalanced',
        message: `${lot.facts.name}: the movements leave ${expected} µL and the vessels hold ${is} µL`,
        help: 'this is a fault of the tool; please report it with the journal',
        mark: lot.facts.name,
      });
    }
  },
}));
