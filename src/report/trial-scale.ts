/** From the bench to the cellar: a row of a trial as amounts to weigh and to pump, and as lines to paste. */
import type { Book, VesselRecord } from '../cellar/book.ts';
import { PIECE } from '../cellar/content.ts';
import { atRate } from '../cellar/works/additions.ts';
import type { Addition, LotId, Microlitres, Target } from '../journal/events.ts';
import type { TrialRow } from '../journal/trials.ts';
import { dayOf, isoDay } from './dates.ts';
import { doseText, exactVolumeText, volumeText } from './figures.ts';
import { dayWritten, emptyVesselFor, freeName, litresWritten, nameWritten, timeAfter } from './paste-lines.ts';
import { blendAmounts, type Poured, stepText } from './trial-amounts.ts';
import { type Trial, targetName } from './trials.ts';

export interface ScaledUp {
  /** What to weigh and what to pump, each in words. */
  readonly amounts: readonly string[];
  /** Lines of the journal, a day first; empty where nothing is to be done or it cannot be told. */
  readonly lines: readonly string[];
  /** What to mind: cautions of the materials, and why there are no amounts. */
  readonly notes: readonly string[];
}

const nothing = (note: string): ScaledUp => ({ amounts: [], lines: [], notes: [note] });

/** The lots a vessel held at the minute of the trial, and whether one of them was in it still when that day ended. */
function heldThen({ fills }: VesselRecord, { event }: Trial): { lots: LotId[]; dayEnd: boolean } {
  const { minute } = event;
  const end = (dayOf(minute) + 1) * 1440;
  const then = fills.filter(({ from, until }) => from <= minute && (until === undefined || until >= minute));
  return { lots: then.map(({ lot }) => lot), dayEnd: then.some(({ until }) => until === undefined || until >= end) };
}

/** Where the wine is gone: how to be told of a day it was there, if one ended with wine and trial both. */
const goneNote = ({ said, event }: Trial, why: string, dayEnd: boolean): string => {
  const day = dayOf(event.minute);
  return dayEnd
    ? `${why}: amounts are told of a day it was there, ullage trial FOLDER ${nameWritten(said.name)} --on ${isoDay(day)}`
    : `${why}: the wine that was tried left on the day of the trial, and amounts are told of what is there when a day ends`;
};

/** What a target holds now, if it is still the wine that was tried; else why no amounts can be told of it. */
function heldBy(book: Book, trial: Trial, target: Target): Microlitres | string {
  const name = targetName(book, target);
  const { minute } = trial.event;
  const untried = `${name} held nothing when it was tried: there is no wine the amounts could be of`;
  if (target.kind === 'lot') {
    const lot = book.lots[target.lot];
    if (lot !== undefined && lot.onHand > 0) return lot.onHand;
    const steps = lot?.steps ?? [];
    if ((steps.findLast((step) => step.minute <= minute)?.volume ?? 0) <= 0) return untried;
    const end = (dayOf(minute) + 1) * 1440;
    const left = steps.findLast((step) => step.minute < end)?.volume ?? 0;
    return goneNote(trial, `there is nothing left of ${name}`, left > 0);
  }
  const vessel: VesselRecord | undefined = target.kind === 'vessel' ? book.vessels[target.vessel] : undefined;
  if (vessel === undefined) return untried;
  const { lots, dayEnd } = heldThen(vessel, trial);
  if (lots.length === 0) return untried;
  if (vessel.content.volume <= 0) return goneNote(trial, `${name} is empty`, dayEnd);
  if (vessel.lot !== undefined && lots.includes(vessel.lot)) return vessel.content.volume;
  return goneNote(trial, `${name} no longer holds the wine that was tried`, dayEnd);
}

/**
 * A row for the cellar, from the volumes the book has. `make`: litres of a blend; as much as there is where it is left out.
 * Nothing is scaled from memory: where the wine is gone the note says so.
 */
export function scaleUp(book: Book, trial: Trial, row: TrialRow, make?: number): ScaledUp {
  if (row.unread) return nothing(`row ${row.name} could not be read`);
  if (row.parts.length > 0) return blendUp(book, trial, row, make);
  if (row.additions.length === 0) return nothing('the wine stays as it is: nothing is to be done');
  const held: { target: Target; volume: Microlitres }[] = [];
  for (const target of trial.event.targets) {
    const volume = heldBy(book, trial, target);
    if (typeof volume === 'string') return nothing(volume);
    held.push({ target, volume });
  }
  const volume = held.reduce((sum, one) => sum + one.volume, 0);
  return treatUp(book, trial, row.additions, volume);
}

function treatUp(book: Book, trial: Trial, additions: readonly Addition[], volume: Microlitres): ScaledUp {
  const to = trial.event.targets.map((target) => nameWritten(targetName(book, target))).join(', ');
  const amounts: string[] = [];
  const notes: string[] = [];
  const fining: string[] = [];
  const adding: string[] = [];
  for (const addition of additions) {
    const facts = book.materials[addition.material];
    if (facts === undefined) continue;
    const { dose } = addition;
    const amount = dose.kind === 'rate' ? atRate(dose, facts, volume, 0) : undefined;
    if (amount === undefined) {
      notes.push(
        `${facts.name} ${addition.said}: an amount in a glass says nothing of the cellar; a row says its rate, ${nameWritten(facts.name)} 3 g/hL`,
      );
      continue;
    }
    const much =
      amount.unit === 'µg'
        ? doseText(amount.amount)
        : amount.unit === 'µL'
          ? exactVolumeText(amount.amount, book.settings)
          : `${String(amount.amount / PIECE)} pieces`;
    amounts.push(`${facts.name} ${much}, at ${addition.said} of ${volumeText(volume, book.settings)}`);
    (facts.kind === 'fining agent' ? fining : adding).push(`${nameWritten(facts.name)} ${addition.said}`);
    if (facts.caution !== undefined) notes.push(facts.caution);
  }
  if (amounts.length === 0) return { amounts, lines: [], notes };
  const time = timeAfter(book);
  const lines = [
    ...(fining.length === 0 ? [] : [`fine ${to} with ${fining.join(', ')}`]),
    ...(adding.length === 0 ? [] : [`add ${adding.join(', ')} to ${to}`]),
  ];
  return {
    amounts,
    lines: [dayWritten(book), ...lines.map((line, i) => (i === 0 ? `${time} ${line}` : `      ${line}`))],
    notes,
  };
}

const LITRE = 1e6;
/** Below this nothing is told of rounding: shares are kept in parts per million. */
const EXACT = 1e-5;

function blendUp(book: Book, trial: Trial, row: TrialRow, make: number | undefined): ScaledUp {
  const notes: string[] = [];
  // a wine of 0 % is in the row to say so: none of it is poured
  const poured: Poured[] = [];
  for (const { target, share } of row.parts) {
    if (share <= 0) continue;
    const held = heldBy(book, trial, target);
    if (typeof held === 'string') return nothing(held);
    poured.push({ name: targetName(book, target), share: share / 1e6, held: held / LITRE });
  }
  const amount = blendAmounts(poured, make);
  if (typeof amount === 'string') return nothing(`row ${row.name}: ${amount}`);
  const { litres, total, step, off } = amount;
  const amounts = poured.map(({ name }, i) => `${name} ${litresWritten(litres[i] ?? 0)}`);
  if (off > EXACT)
    notes.push(
      `amounts are in steps of ${stepText(step)}: none is off its share by more than ${String(Math.ceil(off * 1000) / 10)} % of itself`,
    );
  if (make !== undefined && Math.abs(total - make) > EXACT)
    notes.push(`${litresWritten(total)} in steps of ${stepText(step)}, for the ${litresWritten(make)} asked for`);
  if (row.additions.length > 0) notes.push('what the row adds is weighed for the blend once it is made');
  const to = emptyVesselFor(book, total, new Set());
  if (to === undefined)
    return { amounts, lines: [], notes: [...notes, 'no empty vessel takes it: name one in the line of the blend'] };
  const sources = poured.map(({ name }, i) => `${nameWritten(name)} ${litresWritten(litres[i] ?? 0)}`).join(', ');
  const as = freeName(book, `${trial.said.name}-${row.name}`);
  return {
    amounts,
    lines: [dayWritten(book), `${timeAfter(book)} blend ${sources} to ${nameWritten(to)} as ${nameWritten(as)}`],
    notes: [
      ...notes,
      `${to} is the smallest empty vessel that takes it; which vessels each lot is drawn from is yours to choose, or that of ullage blend FOLDER --near "${trial.said.name} ${row.name}"`,
    ],
  };
}
