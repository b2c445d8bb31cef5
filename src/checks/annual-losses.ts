/** What a year lost of a class of wine, against the shares the chosen law lets be lost before a claim is needed. */
import type { Microlitres, Place } from '../journal/events.ts';
import { countsAsLoss, type Used, usedOf } from '../law/annual-losses.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import type { LossAllowance, LossRules } from '../law/volume-rules.ts';
import { type AccountMemory, freshAccounts, type Posting, postingsOf } from '../law/wine-account.ts';
import { formatVolume } from '../trade/volume.ts';
import { remembering } from './check.ts';

interface Loss {
  readonly place: Place;
  readonly sic: boolean;
  readonly volume: Microlitres;
  readonly fresh: boolean;
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

  /** The line with which a share was passed; the last loss where none alone did. */
  function passedAt(losses: readonly Loss[], { allowance, allowed }: Used): Loss | undefined {
    let sum = 0;
    for (const loss of losses) {
      if (loss.fresh !== (allowance.of === 'produced')) continue;
      sum += loss.volume;
      if (sum > allowed) return loss;
    }
    return undefined;
  }

  function judged(rules: LossRules): Told[] {
    const { year, doubtful } = now;
    // a line that could not be read may have brought wine in or taken it out
    if (year === undefined || doubtful) return [];
    return [...classes].flatMap(([id, { stored, produced, losses }]) => {
      const sum = (of: boolean): Microlitres =>
        losses.reduce((all, { volume, fresh: made }) => all + (made === of ? volume : 0), 0);
      const used = usedOf(rules, { stored, produced, lostStored: sum(false), lostProduced: sum(true) });
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

  function say(id: string, year: number, { allowance, base, allowed, lost }: Used): string {
    const { classes: known, sparkling, carbonated } = RULE_SETS[register.settings.law].volumes;
    const title = [...known, sparkling, carbonated].find((one) => one.id === id)?.title ?? 'wine';
    const unit = register.settings.volume;
    const volume = (microlitres: Microlitres): string => formatVolume(microlitres, unit, 1);
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
      const postings = postingsOf(
        accounts,
        {
          rules: RULE_SETS[register.settings.law].volumes,
          settings: register.settings,
          styleOf: (lot) => register.lot(lot).style,
          isBottling: (lot) => register.lot(lot).bottling,
        },
        { event, movements, vessels: touchedVessels, lots: touchedLots, became },
      );
      for (const { from, to, key, volume, fresh: made } of postings) {
        const [left, came] = [classOf(from), classOf(to)];
        if (left !== undefined) {
          left.held -= volume;
          if (to === undefined && countsAsLoss(rules, key))
            left.losses.push({ place: event.place, sic: event.sic, volume, fresh: made });
        }
        if (came !== undefined) {
          came.held += volume;
          if (key === 'found' || key === 'bought') came.stored += volume;
          else if (key === 'produced') came.produced += volume;
        }
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
