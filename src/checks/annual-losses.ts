/** What a year lost of a class of wine, against the shares the chosen law lets be lost before a claim is needed. */
import type { Microlitres, Place } from '../journal/events.ts';
import { tellingPlaces, type Used, usedOf, type YearOfClass } from '../law/annual-losses.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import type { LossAllowance, LossRules } from '../law/volume-rules.ts';
import { type AccountMemory, freshAccounts, postingsOf } from '../law/wine-account.ts';
import type { Posting } from '../law/wine-postings.ts';
import { formatVolume } from '../trade/volume.ts';
import { remembering } from './check.ts';

/** What was lost at a line, or came with wine of another class that it was lost of; below zero where it went with such. */
interface Loss extends Pick<YearOfClass, 'lostStored' | 'lostProduced'> {
  readonly place: Place;
  readonly sic: boolean;
}

/** A class of wine in vessels, since the year began. */
interface ClassOfYear {
  /** What it holds now. */
  held: Microlitres;
  stored: Microlitres;
  produced: Microlitres;
  losses: Loss[];
}

/** What is told of a year that is over. */
interface Told {
  readonly place: Place;
  readonly sic: boolean;
  readonly message: string;
}

interface Memory {
  readonly accounts: AccountMemory;
  readonly classes: Map<string, ClassOfYear>;
  readonly told: Told[];
  /** The calendar year of the last event. What a line that could not be read did stays unknown in all years after it. */
  now: { year: number | undefined; doubtful: boolean };
}

const fresh = (): Memory => ({
  accounts: freshAccounts(),
  classes: new Map(),
  told: [],
  now: { year: undefined, doubtful: false },
});

const yearOf = (minute: number): number => new Date(minute * 60_000).getUTCFullYear();
const BULK = 'bulk ';

export const annualLosses = remembering(fresh, (cellar, { accounts, classes, told, now }) => {
  const { register } = cellar;
  const rulesNow = (): LossRules | undefined => {
    const { losses } = RULE_SETS[register.settings.law].volumes;
    return losses === undefined || losses.allowances.length === 0 ? undefined : losses;
  };

  function classOf(account: Posting['from']): ClassOfYear | undefined {
    if (account?.startsWith(BULK) !== true) return undefined;
    const id = account.slice(BULK.length);
    let one = classes.get(id);
    if (one === undefined) {
      one = { held: 0, stored: 0, produced: 0, losses: [] };
      classes.set(id, one);
    }
    return one;
  }

  /** The line with which a share was passed, for good. */
  function passedAt(losses: readonly Loss[], { allowance, allowed }: Used): Loss | undefined {
    let sum = 0;
    let at: Loss | undefined;
    for (const loss of losses) {
      const before = sum;
      sum += allowance.of === 'stored' ? loss.lostStored : loss.lostProduced;
      if (before <= allowed && sum > allowed) at = loss;
    }
    return at;
  }

  function judged(rules: LossRules): Told[] {
    const { year, doubtful } = now;
    // a line that could not be read may have brought wine in or taken it out
    if (year === undefined || doubtful) return [];
    return [...classes].flatMap(([id, { stored, produced, losses }]) => {
      const lostStored = losses.reduce((sum, loss) => sum + loss.lostStored, 0);
      const lostProduced = losses.reduce((sum, loss) => sum + loss.lostProduced, 0);
      const used = usedOf(rules, { stored, produced, lostStored, lostProduced });
      return used.flatMap((one): Told[] => {
        const at = one.passed ? passedAt(losses, one) : undefined;
        return at === undefined ? [] : [{ place: at.place, sic: at.sic, message: say(id, year, one) }];
      });
    });
  }

  const OF: Readonly<Record<LossAllowance['of'], string>> = {
    stored: 'there at its start and received',
    produced: 'produced in it',
  };

  function say(id: string, year: number, used: Used): string {
    const { allowance, base, allowed, lost } = used;
    const { classes: known, sparkling, carbonated } = RULE_SETS[register.settings.law].volumes;
    const title = [...known, sparkling, carbonated].find((one) => one.id === id)?.title ?? 'wine';
    const unit = register.settings.volume;
    const places = tellingPlaces(used, unit);
    const volume = (microlitres: Microlitres): string => formatVolume(microlitres, unit, places);
    return (
      `${title.replaceAll('\u00A0', ' ')}: of ${volume(base)} ${OF[allowance.of]}, ${volume(lost)} were lost in ${year}; above ` +
      `${allowance.share / 10_000} %, ${volume(allowed)}, the rule asks for a claim (${allowance.rule.section})`
    );
  }

  return {
    after(deed) {
      const rules = rulesNow();
      if (rules === undefined) return;
      const { event, movements, touchedVessels, touchedLots, became } = deed;
      const year = yearOf(event.minute);
      if (now.year !== year) {
        if (now.year !== undefined) for (const one of judged(rules)) told.push(one);
        now.year = year;
        for (const one of classes.values()) {
          one.stored = one.held;
          one.produced = 0;
          one.losses = [];
        }
      }
      const { postings, shares } = postingsOf(
        accounts,
        {
          rules: RULE_SETS[register.settings.law].volumes,
          settings: register.settings,
          styleOf: (lot) => register.lot(lot).style,
          isBottling: (lot) => register.lot(lot).bottling,
        },
        { event, movements, vessels: touchedVessels, lots: touchedLots, became },
      );
      for (const { from, to, volume } of postings) {
        const [left, came] = [classOf(from), classOf(to)];
        if (left !== undefined) left.held -= volume;
        if (came !== undefined) came.held += volume;
      }
      // what was lost of wine that goes over to another class stays a loss of the line it was lost at
      let lostAt: Pick<Loss, 'place' | 'sic'> = event;
      for (const { account, stored, produced, lostStored, lostProduced } of shares) {
        const one = classOf(account);
        if (one === undefined) continue;
        one.stored += stored;
        one.produced += produced;
        const lost = lostStored + lostProduced;
        if (lost < 0) lostAt = one.losses.findLast((loss) => loss.lostStored + loss.lostProduced > 0) ?? event;
        if (lost !== 0) one.losses.push({ place: lostAt.place, sic: lostAt.sic, lostStored, lostProduced });
        if (lost > 0) lostAt = event;
      }
    },
    unread({ doubt }) {
      if (doubt) now.doubtful = true;
    },
    end(say) {
      const rules = rulesNow();
      if (rules === undefined) return;
      for (const { place, sic, message } of [...told, ...judged(rules)])
        say(
          place,
          {
            code: 'loss-above-share',
            message,
            help: 'look for a loss written twice or a dip that is wrong; the text in force and its authority decide what is asked for; `sic` answers it',
          },
          sic,
        );
    },
  };
});
