/** What plans of work ask for and the record does not have, and readings outside what plans keep to or past what they warn of. */
import { sayDay } from '../../grammar/dates.ts';
import type { VerbWord } from '../../grammar/words.ts';
import { type Cellar, NO_LOT } from '../cellar/cellar.ts';
import type { Deed } from '../cellar/deed.ts';
import type { Onlooker, Say } from '../cellar/fold.ts';
import { nameList } from '../cellar/tell.ts';
import { Coverings } from '../due/covering.ts';
import { type Crossing, crossings } from '../due/crossings.ts';
import { askedBy } from '../due/demands.ts';
import { partOf } from '../due/keys.ts';
import { type Missed, missedWork } from '../due/missed.ts';
import { dayOf, MINUTES_A_DAY } from '../due/periods.ts';
import { type Ground, PlanLog, planName } from '../due/plan-log.ts';
import type { Stay } from '../due/stays.ts';
import type { Event, Kept, LotId, Minute, Place, VesselId } from '../journal/events.ts';
import { molecularMethod } from '../journal/house-methods.ts';
import { rangeNames } from '../journal/names.ts';
import type { PlanRow } from '../journal/plans.ts';
import type { Unread } from '../journal/sequence.ts';
import { SULFUR_DIOXIDE_METHOD_NAMES } from '../trade/sulfur-dioxide.ts';
import type { Check } from './check.ts';

/** The line of the plan, for a finding about what it asks. */
const asks = (row: PlanRow): { place: Place; message: string } => ({
  place: row.place,
  message: 'the plan says so here',
});

/** A line of a plan without the word it begins with: `top every 21 days`. */
const saidBy = (row: PlanRow): string => row.said.slice(row.kind.length + 1);

const PLANNING: ReadonlySet<VerbWord | undefined> = new Set<VerbWord | undefined>(['put', 'take']);

/** What the check knows of the journal so far. */
interface Memory {
  /** Begun with the first plan. */
  log: PlanLog | undefined;
  last: Minute;
  /** Who was away before that, and may be still. */
  readonly away: Event[];
  /** Lots that an unread line may have put under a plan or taken from one. */
  readonly unsure: Set<LotId>;
  /** A plan could not be read. */
  lacking: boolean;
}

export const plans: Check = (cellar) =>
  lookOn(cellar, { log: undefined, last: 0, away: [], unsure: new Set(), lacking: false });

function lookOn(cellar: Cellar, memory: Memory): Onlooker {
  const { register } = cellar;
  return {
    copy: (other) =>
      lookOn(other, {
        log: memory.log?.copy(groundOf(other)),
        last: memory.last,
        away: [...memory.away],
        unsure: new Set(memory.unsure),
        lacking: memory.lacking,
      }),

    after(deed) {
      const { event } = deed;
      memory.last = event.minute;
      if (memory.log === undefined) {
        if (event.verb === 'away') memory.away.push(event);
        if (event.verb !== 'plan') return;
        memory.log = beginning(cellar, memory.away, event.minute);
      }
      const { log } = memory;
      if (event.kind === 'kept' && event.planned?.under === false) taken(deed, event, log, memory.unsure);
      log.see(
        { event, vessels: deed.touchedVessels, lots: deed.touchedLots, movements: deed.movements },
        (lot) => cellar.lot(lot).stage,
      );
    },

    unread(unread) {
      // a plan that could not be read may have had the say about anything
      if (unread.verb === 'plan') memory.lacking = true;
      const { log, last, unsure } = memory;
      if (log === undefined) return;
      const minute = unread.minute ?? last;
      const names = [...namedIn(unread, cellar)];
      const hands = unread.words.some(({ text }) => register.hand(text) !== undefined);
      if (unread.verb === 'away' || (unread.verb === undefined && names.length === 0 && hands)) {
        // until when is not known
        log.away.push({ from: dayOf(minute), until: Number.POSITIVE_INFINITY, hands: register.hands });
        return;
      }
      for (const named of names) {
        if (PLANNING.has(unread.verb)) {
          const lot = named.kind === 'lot' ? named.lot : cellar.vessel(named.vessel).lot;
          if (lot !== NO_LOT) unsure.add(lot);
        }
        const stays = named.kind === 'lot' ? log.stays.ofLot(named.lot) : [log.stays.in(named.vessel)];
        for (const stay of stays) stay?.missing.push(minute);
      }
    },

    end(say) {
      const { log, unsure, lacking } = memory;
      if (log === undefined || lacking) return;
      const on = dayOf(memory.last);
      const doubtful = log.plans.filter(({ facts }) => facts.doubtful);
      const coverings = new Coverings(log);
      // a plan that lacks a line may have the say where another speaks
      const inDoubt = (stay: Stay, minute: Minute): boolean =>
        doubtful.some(
          (plan) =>
            coverings.narrow(stay, plan, Math.min(Math.max(minute, stay.from), stay.until ?? minute)) !== undefined,
        );
      const sure = <T extends Told>(told: readonly T[], minuteOf: (one: T) => Minute): T[] =>
        told.filter((one) => !one.row.sic && !unsure.has(one.stay.lot) && !inDoubt(one.stay, minuteOf(one)));
      const asked = askedBy(log, on);
      const missed = sure(missedWork(log, asked, on), ({ day }) => day * MINUTES_A_DAY).filter(({ sic }) => !sic);
      for (const group of byRowAndLot(missed)) sayMissed(cellar, group, say);
      const crossed = sure(crossings(asked, on), ({ figure }) => figure.minute).filter(({ figure }) => !figure.sic);
      for (const group of byRowAndLot(crossed)) sayCrossed(cellar, group, say);
    },
  };
}

const groundOf = ({ register }: Cellar): Ground => ({
  settings: register.settings,
  plans: register.plans,
  vessel: (id) => register.vessel(id),
  materialKind: (material) => register.materials[material]?.kind,
});

type Told = Pick<Missed, 'plan' | 'stay'> & { readonly row: PlanRow };

/** A log of what lies where as the first plan begins; what was done before is not looked at. */
function beginning(cellar: Cellar, away: readonly Event[], minute: Minute): PlanLog {
  const log = new PlanLog(groundOf(cellar));
  for (const event of away) log.see({ event, vessels: [], lots: [], movements: [] }, () => 'gone');
  for (const { facts, lot, content, since, skins } of cellar.vessels()) {
    if (lot === NO_LOT) continue;
    const state = cellar.lot(lot);
    log.stays.found(facts.id, lot, content.volume, since, state.facts.place, skins === true);
  }
  for (const { facts, stage, fermentSince } of cellar.lots())
    log.stays.stage(facts.id, (stage === 'fermenting' ? fermentSince : undefined) ?? minute, stage);
  return log;
}

/** The vessels and lots a line that was not counted names. */
function* namedIn(
  { words }: Unread,
  { register }: Cellar,
): Generator<{ kind: 'vessel'; vessel: VesselId } | { kind: 'lot'; lot: LotId }> {
  for (const word of words) {
    const members = word.to === undefined ? { names: [word.text] } : rangeNames(word.text, word.to);
    for (const name of 'names' in members ? members.names : []) {
      const named = register.place(name);
      if (named?.kind === 'vessel') yield { kind: 'vessel', vessel: named.id };
      else if (named?.kind === 'lot') yield { kind: 'lot', lot: named.id };
    }
  }
}

/** What is taken from a plan has to be under it. */
function taken(deed: Deed, event: Kept, log: PlanLog, unsure: ReadonlySet<LotId>): void {
  const facts = deed.cellar.register.plans[event.planned?.plan ?? -1];
  const plan = log.plans.findLast(({ name }) => facts !== undefined && name === planName(facts));
  if (plan === undefined) return;
  const coverings = new Coverings(log);
  for (const target of event.targets) {
    if (target.kind === 'block') continue;
    const lot = target.kind === 'lot' ? target.lot : deed.cellar.vessel(target.vessel).lot;
    // a line that could not be read may have put it there
    if (unsure.has(lot)) continue;
    const stays: (Stay | undefined)[] =
      target.kind === 'lot' ? log.stays.ofLot(target.lot) : [log.stays.in(target.vessel)];
    const under = stays.some((stay) => stay !== undefined && coverings.narrow(stay, plan, event.minute) !== undefined);
    // a lot that is still fruit may have been put under it
    const said = target.kind === 'lot' ? log.plannedLots.get(target.lot) : undefined;
    if (under || said?.findLast(({ plan: name }) => name === plan.name)?.under === true) continue;
    const name = target.kind === 'lot' ? deed.cellar.nameOfLot(target.lot) : deed.vesselName(target.vessel);
    deed.say({
      code: 'not-under-plan',
      message: `${name} is not under ${plan.facts.name} on ${deed.day}`,
      help: 'mend the name of the lot or of the plan, or take the line out',
      mark: name,
      vessels: target.kind === 'vessel' ? [target.vessel] : [],
      lots: target.kind === 'lot' ? [target.lot] : [],
      related: { place: plan.facts.place, message: 'the plan is here' },
    });
  }
}

/** What one line of a plan has to say about one lot, told together. */
function byRowAndLot<T extends Told>(told: readonly T[]): T[][] {
  const groups = new Map<string, T[]>();
  for (const one of told) {
    const { place } = one.row;
    const key = `${place.file} ${place.line} ${one.stay.lot}`;
    const known = groups.get(key);
    if (known === undefined) groups.set(key, [one]);
    else known.push(one);
  }
  return [...groups.values()];
}

const vesselsOf = (told: readonly Told[]): VesselId[] => [...new Set(told.map(({ stay }) => stay.vessel))];

const namesOf = (cellar: Cellar, told: readonly Told[]): string =>
  nameList(
    vesselsOf(told)
      .sort((a, b) => a - b)
      .map((id) => cellar.register.vessel(id).name),
  );

const sameLine = (a: Place, b: Place): boolean => a.file === b.file && a.line === b.line;

const counted = (count: number, one: string): string => `${count} ${one}${count === 1 ? '' : 's'}`;

const timesOf = (done: number, asked: number, part: string | undefined): string =>
  done === 0
    ? part === undefined
      ? 'none'
      : `no ${part}`
    : `${part === undefined ? '' : `${part} `}${done} of ${asked}`;

function sayMissed(cellar: Cellar, group: readonly Missed[], say: Say): void {
  // the vessels that lack most on the first day are named, the rest is counted
  const doneOf = (one: Missed): number => one.count?.done ?? 0;
  const sorted = [...group].sort((a, b) => a.day - b.day || doneOf(a) - doneOf(b) || a.stay.vessel - b.stay.vessel);
  const [first] = sorted;
  if (first === undefined) return;
  const { row, stay, day, count, late } = first;
  const lot = cellar.nameOfLot(stay.lot);
  const least = doneOf(first);
  const shown = sorted.filter(
    (one) => one.day === day && one.late === late && doneOf(one) === least && sameLine(one.place, first.place),
  );
  const part = partOf(row.work, new Set(shown.map(({ key }) => key)))?.join(' and ');
  const where = `${lot} in ${namesOf(cellar, shown)}`;
  const more = new Set(sorted.map((one) => one.day)).size - 1;
  const message =
    count === undefined
      ? `\`${saidBy(row)}\`: ${part === undefined ? '' : `${part} `}due for ${where} on ${sayDay(day)}, ${late === undefined ? 'not in the record' : `done ${counted(late, 'day')} late`}${more > 0 ? `, and ${counted(more, 'more time')}` : ''}`
      : `\`${saidBy(row)}\`: ${where} has ${timesOf(least, count.asked, part)} ${count.period === 'day' ? 'on' : `in the ${count.period} to`} ${sayDay(day)}${more > 0 ? `, and too few in ${counted(more, `more ${count.period}`)}` : ''}`;
  say(first.place, {
    code: 'work-missed',
    message,
    help: 'write it down if it was done; a day off is answered by `away`, what was left out on purpose by `sic` on this line',
    mark: lot,
    related: asks(row),
    vessels: vesselsOf(sorted),
    lots: [stay.lot],
  });
}

function sayCrossed(cellar: Cellar, group: readonly Crossing[], say: Say): void {
  const sorted = [...group].sort((a, b) => a.figure.minute - b.figure.minute || a.stay.vessel - b.stay.vessel);
  const [first] = sorted;
  if (first === undefined) return;
  const { row, stay, figure, pace } = first;
  const lot = cellar.nameOfLot(stay.lot);
  const name = cellar.register.vessel(stay.vessel).name;
  const worked =
    row.analyte === 'molecular SO2'
      ? ` (${SULFUR_DIOXIDE_METHOD_NAMES[molecularMethod(cellar.register.settings)]})`
      : '';
  const is =
    pace === undefined || row.kind === 'keep'
      ? `${row.analyte} ${figure.said}${worked}`
      : `${row.analyte} ${figure.said}, ${pace < 0 ? '-' : ''}${Math.abs(pace).toFixed(1)} ${row.of === 'falling' ? 'down' : 'up'} in a ${row.per === 60 ? 'hour' : row.per === 1440 ? 'day' : 'week'}`;
  const more = new Set(sorted.map((one) => `${one.figure.minute} ${one.stay.vessel}`)).size - 1;
  const plan = first.plan.facts.name;
  say(figure.place, {
    code: row.kind === 'keep' ? 'bounds-left' : 'plan-warns',
    message: `${lot} in ${name} has ${is}; ${plan} ${row.kind === 'keep' ? 'keeps' : 'warns of'} \`${saidBy(row)}\`${more > 0 ? `, and ${more} more reading${more === 1 ? '' : 's'} of the lot` : ''}`,
    help:
      row.kind === 'keep'
        ? 'look at the wine, or mend the figure or the plan; if it was meant, answer with `sic`'
        : 'look at the wine, or mend the figure or the plan; once it is seen to, answer with `sic`',
    mark: figure.said.split(' ')[0] ?? '',
    related: asks(row),
    vessels: [stay.vessel],
    lots: [stay.lot],
  });
}
